package book

import (
	"context"
	"strings"

	"bellout/model"
)

// makeBonding prints where returns meet each other and earth, meant or not.
func makeBonding(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Bonding", 24)
	fl.caution("Do not add, move or take away a bond of 0 V to earth on a hunch: it changes shock, fuse and damage behaviour. Follow the supply's manual and the local code. Earth is never cut, lifted or used as a return. " + f.bench.Staying().Everything())
	list, floating := f.bonds()
	fl.heading("0 V to earth, as the map has it", 12)
	t := &table{columns: []column{{title: "0 V of", bold: true, most: 60}, {title: "wire", mono: true}, {title: "from", mono: true}, {title: "to", mono: true}, {title: "looks"}, {title: "status"}, {title: "measured"}, {title: "now, Ω", fixed: 18}}}
	for _, b := range list {
		if b.wire == "" {
			t.add(cells(strings.Join(b.supplies, " "), "", "", "", "no single wire joins them: more than one way, or metal inside a device", "", "")...)
			continue
		}
		w := f.wireAt[b.wire]
		t.add(say(strings.Join(b.supplies, " ")), say(b.wire), say(b.from.String()), say(b.to.String()), cell{text: wireLooks(w), swatch: w.Colour}, say(string(w.Status)), say(amount(w.MeasuredOhms, "Ω")), cell{shade: true})
		t.rows[len(t.rows)-1].least = 5.5
	}
	for _, device := range floating {
		t.add(cells(device, "", "", "", "floats: not joined to earth in the map", "", "")...)
	}
	fl.table(t)
	fl.heading("Returns that are meant to be common", 12)
	t = &table{columns: []column{{title: "from", bold: true, mono: true}, {title: "to", bold: true, mono: true}, {title: "why", most: 80}, {title: "joined in the map"}, {title: "expected"}, {title: "now, Ω", fixed: 18}}}
	for _, b := range f.m.Bonds {
		t.add(say(b.From.String()), say(b.To.String()), say(b.Reason), say(f.joined(b.From, b.To)), say(f.expectedOhms(b.From, b.To)), cell{shade: true})
		t.rows[len(t.rows)-1].least = 5.5
	}
	fl.table(t)
	fl.heading("Earth at every device that has it", 12)
	fl.note("Measured with the plug out: from the earth pin of the plug to metal that can be touched. What the limit is, the local code says; Bellout does not judge it. A licensed person tests it.")
	t = &table{columns: []column{{title: "terminal", bold: true, mono: true, most: 40}, {title: "of", most: 60}, {title: "where", most: 40}, {title: "joined in the map to the inlet's earth"}, {title: "now, Ω", fixed: 18}}}
	inlet, have := f.inletEarth()
	for _, terminal := range f.m.Terminals {
		if terminal.Role != model.RoleEarth || have && terminal.Ref() == inlet {
			continue
		}
		joined := "the map holds no inlet with earth"
		if have {
			joined = f.joined(inlet, terminal.Ref())
		}
		d, _ := f.m.Device(terminal.Device)
		t.add(say(terminal.Ref().String()), say(d.Title), say(d.Zone), say(joined), cell{shade: true})
		t.rows[len(t.rows)-1].least = 5
	}
	fl.table(t)
	f.findingsOf(fl, "What check says of returns and earth", "mixed-ground", "ground-loop", "floating-ground", "no-earth", "critical-return")
	return nil
}

func (f *facts) inletEarth() (model.TerminalRef, bool) {
	for _, d := range f.devicesOf(model.KindMainsInlet) {
		for _, t := range f.marks[d.Ref] {
			if t.Role == model.RoleEarth {
				return t.Ref(), true
			}
		}
	}
	return model.TerminalRef{}, false
}

func (f *facts) joined(a, b model.TerminalRef) string {
	from, one := f.machine().TerminalIndex(a)
	to, two := f.machine().TerminalIndex(b)
	if one && two && f.nets.Same(from, to) {
		return "yes"
	}
	return "NO"
}

// expectedOhms is what a good machine shows between two terminals.
func (f *facts) expectedOhms(a, b model.TerminalRef) string {
	from, one := f.machine().TerminalIndex(a)
	to, two := f.machine().TerminalIndex(b)
	if !one || !two || !f.nets.Same(from, to) {
		return ""
	}
	ohms := f.bench.AsDrawn.Ohms(from, to)
	if ohms < 0.01 { // less than a hand meter shows
		return "under 0.01 Ω and leads"
	}
	return model.Figures(ohms) + " Ω and leads"
}
