package coverage

import "fmt"

// Slice is the plan for the cells from one place in the demand's order to before another.
func (p Plan) Slice(from, to int) (Plan, error) {
	if from < 0 || to > len(p.Demand.Cells) || from >= to {
		return p, fmt.Errorf("there are no cells %d to %d among %d", from, to, len(p.Demand.Cells))
	}
	p.Demand = &Demand{Cells: p.Demand.Cells[from:to]}
	return p, nil
}

// Join is the result of a plan whose cells were looked at elsewhere: what Run would return, as
// each cell is looked at by itself.
func Join(p Plan, outcomes []Outcome) (*Result, error) {
	if err := p.Demand.Check(); err != nil {
		return nil, err
	}
	if len(outcomes) != len(p.Demand.Cells) {
		return nil, fmt.Errorf("%d outcomes are not those of %d cells", len(outcomes), len(p.Demand.Cells))
	}
	batch, err := p.Engine.Batch(p.Situation.Question)
	if err != nil {
		return nil, err
	}
	return &Result{Situation: p.Situation.Name, Question: batch.Question(), Demand: p.Demand, Second: p.Second, Outcomes: outcomes}, nil
}
