package book

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bellout/app/drawing"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// makeDoorCard sets the card that hangs inside the door: as large as one page
// allows, since it is read at arm's length.
func makeDoorCard(_ context.Context, f *facts, s *Sheet) error {
	scales := []float64{1, 0.93, 0.86, 0.8, 0.74, 0.68}
	if f.job.Paper == A5 { // a card that is held in the hand
		scales = append(scales, 0.62, 0.56, 0.5)
	}
	for _, scale := range scales {
		s.pages = nil
		d := doorCard{facts: f, fl: newFlow(s, false), scale: scale}
		d.set()
		if len(s.pages) == 1 {
			return nil
		}
	}
	return nil // it goes on over pages
}

type doorCard struct {
	*facts
	fl    *flow
	scale float64
}

func (d *doorCard) size(mm float64) float64 { return mm * d.scale }

func (d *doorCard) set() {
	fl := d.fl
	fl.para(d.job.Title, style{size: d.size(10), face: drawing.Bold, most: 2})
	fl.cautionIn("Before you touch anything: plug out and in sight, or locked off. Batteries off. Wait. Measure 0 V. Only then hands in.", d.size(5.6))
	d.isolate()
	d.stored()
	d.supplies()
	d.colours()
	d.bond()
	d.contact()
}

func (d *doorCard) head(text string) {
	fl := d.fl
	size := d.size(5.4)
	fl.gap(1.2 * d.scale)
	fl.room(size*1.6 + d.size(14))
	fl.page.rectangle(box(fl.left(), fl.y, fl.right(), fl.y+size*1.4), 0, 0, noFill, ink)
	fl.page.write(drawing.Text{At: at(fl.left()+1.5, fl.y+size*1.06), Text: text, Size: size, Face: drawing.Bold, Colour: paper})
	fl.used(size*1.4 + 1)
}

func (d *doorCard) table(t *table) {
	if t.size == 0 {
		t.size = d.size(4.2)
	}
	d.fl.table(t)
}

func (d *doorCard) say(text string) { d.fl.para(text, style{size: d.size(4.2)}) }

func (d *doorCard) isolate() {
	iso := d.isolation()
	d.head("ISOLATE HERE")
	t := &table{columns: []column{{title: "", bold: true, mono: true}, {title: "what"}, {title: "where"}, {title: "do"}}}
	for _, inlet := range iso.inlets {
		t.add(say(inlet.Ref), say(inlet.Title), say(inlet.Zone), say("plug out, keep it in sight; or lock off before it"))
	}
	for _, ref := range iso.switches {
		device, _ := d.m.Device(ref)
		t.add(say(ref), say(device.Title), say(device.Zone), say("off: this alone is not isolation"))
	}
	staying := d.bench.Staying()
	var powered []string
	for i := range staying.Sources() {
		source := &staying.Sources()[i]
		device, _ := d.m.Device(source.Device)
		does := "battery: always live; disconnect as its maker says (" + staying.HowOff(source) + "), insulate the ends"
		if !source.Battery {
			does = "power of its own: live with the plug out; " + staying.HowOff(source)
			powered = append(powered, source.Device)
		}
		t.add(say(device.Ref), say(device.Title), say(device.Zone), say(does))
	}
	for _, ref := range d.sourceless() {
		if slices.Contains(powered, ref) {
			continue
		}
		device, _ := d.m.Device(ref)
		t.add(say(ref), say(device.Title), say(device.Zone), say("the map does not show what feeds it: find that and isolate it"))
	}
	if len(t.rows) == 0 {
		d.say("The map holds no mains inlet and no battery: find every source, other plugs and packs included, before you touch anything.")
		return
	}
	d.table(t)
	if len(iso.live) > 0 && len(iso.switches) > 0 {
		d.say("Live while the plug is in, switch off or not: " + wording.Some(iso.live, 8) + ".")
	}
}

