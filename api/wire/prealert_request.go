package wire

import (
	"time"

	"surgeonward/api/region"
	"surgeonward/routing"
)

// PreAlertRequest is a question for a pre-alert as it was understood.
type PreAlertRequest struct {
	Request
	Alert routing.AlertQuestion
}

// DecodePreAlert reads the body of POST /v1/pre-alert, as Decode does that of
// POST /v1/options. Whether the question gives the option, only an answer says.
func (d *Decoder) DecodePreAlert(body []byte, r *region.Region, now time.Time) (PreAlertRequest, error) {
	b, m, err := begin(d.preAlert, body, r)
	if err != nil {
		return PreAlertRequest{}, err
	}
	q := PreAlertRequest{Request: b.request(m, now), Alert: routing.AlertQuestion{
		Option:   m.get("option").text(),
		Clinical: b.clinical(m.get("clinical")),
		At:       b.instant(m.get("message_at")),
	}}
	if err := b.refused(func() error { return r.Engine.CheckPreAlert(q.Question, q.Alert) }); err != nil {
		return PreAlertRequest{}, err
	}
	return q, nil
}

// clinical reads the picture of the patient: numbers, times and words of fixed
// lists, which the schema and the engine hold it to.
func (b *builder) clinical(m member) routing.Clinical {
	signs, treatment := m.get("signs"), m.get("treatment")
	return routing.Clinical{
		AgeYears:   given(m.get("age_years")),
		IncidentAt: b.instant(m.get("incident_at")),
		Mechanism:  m.get("mechanism").text(),
		Injuries:   m.get("injuries").texts(),
		Signs: routing.Signs{
			HeartRatePerMin:       given(signs.get("heart_rate_per_min")),
			SystolicMmHg:          given(signs.get("systolic_mmhg")),
			RespiratoryRatePerMin: given(signs.get("respiratory_rate_per_min")),
			SpO2Percent:           given(signs.get("spo2_percent")),
			GCS:                   given(signs.get("gcs")),
			Output:                signs.get("output").text(),
			OutputLostAt:          b.instant(signs.get("output_lost_at")),
			OutputRegainedAt:      b.instant(signs.get("output_regained_at")),
		},
		Treatment: routing.Treatment{
			Given:      treatment.get("given").texts(),
			BloodUnits: given(treatment.get("blood_units")),
		},
	}
}

// given is a number; nil where there is none.
func given(m member) *float64 { return scaled(m, 1) }
