package faults

import (
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Severity says how much a finding matters.
type Severity string

// The severities, the worst first.
const (
	Fault   Severity = "fault"   // wrong: repair it
	Warning Severity = "warning" // would fail a careful inspection
	Note    Severity = "note"
)

// Finding is one thing that a rule found. The lists name what it is about, the
// culprit first; a culprit link stands as its device and both terminals, a
// joint as its terminal. No list is nil.
type Finding struct {
	Rule     string   `json:"rule"`
	Severity Severity `json:"severity"`
	// Mode says in what way a part failed; of failed-part only.
	Mode FailMode `json:"mode,omitempty"`
	// Headline is what is wrong and where in one line, under headlineRunes
	// characters and without evidence.
	Headline   string   `json:"headline"`
	Confidence float64  `json:"confidence"` // 0 to 1, given this map
	Devices    []string `json:"devices"`
	Terminals  []string `json:"terminals"`
	Wires      []string `json:"wires"`
	Nets       []string `json:"nets"`
	Readings   []int64  `json:"readings"`
	Message    string   `json:"message"` // what is wrong, and where
	Advice     string   `json:"advice"`  // the measurement that decides, then the repair
	// ShownDead says of a live part that it read dead since, with the plug out: it
	// is no danger as long as that stays out.
	ShownDead bool `json:"-"`
	// Culprit is what a finding of readings blames, without its rivals; empty
	// where the lists name nothing else.
	Culprit Culprit `json:"-"`
}

// Culprit names what is at fault.
type Culprit struct{ Devices, Terminals, Wires []string }

// FailMode is the way in which a part failed.
type FailMode string

// The modes.
const (
	FailDead     FailMode = "dead"
	FailLow      FailMode = "low"
	FailHigh     FailMode = "high"
	FailRipple   FailMode = "ripple"
	FailReversed FailMode = "reversed"
	FailOpen     FailMode = "open"
	FailShort    FailMode = "short"
	FailValue    FailMode = "value"
	FailBlown    FailMode = "blown"
	FailWelded   FailMode = "welded" // a contact that conducts where its position says open
	FailStuckOn  FailMode = "stuck-on"
	FailStuckOff FailMode = "stuck-off"
)

// Rule is one row of the table in the README's section Rules.
type Rule struct {
	Name  string // its word in the README, as in rail-cross
	Title string // one line
	Why   string // the longer reason; help, window and README show this text
	// Check finds what breaks the rule. It changes nothing.
	Check func(*Analysis) []Finding
}

// draft gathers what a finding names: the culprit first, then the rest as
// people read references, nothing twice.
type draft struct {
	b       *Analysis
	finding Finding
	first   named // the culprit, in the order of the evidence
	rivals  named // what may be at fault instead, the likeliest first
	rest    named
}

type named struct{ devices, terminals, wires, nets []string }

// draft begins a finding of a rule.
func (b *Analysis) draft(rule string, severity Severity) *draft {
	return &draft{b: b, finding: Finding{Rule: rule, Severity: severity, Confidence: 1}}
}

// blame names elements as the culprit: a wire by its name, a link by its device
// and both terminals.
func (d *draft) blame(elements ...int) *draft {
	d.nameElements(&d.first, elements)
	return d
}

// blameTerminals names terminals as the culprit, with their devices.
func (d *draft) blameTerminals(terminals ...int) *draft {
	for _, t := range terminals {
		d.first.terminals = append(d.first.terminals, d.b.name(t))
		d.first.devices = append(d.first.devices, d.b.device(t))
	}
	return d
}

// elements names wires and links that belong to the matter.
func (d *draft) elements(elements ...int) *draft {
	d.nameElements(&d.rest, elements)
	return d
}

// terminals names terminals, but not their devices.
func (d *draft) terminals(terminals ...int) *draft {
	for _, t := range terminals {
		d.rest.terminals = append(d.rest.terminals, d.b.name(t))
	}
	return d
}

// devices names devices.
func (d *draft) devices(refs ...string) *draft {
	d.rest.devices = append(d.rest.devices, refs...)
	return d
}

// nets names the nets of terminals, as they are called when every culprit is
// taken out.
func (d *draft) nets(terminals ...int) *draft {
	for _, t := range terminals {
		d.rest.nets = append(d.rest.nets, d.b.Net(t).Name)
	}
	return d
}

func (d *draft) nameElements(to *named, elements []int) {
	c := d.b.AsDrawn
	for _, id := range elements {
		e := c.Elements[id]
		switch {
		case e.Kind == graphs.Wire:
			to.wires = append(to.wires, d.b.Machine.Wires[e.Row].Name)
		case e.Kind == graphs.Joined:
			to.wires = append(to.wires, d.b.Machine.Wires[id].Name)
		case e.Row >= 0:
			to.devices = append(to.devices, d.b.device(e.A))
			to.terminals = append(to.terminals, d.b.name(e.A), d.b.name(e.B))
		}
	}
}

// headed gives the finding its headline; see headline.
func (d *draft) headed(format string, names ...string) *draft {
	d.finding.Headline = headline(format, names...)
	return d
}

// say ends a finding with its words.
func (d *draft) say(confidence float64, message, advice string) Finding {
	f := d.finding
	f.Confidence, f.Message, f.Advice = confidence, message, d.b.withStaying(d, advice)
	f.Devices = inOrder(append(slices.Clone(d.first.devices), d.rivals.devices...), d.rest.devices)
	f.Terminals = inOrder(append(slices.Clone(d.first.terminals), d.rivals.terminals...), d.rest.terminals)
	f.Wires = inOrder(append(slices.Clone(d.first.wires), d.rivals.wires...), d.rest.wires)
	f.Nets = inOrder(append(slices.Clone(d.first.nets), d.rivals.nets...), d.rest.nets)
	f.Readings = []int64{}
	return f
}

// inOrder puts the first names first and sorts the rest; never nil, no name
// twice.
func inOrder(first, rest []string) []string {
	sorted := slices.Clone(rest)
	slices.SortFunc(sorted, model.Compare)
	list := make([]string, 0, len(first)+len(rest))
	seen := make(map[string]bool, len(first)+len(rest))
	for _, name := range append(slices.Clone(first), sorted...) {
		if !seen[name] {
			seen[name] = true
			list = append(list, name)
		}
	}
	return list
}

// sortFindings puts findings of one rule in an order that the map's row order
// does not change.
func sortFindings(list []Finding) {
	key := func(f Finding) string {
		return strings.Join(slices.Concat(f.Wires, f.Terminals, f.Devices, f.Nets), " ")
	}
	slices.SortStableFunc(list, func(x, y Finding) int { return model.Compare(key(x), key(y)) })
}
