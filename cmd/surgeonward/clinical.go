package main

// clinicalFlags are what is known of the patient for the pre-alert: numbers,
// times and words of fixed lists. A request can have them as well. Age, and when
// output was lost and regained, are flags of the question.
type clinicalFlags struct {
	IncidentAt *string  `name:"incident-at" help:"When it happened, with zone." placeholder:"TIME" group:"The patient:"`
	Mechanism  *string  `help:"What happened, such as stab or blunt_traffic." placeholder:"WORD" group:"The patient:"`
	Injury     []string `help:"Where the injuries are, such as chest_left; repeat it for more." sep:"none" placeholder:"WORD" group:"The patient:"`
	HeartRate  *float64 `name:"heart-rate" help:"Heart rate in a minute." placeholder:"N" group:"The patient:"`
	Systolic   *float64 `help:"Systolic blood pressure in mmHg." placeholder:"N" group:"The patient:"`
	RespRate   *float64 `name:"respiratory-rate" help:"Breaths in a minute." placeholder:"N" group:"The patient:"`
	SpO2       *float64 `name:"spo2" help:"Oxygen saturation in percent." placeholder:"N" group:"The patient:"`
	GCS        *float64 `name:"gcs" help:"Glasgow coma scale." placeholder:"N" group:"The patient:"`
	Output     *string  `help:"The heart's output, present, lost or regained (default: as its times say)." placeholder:"WORD" group:"The patient:"`
	Given      []string `help:"What has been done, such as chest_opened, or none; repeat it for more." sep:"none" placeholder:"WORD" group:"The patient:"`
	BloodUnits *float64 `name:"blood-units" help:"Units of blood given, in halves." placeholder:"N" group:"The patient:"`
}

func (f *clinicalFlags) numbers() []numberFlag {
	return []numberFlag{
		{"--heart-rate", f.HeartRate}, {"--systolic", f.Systolic}, {"--respiratory-rate", f.RespRate},
		{"--spo2", f.SpO2}, {"--gcs", f.GCS}, {"--blood-units", f.BloodUnits},
	}
}

func (f *clinicalFlags) members() []memberFlag {
	in := func(path ...string) []string { return append([]string{"clinical"}, path...) }
	return []memberFlag{
		{"--incident-at", in("incident_at"), f.IncidentAt != nil, f.IncidentAt},
		{"--mechanism", in("mechanism"), f.Mechanism != nil, f.Mechanism},
		{"--injury", in("injuries"), f.Injury != nil, f.Injury},
		{"--heart-rate", in("signs", "heart_rate_per_min"), f.HeartRate != nil, f.HeartRate},
		{"--systolic", in("signs", "systolic_mmhg"), f.Systolic != nil, f.Systolic},
		{"--respiratory-rate", in("signs", "respiratory_rate_per_min"), f.RespRate != nil, f.RespRate},
		{"--spo2", in("signs", "spo2_percent"), f.SpO2 != nil, f.SpO2},
		{"--gcs", in("signs", "gcs"), f.GCS != nil, f.GCS},
		{"--output", in("signs", "output"), f.Output != nil, f.Output},
		{"--given", in("treatment", "given"), f.Given != nil, f.Given},
		{"--blood-units", in("treatment", "blood_units"), f.BloodUnits != nil, f.BloodUnits},
	}
}
