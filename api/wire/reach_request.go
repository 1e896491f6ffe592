package wire

import (
	"time"

	"surgeonward/api/region"
	"surgeonward/routing"
)

// ReachRequest is a question of reach as it was understood.
type ReachRequest struct {
	Request
	Reach routing.ReachQuestion
}

// DecodeReach reads the body of POST /v1/reach, as Decode does that of
// POST /v1/options.
func (d *Decoder) DecodeReach(body []byte, r *region.Region, now time.Time) (ReachRequest, error) {
	b, m, err := begin(d.reach, body, r)
	if err != nil {
		return ReachRequest{}, err
	}
	q := ReachRequest{Request: b.request(m, now), Reach: routing.ReachQuestion{
		OutputLostAt: b.instant(m.get("output_lost_at")),
		Window:       m.get("window").text(),
		Skill:        m.get("skill").text(),
	}}
	q.OutputLostAt = nil // the window counts from it, with bounds of its own
	q.Reach.WindowS, _ = m.get("window_s").number()
	if err := b.refused(func() error { return r.Engine.CheckReach(q.Question, q.Reach) }); err != nil {
		return ReachRequest{}, err
	}
	return q, nil
}
