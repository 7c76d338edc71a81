package desk

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
func (d *Desk) Selection() Selection { return d.selection }

// Select looks at something else. What was brought out beside the old selection
// goes with it.
func (d *Desk) Select(what Selection) {
	if d.selection == what {
		return
	}
	d.selection, d.highlight = what, Highlight{}
	d.tell(Selected)
}
