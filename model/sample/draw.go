package sample

import (
	"strconv"
	"time"

	"pgregory.net/rapid"

	"bellout/model"
)

// Draw returns a small machine of any shape that the model allows: with texts
// that need care, numbers of any size, terminals of any role, links and wires
// anywhere, readings under conditions. It need not be a sound machine.
func Draw(t *rapid.T) *model.Machine {
	d := drawing{T: t, edit: model.Edit{What: "drawn"}}
	d.devices()
	d.inside()
	d.between()
	d.events()
	d.symptoms()
	d.settings()
	m := model.NewMachine()
	if err := m.Apply(d.edit); err != nil {
		t.Fatalf("drawn machine: %v", err)
	}
	readings := d.readings(m)
	if err := m.Apply(readings); err != nil {
		t.Fatalf("drawn readings: %v", err)
	}
	return m
}

// drawing holds what was drawn so far.
type drawing struct {
	*rapid.T
	edit  model.Edit
	refs  []string
	marks map[string][]string
	ends  []model.TerminalRef
	wires []string
	links []model.Link
}

func (d *drawing) add(row model.Row) {
	d.edit.Changes = append(d.edit.Changes, model.Change{After: row})
}

// Draws of one field each.
var (
	nameDraw   = rapid.StringMatching(`[A-Z]{1,2}[0-9]{0,3}(-[a-z])?`)
	markDraw   = rapid.StringMatching(`[0-9]{1,2}|[+-]|[A-Z]{1,3}[0-9]?(-[0-9])?`)
	textDraw   = rapid.OneOf(rapid.Just(""), rapid.StringMatching(`[ a-z0-9,;"'=+@\-\n\t]{0,12}`), rapid.StringMatching(`[\pL\pN \pP]{0,8}`))
	numberDraw = rapid.OneOf(
		rapid.Just(model.Optional{}),
		rapid.Map(rapid.IntRange(0, 5000), func(n int) model.Optional { return model.Known(float64(n) / 100) }),
		rapid.Map(rapid.Float64Range(0, 1e12), model.Known),
		rapid.Map(rapid.Float64Range(0, 1e-6), model.Known))
	colourDraw = rapid.SampledFrom([]model.Colour{"", "RD", "BK", "BU", "GNYE", "RDBU", "WH"})
	gaugeDraw  = rapid.OneOf(
		rapid.Just(model.Gauge{}),
		rapid.Map(rapid.IntRange(model.ThickestAWG, model.ThinnestAWG), func(n int) model.Gauge {
			return model.Gauge{System: model.GaugeAWG, AWG: n}
		}),
		rapid.Map(rapid.SampledFrom([]float64{0.14, 0.25, 0.5, 0.75, 1, 1.5, 2.5, 4}), func(a float64) model.Gauge {
			return model.Gauge{System: model.GaugeMetric, AreaMM2: a}
		}))
	timeDraw = rapid.Custom(func(t *rapid.T) time.Time {
		if rapid.Bool().Draw(t, "no time") {
			return time.Time{}
		}
		seconds := rapid.Int64Range(0, 4e9).Draw(t, "seconds")
		nanoseconds := rapid.SampledFrom([]int64{0, 0, 500_000_000, 1}).Draw(t, "nanoseconds")
		minutes := rapid.SampledFrom([]int{0, 60, 120, -210}).Draw(t, "offset")
		at := time.Unix(seconds, nanoseconds).UTC()
		if minutes != 0 {
			at = at.In(time.FixedZone("", 60*minutes))
		}
		return at
	})
)

