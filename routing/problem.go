package routing

import "time"

// problem is one question put to one region: what every step of the answer
// works from.
type problem struct {
	*Engine
	Question
}

// after is the instant some seconds after the decision time.
func (p *problem) after(s float64) time.Time { return p.At.Add(seconds(s)) }

// seconds converts to a Duration; s is within MaxTiming, so it cannot overflow.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
