package chart

import (
	"slices"

	"bellout/app/window/chart/scene"
	"bellout/graphs/layout"
)

// kept outlives the place, which is made anew with each change of the theme.
type kept struct {
	camera scene.Camera
	// whole says that all of the chart is shown, and goes on to be when the window
	// changes its size.
	whole bool
	// legend is shown or not as the person decided; until then where it covers
	// nothing.
	legend  bool
	decided bool
	plan    *layout.Plan
	stamp   stamp // what plan was made of
	past    past
}

const memoryKey = "chart"

func keptIn(memory map[string]any) *kept {
	if k, there := memory[memoryKey].(*kept); there {
		return k
	}
	k := &kept{whole: true, camera: scene.Camera{Scale: 1}}
	if memory != nil {
		memory[memoryKey] = k
	}
	return k
}

// past are the plans of machines as they were, the last one at the end. A plan
// depends on those before it: only the plan itself brings back the picture that
// was there when an edit is taken back.
type past []moment

type moment struct {
	stamp stamp
	plan  *layout.Plan
}

// What is kept of the past: so many plans, with so many boxes and wires together,
// but the last ones in any case, so that the edit before can be taken back.
const (
	mostPlans  = 64
	mostThings = 200_000
	leastPlans = 2
)

// of returns the plan of a machine as it was, nil if it is not kept.
func (p past) of(s stamp) *layout.Plan {
	for i := range p {
		if p[i].stamp == s {
			return p[i].plan
		}
	}
	return nil
}

// add keeps a plan.
func (p *past) add(s stamp, plan *layout.Plan) {
	*p = append(slices.DeleteFunc(*p, func(m moment) bool { return m.stamp == s }), moment{s, plan})
	things := 0
	for i := len(*p) - 1; i >= 0; i-- {
		things += len((*p)[i].plan.Boxes) + len((*p)[i].plan.Wires)
		if count := len(*p) - i; count > mostPlans || things > mostThings && count > leastPlans {
			*p = slices.Delete(*p, 0, i+1)
			return
		}
	}
}
