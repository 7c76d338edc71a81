package book

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"bellout/app/sheets"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// guard is a fuse or breaker with the wires of which it is the nearest.
type guard struct {
	link     model.Link
	breaker  bool
	wires    []*sheets.WireRow
	thinnest *sheets.WireRow // of those of known size: the one that may carry least
	may      float64         // amperes
	printed  model.Gauge
	amps     float64 // through itself, with every load drawing; 0: not known
	sizeless int
}

// guards lists the fuses and breakers, by place.
func (f *facts) guards() []*guard {
	m := f.machine()
	on := f.bench.On()
	currents := on.Currents(graphs.LoadsAsCurrents)
	at := map[int]*guard{}
	var list []*guard
	add := func(row int) *guard {
		if g := at[row]; g != nil {
			return g
		}
		d, _ := m.Device(m.Links[row].Device)
		g := &guard{link: m.Links[row], breaker: d.Kind == model.KindBreaker, amps: math.Abs(currents[on.LinkElement(row)].Or(0))}
		at[row] = g
		list = append(list, g)
		return g
	}
	for row, l := range m.Links {
		if l.Kind == model.LinkFuse {
			add(row)
		}
	}
	for row, duty := range f.bench.Duties() {
		for _, link := range duty.Fuses {
			g := add(link)
			w := f.wireAt[m.Wires[row].Name]
			g.wires = append(g.wires, w)
			may, printed, ok := graphs.FuseAmps(w.Gauge, g.breaker, f.settings.Ampacity)
			if !ok {
				g.sizeless++
				continue
			}
			if g.thinnest == nil || may < g.may || may == g.may && model.Less(w.Name, g.thinnest.Name) {
				g.thinnest, g.may, g.printed = w, may, printed
			}
		}
	}
	slices.SortFunc(list, func(a, b *guard) int {
		return cmp.Or(model.Compare(a.link.Device, b.link.Device), model.Compare(a.link.From, b.link.From))
	})
	return list
}

// verdict holds the rating against the thinnest wire.
func (g *guard) verdict() cell {
	switch {
	case len(g.wires) == 0:
		return say("no wire behind it in the map")
	case !g.link.Value.Known:
		return cell{text: "rating not known: read it", bold: true}
	case g.thinnest == nil:
		return cell{text: "size of the wires not known", bold: true}
	case g.link.Value.Value > g.may:
		return cell{text: "TOO LARGE for that wire", bold: true, colour: alarm}
	case g.amps > g.link.Value.Value:
		return cell{text: "smaller than the loads draw", bold: true}
	}
	text := "not larger than the wire may have"
	if g.sizeless > 0 {
		text += fmt.Sprintf("; %s of no known size", wording.Count(g.sizeless, "wire"))
	}
	return say(text)
}

// makeFuseCheck prints each fuse against the thinnest wire that it protects.
func makeFuseCheck(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Fuse and wire check", 24)
	source := "AWG by FAA AC 43.13-1B Table 11-3, mm2 by IEC 60204-1 Table 6, method B2, 40 °C ambient"
	if f.settings.Ampacity != "" {
		source = f.settings.Ampacity + " (setting ampacity)"
	}
	fl.para("Copper, by "+source+"; a size that the table lacks takes the next thinner printed one. Thinnest: of the wires whose nearest fuse upstream it is, the one that may be fused for least. "+
		"A return counts with the fuses in the feeds of its loads.", style{size: smallSize, colour: soft})
	fl.caution("Read the rating on the fuse itself before you believe this sheet. Never fit a larger one to stop it from blowing.")
	t := &table{columns: []column{{title: "fuse", bold: true, mono: true, most: 34}, {title: "what", most: 46}, {title: "rated", right: true}, {title: "carries", right: true}, {title: "wires", right: true},
		{title: "thinnest", mono: true, most: 26}, {title: "size"}, {title: "at most", right: true}, {title: "verdict", most: 50}, {title: "seen", fixed: 11}}}
	for _, g := range f.guards() {
		name := g.link.Place()
		thinnest, size, may := "", "", ""
		if g.thinnest != nil {
			thinnest, size, may = g.thinnest.Name, g.thinnest.Gauge.String(), figure(g.may, "A")
			if g.printed != g.thinnest.Gauge {
				may += " as " + g.printed.String()
			}
		}
		carries := ""
		if g.amps > 0 {
			carries = figure(g.amps, "A")
		}
		t.add(say(name), say(f.title(g.link.Device)), say(amount(g.link.Value, "A")), say(carries), say(digits(len(g.wires))), say(thinnest), say(size), say(may), g.verdict(), cell{shade: true})
		t.rows[len(t.rows)-1].least = 5
	}
	fl.table(t)
	f.findingsOf(fl, "What check says of fuses", "no-fuse", "fuse-too-large")
	return nil
}
