package model

import "fmt"

// Bond permits two returns to be common, or two rails to meet (a charger and its
// battery). It conducts nothing, and permissions chain: a bond from A to B and one
// from B to C permit A with C.
type Bond struct {
	From   TerminalRef `json:"from"`
	To     TerminalRef `json:"to"`
	Reason string      `json:"reason"`
}

// Table says which table a bond belongs to.
func (b Bond) Table() Table { return TableBond }

// ID is the pair, whichever end was written first.
func (b Bond) ID() string {
	from, to := b.From.String(), b.To.String()
	if Less(to, from) {
		from, to = to, from
	}
	return from + " " + to
}

// Validate returns every complaint about the bond by itself.
func (b Bond) Validate() []FieldError {
	var found complaints
	found.name("from", b.From.Device)
	found.name("from", b.From.Mark)
	found.name("to", b.To.Device)
	found.name("to", b.To.Mark)
	if b.From == b.To {
		found.add("to", fmt.Sprintf("the bond joins %s to itself", b.From), "write the other return")
	}
	found.text("reason", b.Reason)
	return found
}
