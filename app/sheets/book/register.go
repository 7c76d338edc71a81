package book

import (
	"context"
	"fmt"
	"strings"

	"bellout/model"
	"bellout/model/wording"
)

// makeRegister prints every device.
func makeRegister(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Device register", 24)
	fl.para(wording.Count(len(f.m.Devices), "device")+", by reference. Volts: of its rails or feeds, limits in brackets where they are not 0.9 and 1.1 of them. Draws and gives: load_a and limit_a of the map. Suppressed: a diode across its coil.", style{size: smallSize, colour: soft})
	columns := []column{
		{title: "device", bold: true, mono: true, most: 34}, {title: "what", most: 50}, {title: "kind", most: 26}, {title: "where", most: 32}, {title: "volts", most: 30}, {title: "draws", right: true}, {title: "gives", right: true},
		{title: "0 V or PE at", mono: true, most: 30}, {title: "suppressed"}, {title: "state", most: 34}, {title: "photos", right: true}, {title: "note", most: 70},
	}
	if f.withChart {
		columns = append(columns, column{title: "chart", mono: true, fixed: lateWidth + 2*cellPad})
	}
	t := &table{columns: columns, size: 2.3}
	for _, d := range f.m.Devices {
		state := cell{text: string(d.Health)}
		if d.Health == model.HealthFailed {
			state = cell{text: strings.TrimSpace("FAILED " + day(d.FailedAt)), bold: true, colour: alarm}
		}
		if since, replaced := f.m.InSince(d.Ref); replaced {
			state.text += ", in since " + day(since)
		}
		photos := ""
		if n := len(f.m.PhotosOf(d.Ref)); n > 0 {
			photos = digits(n)
		}
		row := []cell{say(d.Ref), say(d.Title), say(string(d.Kind)), say(d.Zone), say(f.deviceVolts(d.Ref)), say(amount(d.LoadAmps, "A")), say(amount(d.LimitAmps, "A")),
			say(f.deviceReturns(d.Ref)), say(f.suppressed(d.Ref)), state, say(photos), say(d.Note)}
		if f.withChart {
			row = append(row, f.deviceCell(d.Ref))
		}
		t.add(row...)
		t.rows[len(t.rows)-1].anchor = deviceAnchor(d.Ref)
	}
	fl.table(t)
	return nil
}

// deviceVolts lists the volts of a device's rails and feeds, each once.
func (f *facts) deviceVolts(device string) string {
	var list []string
	for _, t := range f.marks[device] {
		if t.Role != model.RoleRail && t.Role != model.RoleFeed || !t.Volts.Known {
			continue
		}
		text := model.FormatNumber(t.Volts.Value) + " V"
		if t.MinVolts.Known || t.MaxVolts.Known {
			low, high := t.Limits()
			text += fmt.Sprintf(" (%s–%s)", model.Figures(low.Value), model.Figures(high.Value))
		}
		list = addNew(list, text)
	}
	return strings.Join(list, ", ")
}

// deviceReturns lists the nets that a device's returns and earths are on.
func (f *facts) deviceReturns(device string) string {
	var list []string
	for _, t := range f.marks[device] {
		if t.Role == model.RoleReturn || t.Role == model.RoleEarth {
			list = addNew(list, t.Mark)
		}
	}
	return strings.Join(list, " ")
}

// suppressed says whether a coil has a diode across it; empty for what has no coil.
func (f *facts) suppressed(device string) string {
	d, _ := f.m.Device(device)
	switch d.Kind {
	case model.KindSolenoid, model.KindRelay, model.KindMotor:
	default:
		return ""
	}
	coil := false
	for _, l := range f.links[device] {
		coil = coil || l.Kind == model.LinkResistance
		if l.Kind == model.LinkDiode {
			return "yes"
		}
	}
	if coil {
		return "no"
	}
	return ""
}

func addNew(list []string, text string) []string {
	for _, there := range list {
		if there == text {
			return list
		}
	}
	return append(list, text)
}
