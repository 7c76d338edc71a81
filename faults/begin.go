package faults

import (
	"context"

	"bellout/model"
)

// BeginSession is NewSession for a machine that may be large: it tells how far
// it is, done of so many steps of about the same length, and ends early with
// ctx. progress may be nil.
func BeginSession(ctx context.Context, m *model.Machine, progress func(done, of int)) (*Session, error) {
	of := layOutSteps*rulesAStep + len(Rules) + 1
	done := 0
	further := func(by int) {
		done += by
		if progress != nil {
			progress(done, of)
		}
	}
	s := &Session{machine: m, wires: len(m.Wires)}
	s.bench = layOutInSteps(m, func() { further(rulesAStep) })
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.bench.explainReadings()
	further(1)
	s.onMap = s.bench.mapFindings(func() bool {
		further(1)
		return ctx.Err() == nil
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.report = s.bench.report(s.onMap, s.bench.explained)
	s.bench.evidence.explainer.Warm()
	return s, nil
}

// rulesAStep is how many rules take as long as a step of layOutInSteps. Measured with
// 100,000 terminals: 1.2 s for laying out, 0.4 s for the rules.
const rulesAStep = 12
