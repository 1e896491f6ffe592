package road

import (
	"fmt"
	"time"
)

// closedAt says in words why a travel that begins at t cannot use the
// crossing; "" where it can. A closing holds for the whole travel that begins
// under it: that the crossing may reopen on the way is not relied on.
func (c *Crossing) closedAt(t time.Time, zone *time.Location) string {
	if cl := c.Closed; cl != nil && (cl.Until.IsZero() || t.Before(cl.Until)) {
		if cl.Until.IsZero() {
			return fmt.Sprintf("%s is closed: %s", c.Name, cl.Reason)
		}
		return fmt.Sprintf("%s is closed until %s: %s", c.Name, clock(cl.Until, t, zone), cl.Reason)
	}
	if month := t.In(zone).Month(); c.Months[month] {
		return fmt.Sprintf("%s is closed in %s", c.Name, month)
	}
	return ""
}

// timed reports whether the crossing depends on the time of the travel.
func (c *Crossing) timed() bool {
	return c.Kind == Ferry || c.Closed != nil || c.Months != [13]bool{}
}

// clock writes the local time of an instant, with the date where it is not
// the day of now.
func clock(at, now time.Time, zone *time.Location) string {
	at, now = at.In(zone), now.In(zone)
	ay, am, ad := at.Date()
	ny, nm, nd := now.Date()
	switch {
	case ay != ny:
		return at.Format("15:04 on 2 January 2006")
	case am != nm || ad != nd:
		return at.Format("15:04 on 2 January")
	}
	return at.Format("15:04")
}
