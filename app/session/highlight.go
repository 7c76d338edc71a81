package session

// Strand is a run of wires and terminals that belongs together, such as one
// upstream path of a device.
type Strand struct {
	// Kind is what the run brings: feed, return, earth, mains or signal, as package
	// graphs names them. Empty is a run of no kind.
	Kind      string
	Terminals []string // DEVICE:TERMINAL
	Wires     []string
}

// Highlight is what a place wants brought out on the chart beyond the thing that
// is selected: the upstream paths of a device, the way of a probe. It changes no
// selection, and goes when something else is selected.
type Highlight struct {
	What    string // of what, as in "upstream of A1"; the chart's hint line shows it
	Devices []string
	Strands []Strand
	Gone    []Gone
}

// Gone is a wire that another state of the machine had between two terminals, and
// that is not there any more.
type Gone struct {
	Name     string
	From, To string // DEVICE:TERMINAL
}

// Empty is true where nothing is brought out.
func (h Highlight) Empty() bool {
	return len(h.Devices) == 0 && len(h.Strands) == 0 && len(h.Gone) == 0
}

// Highlight returns what is brought out. It is not to be changed.
func (d *Session) Highlight() Highlight { return d.highlight }

// SetHighlight brings something out on the chart; the zero value ends it. Select
// what it belongs to first. Listeners hear of it as Selected.
func (d *Session) SetHighlight(h Highlight) {
	if h.Empty() && d.highlight.Empty() {
		return
	}
	d.highlight = h
	d.tell(Selected)
}