func (d *drawing) devices() {
	d.marks = map[string][]string{}
	d.refs = rapid.SliceOfNDistinct(nameDraw, 0, 6, rapid.ID).Draw(d.T, "devices")
	for _, ref := range d.refs {
		d.add(model.Device{
			Ref: ref, Kind: rapid.SampledFrom(append([]model.DeviceKind{"gadget"}, model.DeviceKinds...)).Draw(d.T, "kind"),
			Title: textDraw.Draw(d.T, "title"), Zone: textDraw.Draw(d.T, "zone"),
			Health:   rapid.SampledFrom(model.Healths).Draw(d.T, "health"),
			FailedAt: timeDraw.Draw(d.T, "failed_at"), LoadAmps: numberDraw.Draw(d.T, "load_a"),
			LimitAmps: numberDraw.Draw(d.T, "limit_a"), Note: textDraw.Draw(d.T, "note"),
		})
		d.marks[ref] = rapid.SliceOfNDistinct(markDraw, 0, 5, rapid.ID).Draw(d.T, "marks of "+ref)
		for _, mark := range d.marks[ref] {
			terminal := model.Terminal{
				Device: ref, Mark: mark, Role: rapid.SampledFrom(append([]model.Role{""}, model.Roles...)).Draw(d.T, "role"),
				Volts:   rapid.SampledFrom([]model.Optional{{}, model.Known(5), model.Known(12), model.Known(-12), model.Known(24)}).Draw(d.T, "volts"),
				Section: rapid.SampledFrom([]string{"", "", "a", "b"}).Draw(d.T, "section"),
			}
			if rapid.Bool().Draw(d.T, "limits") {
				terminal.MinVolts, terminal.MaxVolts = model.Known(4.5), model.Known(30)
			}
			d.add(terminal)
			d.ends = append(d.ends, terminal.Ref())
		}
	}
}

// inside draws the links.
func (d *drawing) inside() {
	seen := map[string]bool{}
	for _, ref := range d.refs {
		if len(d.marks[ref]) < 2 {
			continue
		}
		for range rapid.IntRange(0, 4).Draw(d.T, "links of "+ref) {
			pair := d.two(len(d.marks[ref]))
			link := model.Link{
				Device: ref, From: d.marks[ref][pair[0]], To: d.marks[ref][pair[1]],
				Kind: rapid.SampledFrom(model.LinkKinds).Draw(d.T, "link"), Value: numberDraw.Draw(d.T, "value"),
			}
			if link.Kind == model.LinkFuse || link.Kind == model.LinkContact {
				link.State = rapid.SampledFrom([]model.LinkState{"", "open", "closed"}).Draw(d.T, "state")
			}
			if !seen[link.ID()] {
				seen[link.ID()] = true
				d.links = append(d.links, link)
				d.add(link)
			}
		}
	}
}

// between draws wires and bonds.
func (d *drawing) between() {
	if len(d.ends) < 2 {
		return
	}
	for i := range rapid.IntRange(0, 12).Draw(d.T, "wires") {
		pair := d.two(len(d.ends))
		wire := model.Wire{
			Name: "W" + strconv.Itoa(i+1), From: d.ends[pair[0]], To: d.ends[pair[1]],
			Colour: colourDraw.Draw(d.T, "colour"), Gauge: gaugeDraw.Draw(d.T, "gauge"),
			LengthMetres: numberDraw.Draw(d.T, "length"), Cable: textDraw.Draw(d.T, "cable"),
			Basis: rapid.SampledFrom(model.Bases).Draw(d.T, "basis"), Removed: rapid.IntRange(0, 5).Draw(d.T, "removed") == 0,
		}
		d.wires = append(d.wires, wire.Name)
		d.add(wire)
	}
	seen := map[string]bool{}
	for range rapid.IntRange(0, 3).Draw(d.T, "bonds") {
		pair := d.two(len(d.ends))
		bond := model.Bond{From: d.ends[pair[0]], To: d.ends[pair[1]], Reason: textDraw.Draw(d.T, "reason")}
		if !seen[bond.ID()] {
			seen[bond.ID()] = true
			d.add(bond)
		}
	}
}

// events draws what became of parts before.
func (d *drawing) events() {
	seen := map[string]bool{}
	for _, ref := range d.refs {
		for range rapid.IntRange(0, 2).Draw(d.T, "events of "+ref) {
			event := model.Event{At: timeDraw.Draw(d.T, "at"), Device: ref, Word: rapid.SampledFrom(model.EventWords).Draw(d.T, "event"), Note: textDraw.Draw(d.T, "note")}
			if len(event.Validate()) == 0 && !seen[event.ID()] {
				seen[event.ID()] = true
				d.add(event)
			}
		}
	}
}