// sourceless are supplies for which the map has neither mains nor feed.
func (f *facts) sourceless() []string {
	var list, all []string
	for _, s := range f.parts.Supplies {
		all = append(all, s.Device)
	}
	for _, d := range f.railless() {
		all = append(all, d.Ref)
	}
	for _, ref := range all {
		d, _ := f.m.Device(ref)
		if d.Kind.Known() == model.KindBattery || slices.Contains(list, ref) {
			continue
		}
		fed := slices.ContainsFunc(f.marks[ref], func(t model.Terminal) bool {
			return t.Role == model.RoleLine || t.Role == model.RoleFeed
		})
		if !fed {
			list = append(list, ref)
		}
	}
	return list
}

func (d *doorCard) stored() {
	d.head("STORED ENERGY: WAIT, THEN MEASURE")
	charges := d.charges()
	if len(charges) > 0 {
		t := &table{columns: []column{{title: "", bold: true, mono: true}, {title: "what"}, {title: "energy"}, {title: "how long"}}}
		for _, c := range charges[:min(len(charges), 8)] {
			what := d.title(c.device)
			if c.farads.Known {
				what += fmt.Sprintf(", %s µF at %s", model.Figures(c.farads.Value*1e6), c.place)
			}
			energy := "not known"
			if j := c.joules(); j.Known {
				energy = amount(j, "J") + " at " + volts(c.volts)
			}
			wait := "nothing in the map drains it: measure"
			if s := c.seconds(); s.Known {
				wait = "under 1 % after " + amount(s, "s") + ", by the map: measure"
			}
			t.add(say(c.device), say(what), say(energy), say(wait))
		}
		d.table(t)
		if len(charges) > 8 {
			d.say(fmt.Sprintf("And %d more: see the bring-up plan.", len(charges)-8))
		}
	}
	d.say("Every supply holds charge inside, hundreds of volts on its mains side: never open a sealed one. Wait 5 minutes (common practice), measure at its output, go on below 10 V. Drain with a resistor, never with a tool.")
}

func (d *doorCard) supplies() {
	d.head("SUPPLIES")
	t := &table{columns: []column{{title: "", bold: true, mono: true}, {title: "rail", bold: true}, {title: "at most"}, {title: "what for"}, {title: "where"}, {title: "0 V at"}}}
	outputs := d.outputs()
	bare := d.railless()
	most := 24 - min(len(bare), 8)
	for _, o := range outputs[:min(len(outputs), most)] {
		device, _ := d.m.Device(o.device)
		t.add(say(o.device), say(volts(o.volts)), say(amount(o.limit, "A")), say(device.Title), say(device.Zone), say(wording.Some(d.refs(o.returns), 2)))
	}
	for _, device := range bare[:min(len(bare), 8)] {
		t.add(say(device.Ref), say("no rail drawn on the map"), say(amount(device.LimitAmps, "A")), say(device.Title), say(device.Zone), say(""))
	}
	d.table(t)
	if more := max(0, len(outputs)-most) + max(0, len(bare)-8); more > 0 {
		d.say(fmt.Sprintf("And %d more: see the supply load check and the device register.", more))
	}
}

// railless are the supplies, converters and batteries of which the map does not
// show what they give: they are there, and give power, all the same.
func (f *facts) railless() []model.Device {
	var list []model.Device
	for _, kind := range []model.DeviceKind{model.KindSupply, model.KindConverter, model.KindBattery} {
		for _, d := range f.devicesOf(kind) {
			if !slices.ContainsFunc(f.marks[d.Ref], func(t model.Terminal) bool { return t.Role == model.RoleRail }) {
				list = append(list, d)
			}
		}
	}
	return list
}

// railColours is one line of the table of colours.
type railColours struct {
	name    string
	colours []colourCount
}

// colourLines lists the rails, returns, earth and mains with the colours of their
// wires, most of them first. Nets of one name but for their supply count together.
func (f *facts) colourLines() []railColours {
	var list []railColours
	at := map[string]int{}
	wires := map[string][]model.Wire{}
	for i := range f.nets.List {
		net := &f.nets.List[i]
		var name string
		switch net.Kind {
		case graphs.NetRail:
			name = f.railName(net)
		case graphs.NetReturn:
			name = "0 V"
		case graphs.NetEarth:
			name = "earth, PE"
		case graphs.NetLine:
			name = "mains, L"
		case graphs.NetNeutral:
			name = "mains, N"
		default:
			continue
		}
		for _, w := range f.wiresOf(net) {
			key := name
			if w.Colour == model.GreenYellow && net.Kind == graphs.NetReturn { // earth that is bonded to 0 V
				key = "earth, PE"
			}
			if _, there := at[key]; !there {
				at[key] = len(list)
				list = append(list, railColours{name: key})
			}
			wires[key] = append(wires[key], w)
		}
	}
	for i := range list {
		list[i].colours = coloursOf(wires[list[i].name])
	}
	return list
}

