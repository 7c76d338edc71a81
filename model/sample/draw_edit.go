package sample

import (
	"fmt"
	"slices"
	"time"

	"pgregory.net/rapid"

	"bellout/model"
)

// DrawEdit returns an edit of one to most drawn steps that the machine takes:
// rows of every table come, change, are renamed and go. Names of rows that come
// begin with mark, so that edits drawn for two copies of a machine can be told
// apart, or be made to meet.
func DrawEdit(t *rapid.T, m *model.Machine, mark string, most int) model.Edit {
	now := m.Clone()
	edit := model.Edit{What: "drawn"}
	for range rapid.IntRange(1, most).Draw(t, "steps") {
		d := editing{T: t, m: now, sorted: now.Sorted(), mark: mark}
		changes := d.step()
		if now.Apply(model.Edit{Changes: changes}) == nil {
			edit.Changes = append(edit.Changes, changes...)
		}
	}
	return edit
}

type editing struct {
	*rapid.T
	m, sorted *model.Machine
	mark      string
}

func (d *editing) step() []model.Change {
	steps := map[string]func() []model.Change{
		"device": d.device, "template": d.template, "setting": d.setting,
	}
	if len(d.sorted.Devices) > 0 {
		steps["device changed"], steps["devices gone"], steps["place"], steps["photo"] = d.deviceChanged, d.devicesGone, d.place, d.photo
		steps["event"], steps["symptom"] = d.event, d.symptom
		steps["terminal"] = d.terminal
	}
	if len(d.sorted.Terminals) > 1 {
		steps["wire"], steps["bond"], steps["reading"], steps["link"], steps["terminal changed"] = d.wire, d.bond, d.reading, d.link, d.terminalChanged
	}
	if len(d.sorted.Wires) > 0 {
		steps["wire changed"] = d.wireChanged
	}
	if len(d.sorted.Readings) > 0 {
		steps["struck"] = d.struck
	}
	names := make([]string, 0, len(steps))
	for name := range steps {
		names = append(names, name)
	}
	slices.Sort(names)
	return steps[rapid.SampledFrom(names).Draw(d.T, "step")]()
}

// fresh draws one of few names, so that two edits meet now and then.
func (d *editing) fresh() string {
	return fmt.Sprintf("%s%d", d.mark, rapid.IntRange(1, 4).Draw(d.T, "name"))
}

func (d *editing) end(label string) model.TerminalRef {
	return rapid.SampledFrom(d.sorted.Terminals).Draw(d.T, label).Ref()
}

func (d *editing) anyDevice() model.Device {
	return rapid.SampledFrom(d.sorted.Devices).Draw(d.T, "device")
}

func coming(rows ...model.Row) (changes []model.Change) {
	for _, row := range rows {
		changes = append(changes, model.Change{After: row})
	}
	return changes
}

// upsert puts a row in the place of the one of its ID, if there is one.
func (d *editing) upsert(row model.Row) []model.Change {
	return []model.Change{{Before: d.m.Row(row.Table(), row.ID()), After: row}}
}

func (d *editing) device() []model.Change {
	ref := "D" + d.fresh()
	return coming(model.Device{Ref: ref, Kind: model.KindLamp, Title: textDraw.Draw(d.T, "title"), Health: model.HealthOK},
		model.Terminal{Device: ref, Mark: "1", Role: model.RoleFeed, Volts: model.Known(12)}, model.Terminal{Device: ref, Mark: "2", Role: model.RoleReturn})
}

func (d *editing) devicesGone() []model.Change { return d.m.DeleteDevices(d.anyDevice().Ref).Changes }

func (d *editing) deviceChanged() []model.Change {
	before := d.anyDevice()
	after := before
	switch rapid.IntRange(0, 3).Draw(d.T, "how") {
	case 0:
		after.Title = textDraw.Draw(d.T, "title")
	case 1:
		after.Health = rapid.SampledFrom(model.Healths).Draw(d.T, "health")
	case 2:
		after.Zone = rapid.SampledFrom([]string{"bay 1", "bay 2"}).Draw(d.T, "zone")
	default:
		after.Kind = rapid.SampledFrom(model.DeviceKinds).Draw(d.T, "kind")
	}
	return []model.Change{{Before: before, After: after}}
}

func (d *editing) terminal() []model.Change {
	return coming(model.Terminal{Device: d.anyDevice().Ref, Mark: d.fresh()})
}

func (d *editing) terminalChanged() []model.Change {
	before := rapid.SampledFrom(d.sorted.Terminals).Draw(d.T, "terminal")
	after := before
	after.Role = rapid.SampledFrom(model.Roles).Draw(d.T, "role")
	return []model.Change{{Before: before, After: after}}
}

func (d *editing) wire() []model.Change {
	return coming(model.Wire{Name: "W" + d.fresh(), From: d.end("from"), To: d.end("to"), Colour: colourDraw.Draw(d.T, "colour"), Basis: model.BasisSeen})
}

func (d *editing) wireChanged() []model.Change {
	before := rapid.SampledFrom(d.sorted.Wires).Draw(d.T, "wire")
	after := before
	switch rapid.IntRange(0, 6).Draw(d.T, "how") {
	case 0:
		return []model.Change{{Before: before}}
	case 1:
		after.Name = "W" + d.fresh()
	case 2:
		after.To = d.end("to")
	case 3:
		after.Removed = !after.Removed
	case 4:
		after.Colour = colourDraw.Draw(d.T, "colour")
	case 5:
		after.Gauge = gaugeDraw.Draw(d.T, "gauge")
	default:
		after.From, after.To = after.To, after.From
	}
	return []model.Change{{Before: before, After: after}}
}

