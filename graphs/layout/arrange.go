package layout

import (
	"context"
	"math"

	"bellout/model"
)

// Arrange places a machine with the places that its file keeps: where somebody
// put a box it stands, and where one was worked out before, others stay if they
// can. A place in the file is the middle of a box, whose size is known only once
// it was placed. options.Saved and options.Pinned are made here.
func Arrange(ctx context.Context, m *model.Machine, options Options) (*Plan, error) {
	options.Saved, options.Pinned = nil, nil
	if len(m.Places) == 0 {
		return Compute(ctx, m, options)
	}
	sizes := options.Previous
	if !known(sizes, m) {
		var err error
		if sizes, err = Compute(ctx, m, options); err != nil {
			return nil, err
		}
	}
	options.Saved, options.Pinned = corners(sizes, options.Previous, m)
	if options.Previous == nil { // of a new plan what stands elsewhere in the file has to move
		const near = 0.01
		for device, at := range options.Saved {
			stands := sizes.Boxes[sizes.byDevice[device]].Min
			if math.Abs(stands.X-at.X) > near || math.Abs(stands.Y-at.Y) > near {
				options.Pinned[device] = at
			}
		}
		if len(options.Pinned) == 0 {
			return sizes, nil
		}
		options.Previous = sizes
	}
	plan, err := Compute(ctx, m, options)
	if err != nil {
		return nil, err
	}
	put := map[string]bool{}
	for _, row := range m.Places {
		put[row.Device] = row.Pinned
	}
	for i := range plan.Boxes { // what was worked out may give way the next time
		plan.Boxes[i].Pinned = put[plan.Boxes[i].Device]
	}
	return plan, nil
}

// known says that a plan holds every box that the file has a place of.
func known(plan *Plan, m *model.Machine) bool {
	if plan == nil {
		return false
	}
	for _, row := range m.Places {
		if _, there := plan.Box(row.Device); !there {
			return false
		}
	}
	return true
}

// corners are the upper left corners of the file's places: of those worked out
// and of those where somebody put a box. A box that stood where somebody had put
// it, and does not any more, goes back to where it was worked out to stand.
func corners(sizes, previous *Plan, m *model.Machine) (saved, pinned map[string]Point) {
	saved, pinned = map[string]Point{}, map[string]Point{}
	for _, row := range m.Places {
		at, there := sizes.Box(row.Device)
		if !there {
			continue
		}
		size := sizes.Boxes[at].size()
		corner := Point{row.X - size.X/2, row.Y - size.Y/2}
		was := false
		if previous != nil {
			if old, stood := previous.Box(row.Device); stood {
				was = previous.Boxes[old].Pinned
			}
		}
		if row.Pinned || was {
			pinned[row.Device] = corner
		} else {
			saved[row.Device] = corner
		}
	}
	return saved, pinned
}