// railName is the volts of a rail net; where the map joins several, all of them.
func (f *facts) railName(net *graphs.Net) string {
	var list []string
	for _, t := range net.Terminals {
		if terminal := &f.machine().Terminals[t]; terminal.Role == model.RoleRail {
			list = addNew(list, volts(terminal.Volts))
		}
	}
	name := strings.Join(list, " with ")
	if len(list) > 1 {
		name += ": JOINED"
	}
	return name
}

func (d *doorCard) colours() {
	d.head("COLOURS, AS THE MAP HAS THEM")
	lines := d.colourLines()
	t := &table{columns: []column{{title: "", bold: true}, {title: "mostly", bold: true}}}
	if slices.ContainsFunc(lines, func(l railColours) bool { return len(l.colours) > 1 }) {
		t.columns = append(t.columns, column{title: "also"})
	}
	for _, line := range lines[:min(len(lines), 14)] {
		var also []string
		for _, c := range line.colours[1:] {
			also = append(also, orUnknown(c.colour)+fmt.Sprintf(" (%d)", c.count))
		}
		first := line.colours[0]
		row := []cell{say(line.name), {text: strings.TrimSpace(string(first.colour) + " " + orWords(first.colour) + fmt.Sprintf(", %s", wording.Count(first.count, "wire"))), swatch: first.colour}}
		if len(t.columns) > 2 {
			row = append(row, say(wording.Some(also, 5)))
		}
		t.add(row...)
	}
	d.table(t)
	d.say("A colour is an observation, never a proof.")
}

func orUnknown(c model.Colour) string {
	if c == "" {
		return "not noted"
	}
	return string(c)
}

func orWords(c model.Colour) string {
	if c == "" {
		return "not noted"
	}
	return drawing.ColourWords(c)
}

func (d *doorCard) bond() {
	d.head("WHERE 0 V MEETS EARTH")
	list, floating := d.bonds()
	for _, b := range list {
		if b.wire == "" {
			d.say("0 V of " + wording.Some(b.supplies, 8) + " meets earth by more than one way, or by none that is a single wire: see the bonding sheet.")
			continue
		}
		d.say(fmt.Sprintf("0 V of %s: wire %s, %s to %s. Leave it as it is.", wording.Some(b.supplies, 8), b.wire, b.from, b.to))
	}
	if len(floating) > 0 {
		d.say("Not joined to earth in the map: " + wording.Some(floating, 10) + ".")
	}
	if len(list)+len(floating) == 0 {
		d.say("The map shows no return of a supply.")
	}
}

func (d *doorCard) contact() {
	fl := d.fl
	count := 0
	for _, finding := range d.report.Findings {
		if finding.Severity == "fault" {
			count++
		}
	}
	if count > 0 {
		fl.para(fmt.Sprintf("%s open when this was printed: see the fault log.", wording.Count(count, "fault")), style{size: d.size(4.2), face: drawing.Bold})
	}
	fl.gap(1)
	fl.room(d.size(10))
	size := d.size(4.2)
	mid := (fl.left() + fl.right()) / 2
	fl.page.text(fl.left(), fl.y+d.size(7), size, drawing.Regular, "Ask:", 20)
	fl.page.line(fl.left()+d.size(11), fl.y+d.size(7.5), mid-3, fl.y+d.size(7.5), 0.2, ink)
	fl.page.text(mid, fl.y+d.size(7), size, drawing.Regular, "Electrician:", 40)
	fl.page.line(mid+d.size(24), fl.y+d.size(7.5), fl.right(), fl.y+d.size(7.5), 0.2, ink)
	fl.used(d.size(9))
}
