package faults

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// WhatIfResult says what the devices see when a wire or a link opens. Sees is
// never nil, the worst first.
type WhatIfResult struct {
	Opened string `json:"opened"`
	Sees   []Seen `json:"sees"`
}

// Seen is a feed and its volts against the device's own return.
type Seen struct {
	Device   string         `json:"device"`
	Terminal string         `json:"terminal"`
	Volt     model.Optional `json:"volt"`  // not known: the device floats
	Rated    model.Optional `json:"rated"` // not known: the map does not say
	Severity Severity       `json:"severity"`
}

// A feed's volts count as changed beyond this much of its rated volts, or this
// many volts where the rating is smaller or not known. Engineering judgement:
// well above what an edit of one wire moves by resistance alone.
const (
	changedShare = 0.01
	changedVolts = 0.02
)

// WhatIf opens a wire (W12) or a link (A:1-2) of the running machine and
// returns each feed whose volts change by it, or then lie above its limits.
// Volts come from the DC network: every rail at its volts, each load the
// resistance volts/load_a, the whole machine on (see Bench.On); crossings of nets
// that check reports are left out. Supplies and converters that the opening
// leaves without their own feed or mains give nothing. Errors: nothing of that
// name, or it is open already. Cost: one operating point and a little for each
// stage of converters that goes dark.
func WhatIf(m *model.Machine, what string) (*WhatIfResult, error) {
	b := layOut(m)
	element, name, err := findElement(b, what)
	if err != nil {
		return nil, err
	}
	return &WhatIfResult{Opened: name, Sees: newLosses(b).seenAfter(element)}, nil
}

// findElement reads the name of a wire or a link.
func findElement(b *Analysis, what string) (element int, name string, err error) {
	m, c := b.Machine, b.AsDrawn
	what = strings.TrimSpace(what)
	if !strings.Contains(what, ":") {
		row, found := m.WireIndex(what)
		if !found {
			return 0, "", fmt.Errorf("no wire %q; name a wire of the map, or a link as DEVICE:FROM-TO", what)
		}
		if m.Wires[row].Basis == model.BasisJoined {
			return 0, "", fmt.Errorf("%s is no wire that anybody has seen, the meter found its ends joined; name a wire or a link on the way", what)
		}
		if m.Wires[row].Removed {
			return 0, "", fmt.Errorf("wire %s is removed already; name one that is in place", what)
		}
		return row, what, nil
	}
	link, err := m.FindLink(what)
	if err != nil {
		return 0, "", err
	}
	for row := range m.Links {
		if m.Links[row].ID() != link.ID() {
			continue
		}
		if id := c.LinkElement(row); !c.Elements[id].Present && !b.On().Elements[id].Present {
			return 0, "", fmt.Errorf("%s is open already, with the whole machine on; name a link that conducts", link.Place())
		}
		return c.LinkElement(row), link.Place(), nil
	}
	return 0, "", fmt.Errorf("no link %q; write DEVICE:FROM-TO, as in S1:1-2", what)
}

// seenAfter compares the machine after the loss of an element with the whole one,
// feed by feed.
func (l *losses) seenAfter(element int) []Seen {
	after := l.lose(element)
	sees := []Seen{}
	for _, load := range l.b.Parts.Loads {
		was, is := feedVolts(l.whole, load), feedVolts(after, load)
		severity := severityOf(load, is)
		switch {
		case was.Known != is.Known:
		case !is.Known:
			continue // it floated before
		case math.Abs(is.Value-was.Value) > noticeable(load):
		case severity != Fault:
			continue // no change, and nothing that destroys
		}
		sees = append(sees, Seen{
			Device: load.Device, Terminal: l.b.name(load.Feed), Volt: is, Rated: load.Volts, Severity: severity,
		})
	}
	slices.SortFunc(sees, func(x, y Seen) int {
		return cmp.Or(cmp.Compare(rank(x.Severity), rank(y.Severity)), cmp.Compare(y.strain(), x.strain()), model.Compare(x.Terminal, y.Terminal))
	})
	return sees
}

// voltmeter tells the volts from black to red; false where nothing fixes them.
type voltmeter interface {
	Between(red, black int) (volts float64, known bool)
}

// feedVolts returns the volts of a feed against its own returns; not known
// where nothing fixes them.
func feedVolts(meter voltmeter, load graphs.Load) model.Optional {
	for _, t := range load.Returns {
		if volts, known := meter.Between(load.Feed, t); known {
			if math.Abs(volts) < 1e-9 {
				volts = 0
			}
			return model.Known(volts)
		}
	}
	return model.Optional{}
}

func noticeable(load graphs.Load) float64 {
	return max(changedVolts, changedShare*math.Abs(load.Volts.Or(0)))
}

// severityOf judges what a feed sees: reversed or above its limit destroys,
// too little or nothing starves.
func severityOf(load graphs.Load, volts model.Optional) Severity {
	if !volts.Known {
		return Warning
	}
	negative := load.Volts.Or(0) < 0 || !load.Volts.Known && load.MaxVolts.Known && load.MaxVolts.Value <= 0
	low, high, seen := load.MinVolts, load.MaxVolts, volts.Value
	if negative {
		low, high, seen = mirrored(load.MaxVolts), mirrored(load.MinVolts), -volts.Value
	}
	const slack = 1e-6
	switch {
	case seen < -noticeable(load):
		return Fault
	case high.Known && seen > high.Value*(1+slack):
		return Fault
	case low.Known && seen < low.Value*(1-slack):
		return Warning
	default:
		return Note
	}
}

func mirrored(o model.Optional) model.Optional {
	return model.Optional{Value: -o.Value, Known: o.Known}
}

func rank(s Severity) int { return slices.Index([]Severity{Fault, Warning, Note}, s) }

// strain says how far the volts lie from what the feed is made for, in parts
// of its rating; a floating feed counts as dead.
func (s Seen) strain() float64 {
	rated := math.Max(math.Abs(s.Rated.Or(1)), 1e-3)
	return math.Abs(s.Volt.Or(0)-s.Rated.Or(0)) / rated
}