func (d *editing) link() []model.Change {
	device := d.anyDevice().Ref
	marks := d.m.Marks(device)
	if len(marks) < 2 {
		return nil
	}
	link := model.Link{Device: device, From: marks[0], To: marks[1], Kind: rapid.SampledFrom(model.LinkKinds).Draw(d.T, "kind")}
	if before := d.m.Row(model.TableLink, link.ID()); before != nil && rapid.Bool().Draw(d.T, "gone") {
		return []model.Change{{Before: before}}
	}
	link.Value = numberDraw.Draw(d.T, "value")
	return d.upsert(link)
}

func (d *editing) bond() []model.Change {
	bond := model.Bond{From: d.end("from"), To: d.end("to")}
	if before := d.m.Row(model.TableBond, bond.ID()); before != nil && rapid.Bool().Draw(d.T, "gone") {
		return []model.Change{{Before: before}}
	}
	bond.Reason = textDraw.Draw(d.T, "reason")
	return d.upsert(bond)
}

func (d *editing) reading() []model.Change {
	number := int64(1)
	for _, r := range d.m.Readings {
		number = max(number, r.Number+1)
	}
	return coming(model.Reading{Number: number, At: timeDraw.Draw(d.T, "at"), Red: d.end("red"), Black: d.end("black"), Mode: model.ModeVoltsDC,
		Value: model.Value{Number: float64(rapid.IntRange(0, 3).Draw(d.T, "volts"))}, Meter: d.mark})
}

func (d *editing) struck() []model.Change {
	before := rapid.SampledFrom(d.sorted.Readings).Draw(d.T, "reading")
	after := before
	after.Struck = rapid.SampledFrom([]string{"", "slipped", "wrong lead"}).Draw(d.T, "reason")
	return []model.Change{{Before: before, After: after}}
}

func (d *editing) setting() []model.Change {
	return d.upsert(model.Setting{Key: model.KeyLeadOhm, Value: rapid.SampledFrom([]string{"0.1", "0.2", "0.3"}).Draw(d.T, "ohm")})
}

func (d *editing) place() []model.Change {
	return d.upsert(model.Place{Device: d.anyDevice().Ref, X: float64(rapid.IntRange(-3, 3).Draw(d.T, "x")), Pinned: rapid.Bool().Draw(d.T, "pinned")})
}

func (d *editing) photo() []model.Change {
	photo := model.Photo{Device: d.anyDevice().Ref, Hash: fmt.Sprintf("%064x", rapid.IntRange(1, 3).Draw(d.T, "picture")),
		Format: model.PhotoPNG, SizeBytes: 100, Width: 3, Height: 2}
	if before := d.m.Row(model.TablePhoto, photo.ID()); before != nil && rapid.Bool().Draw(d.T, "gone") {
		return []model.Change{{Before: before}}
	}
	photo.Caption = textDraw.Draw(d.T, "caption")
	for _, mark := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"A1", "+", "B,"}), 0, 3, rapid.ID[string]).Draw(d.T, "pins") {
		photo.Pins = photo.Pins.With(model.PhotoPin{Mark: mark, Across: rapid.IntRange(0, 1000).Draw(d.T, "across"), Down: 7})
	}
	return d.upsert(photo)
}

func (d *editing) symptom() []model.Change {
	symptom := model.Symptom{At: time.Date(2026, 5, rapid.IntRange(1, 3).Draw(d.T, "day"), 12, 0, 0, 0, time.UTC), Device: d.anyDevice().Ref,
		Word: rapid.SampledFrom(model.SymptomWords).Draw(d.T, "symptom")}
	if before := d.m.Row(model.TableSymptom, symptom.ID()); before != nil {
		after := before.(model.Symptom)
		after.Struck = rapid.SampledFrom([]string{"", "the other one"}).Draw(d.T, "struck")
		return []model.Change{{Before: before, After: after}}
	}
	return coming(symptom)
}

func (d *editing) event() []model.Change {
	event := model.Event{At: time.Date(2026, 5, rapid.IntRange(1, 3).Draw(d.T, "day"), 12, 0, 0, 0, time.UTC), Device: d.anyDevice().Ref,
		Word: rapid.SampledFrom(model.EventWords).Draw(d.T, "event"), Note: rapid.SampledFrom([]string{"", "input shorted"}).Draw(d.T, "note")}
	if before := d.m.Row(model.TableHistory, event.ID()); before != nil {
		if rapid.Bool().Draw(d.T, "gone") {
			return []model.Change{{Before: before}}
		}
		after := before.(model.Event)
		after.Note = "capacitors vented"
		return []model.Change{{Before: before, After: after}}
	}
	return coming(event)
}

func (d *editing) template() []model.Change {
	template := model.Template{Name: rapid.SampledFrom([]string{"driver", "plug pair"}).Draw(d.T, "template"), Definition: rapid.SampledFrom([]string{"4", "8"}).Draw(d.T, "text")}
	if before := d.m.Row(model.TableTemplate, template.ID()); before != nil && rapid.Bool().Draw(d.T, "gone") {
		return []model.Change{{Before: before}}
	}
	return d.upsert(template)
}
