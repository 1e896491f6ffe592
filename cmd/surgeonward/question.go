package main

import "slices"

// questionFlags are a question on the command line. They end up as the body of
// one POST /v1/options request, so that both interfaces ask the same.
type questionFlags struct {
	sceneFlags `embed:""`

	Age       *float64 `help:"Age of the patient in years (default: an adult)." placeholder:"YEARS" group:"The question:"`
	Need      []string `help:"What the hospital must be able to do; repeat it for more." sep:"none" placeholder:"CAPABILITY" group:"The question:"`
	Escort    *string  `help:"A skill that must ride along, such as physician." placeholder:"SKILL" group:"The question:"`
	Limit     *int     `help:"Most options to list (default: 10)." placeholder:"N" group:"The question:"`
	TargetMin *float64 `name:"target-min" help:"The time to the surgeon that is aimed at, in minutes." placeholder:"MINUTES" group:"The question:"`
	RankBy    *string  `help:"Rank by the typical or by the slow total (default: typical)." placeholder:"WORD" group:"The question:"`

	factFlags `embed:""`

	LostAt     *string `name:"lost-at" help:"When output was lost, with zone." placeholder:"TIME" group:"The question:"`
	RegainedAt *string `name:"regained-at" help:"When output was regained, with zone." placeholder:"TIME" group:"The question:"`
}

func (q *questionFlags) numbers() []numberFlag {
	return append(q.sceneFlags.numbers(), numberFlag{"--age", q.Age}, numberFlag{"--target-min", q.targetS()})
}

func (q *questionFlags) members() []memberFlag {
	return slices.Concat(q.sceneFlags.members(), q.factMembers(), []memberFlag{
		{"--lost-at", []string{"output_lost_at"}, q.LostAt != nil, q.LostAt},
		{"--regained-at", []string{"output_regained_at"}, q.RegainedAt != nil, q.RegainedAt},
		{"--age", []string{"patient", "age_years"}, q.Age != nil, q.Age},
		{"--need", []string{"patient", "needs"}, q.Need != nil, q.Need},
		{"--escort", []string{"patient", "escort"}, q.Escort != nil, q.Escort},
		{"--limit", []string{"limit"}, q.Limit != nil, q.Limit},
		{"--target-min", []string{"target_s"}, q.TargetMin != nil, q.targetS()},
		{"--rank-by", []string{"rank_by"}, q.RankBy != nil, q.RankBy},
	})
}

func (q *questionFlags) check(region string, numbers []numberFlag) error {
	if err := q.wellFormed(); err != nil {
		return err
	}
	return q.sceneFlags.check(region, numbers)
}

// targetS is the target in seconds; nil where there is none.
func (q *questionFlags) targetS() *float64 { return inSeconds(q.TargetMin) }

// inSeconds is minutes in seconds; nil for nil.
func inSeconds(minutes *float64) *float64 {
	if minutes == nil {
		return nil
	}
	s := *minutes * 60
	return &s
}
