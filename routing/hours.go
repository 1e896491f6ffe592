package routing

import "surgeonward/facilities"

// hours reads the crew's hours; nil where there are none. Hours that the schema
// refuses are not read: there may be any number of them.
func (d *assetDecoder) hours(m member) *facilities.Rota[facilities.Opening] {
	if d.refusals[m.get("hours").pointer] {
		return nil
	}
	rota, warnings := facilities.DecodeHours(m.value, m.pointer)
	d.warnings = append(d.warnings, warnings...)
	return rota
}
