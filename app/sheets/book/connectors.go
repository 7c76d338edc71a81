package book

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"bellout/app/drawing"
	"bellout/app/sheets"
	"bellout/model"
)

// makeConnectors prints each plug: its faces with pin 1 marked, and what is on
// every pin of both halves.
func makeConnectors(ctx context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Connectors", 30)
	fl.para("The map knows the pins of a housing, not how they lie in it: they are drawn in the order of their marks. Compare with the marks moulded into the housing before you rely on a face. Against: the pin of the plug, or else the terminal, that is the 0 V of the same supply; another 0 V shows other volts. "+
		"A face seen from its other side is mirrored: wire side and mating face of one half run opposite ways.", style{size: smallSize, colour: soft})
	fl.caution("Volts are tested at the open plug before it is mated, on extra-low voltage only. Unplug with the power off: a return that breaks before its rail puts the rail's volts where none belong.")
	plugs := f.devicesOf(model.KindConnector)
	if len(plugs) == 0 {
		fl.para("The map holds no connectors.", style{})
	}
	for _, d := range plugs {
		if err := ctx.Err(); err != nil {
			return err
		}
		f.plug(fl, d)
	}
	return nil
}

// half is one half of a connector.
type half struct {
	name string
	pins []string
}

// halves parts the marks of a connector: by the letters that they begin with
// where links join different letters, else by the ends of the links.
func (f *facts) halves(device string) (first, second half, mate map[string][]string) {
	mate = map[string][]string{}
	side := map[string]int{}
	lettered := true
	for _, l := range f.links[device] {
		if l.Kind != model.LinkSolid {
			continue
		}
		mate[l.From] = append(mate[l.From], l.To)
		mate[l.To] = append(mate[l.To], l.From)
		lettered = lettered && letters(l.From) != letters(l.To)
		side[l.From], side[l.To] = 1, 2
	}
	names := []string{}
	for _, t := range f.marks[device] {
		if name := letters(t.Mark); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	lettered = lettered && len(names) == 2
	for _, t := range f.marks[device] {
		second_ := side[t.Mark] == 2
		if lettered {
			second_ = letters(t.Mark) == names[1]
		}
		if second_ {
			second.pins = append(second.pins, t.Mark)
		} else {
			first.pins = append(first.pins, t.Mark)
		}
	}
	first.name, second.name = "first half", "second half"
	if lettered {
		first.name, second.name = "half "+names[0], "half "+names[1]
	}
	if len(second.pins) == 0 {
		first.name = "the half that the map holds"
	}
	return first, second, mate
}

func letters(mark string) string {
	return strings.TrimRightFunc(mark, func(r rune) bool { return unicode.IsDigit(r) })
}

func (f *facts) plug(fl *flow, d model.Device) {
	first, second, mate := f.halves(d.Ref)
	keep := 34.0
	head := d.Ref
	if d.Title != "" {
		head += "  " + d.Title
	}
	if d.Zone != "" {
		head += ", " + d.Zone
	}
	fl.heading(head, keep)
	fl.page.anchor(plugAnchor(d.Ref), fl.left(), fl.y, head)
	f.faces(fl, first, second)
	f.plugPhotos(fl, d.Ref)
	t := &table{of: head, columns: []column{
		{title: "pin", bold: true, mono: true, most: 30}, {title: "mate", mono: true, most: 30}, {title: "net", most: 40}, {title: "volts", right: true}, {title: "against", mono: true, most: 30},
		{title: "wires on " + first.name, most: 90}, {title: "wires on its mate", most: 90}, {title: "ok", fixed: 8},
	}}
	if len(second.pins) == 0 {
		t.columns[5].title, t.columns[6].title = "wires", "mate"
	}
	for _, pin := range first.pins {
		ref := model.TerminalRef{Device: d.Ref, Mark: pin}
		var there []string
		for _, m := range mate[pin] {
			there = append(there, f.wiresAt(model.TerminalRef{Device: d.Ref, Mark: m})...)
		}
		t.add(say(pin), say(strings.Join(mate[pin], " ")), say(f.netName(ref)), say(railVolts(f, ref)), say(f.ownReturn(ref)), say(strings.Join(f.wiresAt(ref), "; ")), say(strings.Join(there, "; ")), cell{tick: true})
	}
	for _, pin := range second.pins { // those without a mate would be lost
		if len(mate[pin]) > 0 {
			continue
		}
		ref := model.TerminalRef{Device: d.Ref, Mark: pin}
		t.add(say("–"), say(pin), say(f.netName(ref)), say(railVolts(f, ref)), say(f.ownReturn(ref)), say(""), say(strings.Join(f.wiresAt(ref), "; ")), cell{tick: true})
	}
	fl.table(t)
}

// ownReturn is where the black tip goes for the volts of a pin: a pin of the same plug
// on the return of the supply whose rail it carries, else that supply's own terminal.
// Empty where no probe belongs, or the map does not say whose rail it is.
func (f *facts) ownReturn(ref model.TerminalRef) string {
	at, there := f.machine().TerminalIndex(ref)
	if !there || f.mains(at) {
		return ""
	}
	for _, supply := range f.bench.SuppliesAt(f.bench.NetOf(at)) {
		rail := f.parts.Supplies[supply].Rail
		for _, back := range f.parts.Supplies[supply].Returns {
			if !f.bench.MayProbeLive(rail, back) {
				return ""
			}
			for _, t := range f.marks[ref.Device] {
				if pin, there := f.machine().TerminalIndex(t.Ref()); there && f.bench.NetOf(pin) == f.bench.NetOf(back) {
					return t.Mark
				}
			}
			return f.ref(back).String()
		}
	}
	return ""
}

func railVolts(f *facts, ref model.TerminalRef) string {
	v := f.nominal(ref)
	if at, there := f.machine().TerminalIndex(ref); !v.Known || there && f.mains(at) {
		return ""
	}
	if v.Value == 0 {
		return "0 V"
	}
	return volts(v)
}

// wiresAt names the wires on a terminal: colour, gauge, and where they go.
func (f *facts) wiresAt(ref model.TerminalRef) []string {
	var list []string
	for _, w := range f.ends[ref] {
		list = append(list, f.wireTo(w, ref))
	}
	return list
}

func (f *facts) wireTo(w *sheets.WireRow, ref model.TerminalRef) string {
	looks := wireLooks(w)
	if looks != "" {
		looks = " " + looks
	}
	return fmt.Sprintf("%s%s → %s", w.Name, looks, other(w, ref))
}

// faces draws the faces of both halves, each seen from a named side.
func (f *facts) faces(fl *flow, first, second half) {
	type face struct {
		words    string
		pins     []string
		mirrored bool
	}
	list := []face{{first.name + ", wire side", first.pins, false}, {first.name + ", mating face (mirrored)", first.pins, true}}
	if len(second.pins) > 0 {
		list = append(list, face{second.name + ", mating face", second.pins, false}, face{second.name + ", wire side (mirrored)", second.pins, true})
	}
	most := max(len(first.pins), len(second.pins))
	if most > 48 {
		fl.note(fmt.Sprintf("%d pins: the faces are left out, the table holds them all.", most))
		return
	}
	const perRow, height = 16, 5.2
	gap := 6.0
	columns := 2
	width := (fl.width() - gap*float64(columns-1)) / float64(columns)
	cellWidth := min(width/float64(min(most, perRow)), 12)
	rows := (most + perRow - 1) / perRow
	for i := 0; i < len(list); i += columns {
		fl.room(float64(rows)*height + 7)
		for j := i; j < min(i+columns, len(list)); j++ {
			x := fl.left() + float64(j-i)*(width+gap)
			fl.page.text(x, fl.y+2.6, smallSize, drawing.Bold, list[j].words, width)
			fl.face(x, fl.y+3.8, cellWidth, height, perRow, list[j].pins, list[j].mirrored)
		}
		fl.used(float64(rows)*height + 6)
	}
}

// face draws the pins of one face in rows; pin 1 is square and black.
func (fl *flow) face(x, y, width, height float64, perRow int, pins []string, mirrored bool) {
	p := fl.page
	across := min(len(pins), perRow)
	rows := (len(pins) + perRow - 1) / perRow
	p.rectangle(box(x, y, x+float64(across)*width, y+float64(rows)*height), 0.8, 0.4, ink, noFill)
	for i, pin := range pins {
		column := i % perRow
		if mirrored {
			column = across - 1 - column
		}
		left, top := x+float64(column)*width, y+float64(i/perRow)*height
		size := 2.3
		for size > 1.2 && drawing.Measure(pin, size, drawing.MonoBold) > width-1.6 {
			size -= 0.1
		}
		place, c, fill := box(left+0.5, top+0.7, left+width-0.5, top+height-0.7), ink, noFill
		radius := 1.6
		if i == 0 {
			c, fill, radius = paper, ink, 0
		}
		p.rectangle(place, radius, 0.2, ink, fill)
		p.write(drawing.Text{At: at(left+width/2, top+height/2+size*0.34), Text: drawing.Fit(pin, size, drawing.MonoBold, width-1.2), Size: size, Face: drawing.MonoBold, Align: drawing.Centre, Colour: c})
	}
}
