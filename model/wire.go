package model

import "fmt"

// Basis says how the map knows of a wire.
type Basis string

// The bases of a wire. Empty in a file means BasisPlanned.
const (
	BasisPlanned Basis = "planned" // it was meant to be there
	BasisSeen    Basis = "seen"    // somebody followed it by eye
	BasisProbed  Basis = "probed"  // the meter found it
	// BasisJoined: a meter proved that metal joins the two terminals; which way the
	// wire runs nobody has seen. Such a row makes nets, and is no run of wire.
	BasisJoined Basis = "joined"
)

// ByMeter says whether the meter alone knows of the row.
func (b Basis) ByMeter() bool { return b == BasisProbed || b == BasisJoined }

// Bases lists every basis.
var Bases = []Basis{BasisPlanned, BasisSeen, BasisProbed, BasisJoined}

// Wire is one conductor between two terminals.
type Wire struct {
	Name         string      `json:"wire"` // unique, as in W1
	From         TerminalRef `json:"from"`
	To           TerminalRef `json:"to"`
	Colour       Colour      `json:"colour"`
	Gauge        Gauge       `json:"gauge"`
	LengthMetres Optional    `json:"length_m"`
	Cable        string      `json:"cable"` // the cable or loom it runs in
	Basis        Basis       `json:"basis"`
	Removed      bool        `json:"removed"` // taken out of the machine, kept in the map
}

// Table says which table a wire belongs to.
func (w Wire) Table() Table { return TableWire }

// ID is the wire's name.
func (w Wire) ID() string { return w.Name }

// Runs says whether the row is a run of wire that the machine has now: it was not
// taken out, and it is not only known that metal joins its ends.
func (w Wire) Runs() bool { return !w.Removed && w.Basis != BasisJoined }

// Validate returns every complaint about the wire by itself.
func (w Wire) Validate() []FieldError {
	var found complaints
	found.ownName("wire", w.Name)
	found.name("from", w.From.Device)
	found.name("from", w.From.Mark)
	found.name("to", w.To.Device)
	found.name("to", w.To.Mark)
	if w.From == w.To {
		found.add("to", fmt.Sprintf("the wire runs from %s to itself", w.From), "write the terminal at its other end")
	}
	if normal, err := ParseColour(string(w.Colour)); err != nil {
		found.add("colour", err.Error(), "")
	} else if normal != w.Colour {
		found.add("colour", fmt.Sprintf("%q is not in the order of the table", w.Colour), "write "+string(normal))
	}
	found = append(found, w.Gauge.validate()...)
	found.notNegative("length_m", w.LengthMetres)
	found.text("cable", w.Cable)
	found.oneOf("basis", string(w.Basis), words(Bases))
	return found
}
