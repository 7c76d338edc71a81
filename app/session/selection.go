package session

import (
	"slices"

	"bellout/faults"
)

// Kind says what is looked at.
type Kind int

// What can be looked at.
const (
	Nothing Kind = iota
	Device
	Terminal
	Wire
	Net
	Finding
	Reading
)

// Selection is the one thing that is looked at: the chart brings it out, the
// lists go to it.
type Selection struct {
	Kind Kind
	// Name is the device, DEVICE:TERMINAL, the wire, a terminal of the net, the
	// number of a reading, or nothing for a finding.
	Name string
	// Finding is the place in the report.
	Finding int
}

// Selection returns what is looked at.
func (d *Session) Selection() Selection { return d.selection }

// followFinding goes with the finding that is looked at to its new place, now that
// the report was made anew. Findings come and go with every reading, and whatever
// came to stand at the old place is another matter; where the finding is gone,
// nothing is looked at.
func (d *Session) followFinding(before, now *faults.Report) Changed {
	if d.selection.Kind != Finding || before == now {
		return 0
	}
	to := Selection{}
	if at := d.selection.Finding; at >= 0 && at < len(before.Findings) {
		was := before.Findings[at]
		same := func(f faults.Finding) bool { return FindingKey(f) == FindingKey(was) }
		i := slices.IndexFunc(now.Findings, same)
		if i < 0 { // a reading moved it from one place to another
			same = func(f faults.Finding) bool {
				return f.Rule == was.Rule && len(was.Nets) > 0 && slices.Equal(f.Nets, was.Nets)
			}
			i = slices.IndexFunc(now.Findings, same)
		}
		if i >= 0 {
			to = Selection{Kind: Finding, Finding: i}
		}
	}
	if to == d.selection {
		return 0
	}
	d.selection, d.highlight = to, Highlight{}
	return Selected
}

// Select looks at something else. What was brought out beside the old selection
// goes with it.
func (d *Session) Select(what Selection) {
	if d.selection == what {
		return
	}
	d.selection, d.highlight = what, Highlight{}
	d.tell(Selected)
}