// symptoms draws what devices did.
func (d *drawing) symptoms() {
	seen := map[string]bool{}
	for _, ref := range d.refs {
		for range rapid.IntRange(0, 1).Draw(d.T, "symptoms of "+ref) {
			symptom := model.Symptom{At: timeDraw.Draw(d.T, "at"), Device: ref, Word: rapid.SampledFrom(model.SymptomWords).Draw(d.T, "symptom"),
				Note: textDraw.Draw(d.T, "note"), Struck: textDraw.Draw(d.T, "struck")}
			if len(symptom.Validate()) == 0 && !seen[symptom.ID()] {
				seen[symptom.ID()] = true
				d.add(symptom)
			}
		}
	}
}

func (d *drawing) settings() {
	if rapid.Bool().Draw(d.T, "settings") {
		d.add(model.Setting{Key: model.KeyLeadOhm, Value: "0.3"})
		d.add(model.Setting{Key: model.KeyAmbientC, Value: "35"})
	}
}

// two draws two different numbers below count.
func (d *drawing) two(count int) [2]int {
	a := rapid.IntRange(0, count-1).Draw(d.T, "a")
	b := rapid.IntRange(0, count-2).Draw(d.T, "b")
	if b >= a {
		b++
	}
	return [2]int{a, b}
}

func (d *drawing) readings(m *model.Machine) model.Edit {
	edit := model.Edit{What: "drawn readings"}
	if len(d.ends) < 2 {
		return edit
	}
	for i := range rapid.IntRange(0, 6).Draw(d.T, "readings") {
		pair := d.two(len(d.ends))
		value := rapid.SampledFrom([]model.Value{
			{Kind: model.ShowsBeep}, {Kind: model.ShowsSilent}, {Kind: model.ShowsOL},
			{Number: 0.2}, {Number: 4700}, {Number: 11.85}, {Number: -0.3},
		}).Draw(d.T, "value")
		mode := value.DefaultMode()
		if value.Kind == model.ShowsNumber {
			modes := []model.Mode{model.ModeOhms, model.ModeVoltsDC, model.ModeVoltsAC, model.ModeDiode}
			if value.Number > 100 { // no diode range shows as much
				modes = modes[:3]
			}
			mode = rapid.SampledFrom(modes).Draw(d.T, "mode")
		}
		edit.Changes = append(edit.Changes, model.Change{After: model.Reading{
			Number: int64(i + 1), At: timeDraw.Draw(d.T, "at"), Red: d.ends[pair[0]], Black: d.ends[pair[1]],
			Mode: mode, Value: value, Conditions: d.conditions(m),
			Drift: rapid.SampledFrom([]model.Drift{"", "steady", "rising", "falling"}).Draw(d.T, "drift"),
			Note:  textDraw.Draw(d.T, "note"), Meter: textDraw.Draw(d.T, "meter"), Struck: textDraw.Draw(d.T, "struck"),
		}})
	}
	return edit
}

func (d *drawing) conditions(m *model.Machine) model.Conditions {
	var list []model.Condition
	if rapid.Bool().Draw(d.T, "unplugged") {
		list = append(list, model.Condition{Kind: model.Unplugged, Device: rapid.SampledFrom(d.refs).Draw(d.T, "plug")})
	}
	if len(d.wires) > 0 && rapid.Bool().Draw(d.T, "lifted") {
		name := rapid.SampledFrom(d.wires).Draw(d.T, "wire")
		if wire, _ := m.Wire(name); !m.ProtectiveWire(wire) { // never lifted
			list = append(list, model.Condition{Kind: model.Lifted, Wire: name})
		}
	}
	if len(d.links) > 0 && rapid.Bool().Draw(d.T, "switched") {
		// Several links may lie between the same marks: take the one that the
		// name finds.
		link, err := m.FindLink(rapid.SampledFrom(d.links).Draw(d.T, "contact").Place())
		kind := rapid.SampledFrom([]model.ConditionKind{model.ContactOpen, model.ContactClosed}).Draw(d.T, "position")
		unplugged := len(list) > 0 && list[0].Device == link.Device
		switch {
		case err != nil: // two pairs of marks fit the name
		case kind == model.ContactClosed && (unplugged || !link.Kind.Metal()): // it cannot be
		case kind == model.ContactOpen && m.ProtectiveLink(link): // never opened
		default:
			list = append(list, model.Condition{Kind: kind, Device: link.Device, From: link.From, To: link.To})
		}
	}
	text := model.NewConditions(list...).String()
	conditions, err := m.ParseConditions(text)
	if err != nil {
		d.Fatalf("conditions %q: %v", text, err)
	}
	return conditions
}
