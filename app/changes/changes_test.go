package changes

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

func TestTheRepairOfTheDemoMachineInWords(t *testing.T) {
	r := look(t, demo(t, assets.AsFound), demo(t, assets.AsRepaired)).Report()
	for name, want := range map[string][]string{
		"wires_removed":    {"W228", "W229"},
		"wires_changed":    {"W130"},
		"devices_replaced": {"A2", "B5", "B7"},
	} {
		if got := namesIn(r, name); !slices.Equal(got, want) {
			t.Errorf("%s: got %v, want %v", name, got, want)
		}
	}
	var gone []string
	for _, f := range r.Gone {
		gone = append(gone, f.Rule)
	}
	for _, rule := range []string{"rail-cross", "mixed-ground", "open", "short"} {
		if !slices.Contains(gone, rule) {
			t.Errorf("%s is repaired, but not among the findings that went: %v", rule, gone)
		}
	}
}

func namesIn(r *Report, group string) []string {
	var names []string
	for _, g := range r.Groups {
		if g.Name == group {
			for _, e := range g.Entries {
				names = append(names, e.Name)
			}
		}
	}
	return names
}

func TestAMachineDoesNotDifferFromItself(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := sample.Draw(rt)
		s, err := Look(t.Context(), "a", m, "b", m.Clone())
		if err != nil {
			rt.Fatal(err)
		}
		if r := s.Report(); !r.Empty() {
			rt.Fatalf("%+v", r)
		}
		again, err := s.Again(t.Context())
		if err != nil || !again.Empty() {
			rt.Fatalf("%+v, %v", again, err)
		}
	})
}

// Whatever is edited: every wire that is new, moved or of other copper is proven by
// a probe of the list, or named as one that none proves; no probe wants volts, and
// each says why.
func TestEveryTouchedWireIsVerifiedAgain(t *testing.T) {
	covered := 0
	rapid.Check(t, func(rt *rapid.T) {
		before := sample.Draw(rt)
		after := before.Clone()
		if err := after.Apply(sample.DrawEdit(rt, after, "edit", 4)); err != nil {
			return // without its photos it does not hold together
		}
		if len(after.Wires) > 0 && len(after.Terminals) > 2 && rapid.Bool().Draw(rt, "move a wire") {
			w := rapid.SampledFrom(after.Wires).Draw(rt, "wire")
			is := w
			is.To = rapid.SampledFrom(after.Terminals).Draw(rt, "to").Ref()
			if is.To != is.From {
				if err := after.Apply(model.Edit{Changes: []model.Change{{Before: w, After: is}}}); err != nil {
					rt.Fatal(err)
				}
			}
		}
		s, err := Look(t.Context(), "before", before, "after", after)
		if err != nil {
			rt.Fatal(err)
		}
		again, err := s.Again(t.Context())
		if err != nil {
			rt.Fatal(err)
		}
		named := map[string]bool{}
		for _, c := range again.Checks {
			if len(c.Because) == 0 {
				rt.Fatalf("no reason: %+v", c)
			}
			if c.Probe.Mode == model.ModeVoltsDC || c.Probe.Mode == model.ModeVoltsAC {
				rt.Fatalf("a live probe: %+v", c.Probe)
			}
			for _, name := range c.Proves {
				named[name] = true
			}
		}
		for _, l := range again.Left {
			named[l.What] = true
		}
		var touched []model.Wire
		touched = append(touched, s.rows.Wires.Added...)
		for _, p := range s.rows.Wires.Moved {
			touched = append(touched, p.After)
		}
		for _, w := range touched {
			covered++
			if w.Basis != model.BasisJoined && !named[w.Name] {
				rt.Fatalf("%s is new or moved, and in no probe: %+v", w.Name, again)
			}
		}
	})
	if covered == 0 {
		t.Error("no edit touched a wire: nothing was tested")
	}
}

// A wire that is taken out and put elsewhere in the demo machine.
func TestAMovedWireIsProvenAndItsOldPlaceIsProvenApart(t *testing.T) {
	before := demo(t, assets.AsRepaired)
	after := before.Clone()
	was, _ := after.Wire("W201")
	is := was
	is.From = model.TerminalRef{Device: "J7", Mark: "B12"}
	if was.From == is.From {
		t.Fatal("choose another place")
	}
	if err := after.Apply(model.Edit{Changes: []model.Change{{Before: was, After: is}}}); err != nil {
		t.Fatal(err)
	}
	again, err := look(t, before, after).Again(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	proven, apart := false, false
	for _, c := range again.Checks {
		proven = proven || slices.Contains(c.Proves, "W201")
		ends := []model.TerminalRef{c.Probe.Red, c.Probe.Black}
		apart = apart || slices.Contains(ends, was.From) && slices.Contains(ends, was.To)
		if !strings.Contains(c.Why, "W201 was moved, from ") {
			t.Errorf("the reason is missing: %s", c.Why)
		}
	}
	if !proven || !apart {
		t.Errorf("proven %v, old place apart %v: %+v", proven, apart, again)
	}
}

// What a reading from before a device was replaced proves counts no more; one that
// came since does.
func TestAReplacedDeviceIsVerifiedAgainUntilReadingsCome(t *testing.T) {
	before := demo(t, assets.AsRepaired)
	ref, wires := provenDevice(t, before)
	after := before.Clone()
	edit, err := NoteReplaced(after, ref, noon)
	if err != nil {
		t.Fatal(err)
	}
	if err := after.Apply(edit); err != nil {
		t.Fatal(err)
	}
	s := look(t, before, after)
	again, err := s.Again(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if names := namesIn(s.Report(), "devices_replaced"); !slices.Contains(names, ref) {
		t.Errorf("%s is not among those replaced: %v", ref, names)
	}
	named := map[string]bool{}
	for _, c := range again.Checks {
		for _, name := range c.Proves {
			named[name] = true
		}
	}
	for _, l := range again.Left {
		named[l.What] = true
	}
	for _, name := range wires {
		if !named[name] {
			t.Errorf("%s at %s is not verified again", name, ref)
		}
	}
	number := int64(len(after.Readings) + 1000)
	for _, c := range again.Checks { // a good machine answers all of them
		x, err := faults.Expect(after, c.Probe.Red, c.Probe.Black, c.Probe.Mode, c.Probe.Conditions)
		if err != nil {
			t.Fatal(err)
		}
		value := model.Value{Kind: model.ShowsBeep}
		if c.Probe.Mode == model.ModeOhms {
			value = model.Value{Number: x.Ohms + 0.2}
		}
		r := c.Probe.Reading(value)
		number++
		r.Number, r.Stored = number, number
		if err := after.Apply(model.Edit{Changes: []model.Change{{After: r}}}); err != nil {
			t.Fatal(err)
		}
	}
	again, err = look(t, before, after).Again(t.Context())
	if err != nil || len(again.Checks) > 0 {
		t.Errorf("all is answered, and yet: %+v, %v", again, err)
	}
}

// provenDevice is a device all of whose wires readings prove.
func provenDevice(t *testing.T, m *model.Machine) (ref string, wires []string) {
	t.Helper()
	known := faults.Diagnose(m)
	for _, d := range m.Sorted().Devices {
		wires = nil
		all := true
		for _, w := range m.Wires {
			if !w.Removed && (w.From.Device == d.Ref || w.To.Device == d.Ref) {
				wires = append(wires, w.Name)
				all = all && len(known.ProvenBy(w.Name)) > 0
			}
		}
		if all && len(wires) > 1 {
			return d.Ref, wires
		}
	}
	t.Fatal("no device is proven all round")
	return "", nil
}

// The sheet names every terminal and every wire of every device, and no step
// measures live on the mains side or above extra-low voltage.
func TestTheSheetOfADeviceNamesEveryTerminalAndWire(t *testing.T) {
	m := demo(t, assets.AsRepaired)
	known := faults.Diagnose(m)
	nets := graphs.NewCircuit(m, nil).Nets()
	live := 0
	for _, d := range m.Devices {
		r, err := Replace(known, d.Ref)
		if err != nil {
			t.Fatal(err)
		}
		named, checked := map[string]bool{}, map[string]bool{}
		for _, j := range r.Joints {
			named[j.Terminal] = true
			named[j.Wire] = true
		}
		for _, s := range r.Steps {
			if s.Stage == StageIn {
				checked[s.Terminal] = true
			}
			if s.Probe == nil || s.Probe.Mode != model.ModeVoltsDC {
				continue
			}
			live++
			if s.Caution != cautionLive {
				t.Errorf("%s: a live step without its caution: %+v", d.Ref, s)
			}
			for _, ref := range []model.TerminalRef{s.Probe.Red, s.Probe.Black} {
				at, _ := m.TerminalIndex(ref)
				if kind := nets.Kind(at); kind.Mains() || kind == graphs.NetEarth {
					t.Errorf("%s: volts at %s, which is %s", d.Ref, ref, kind)
				}
			}
		}
		for _, term := range m.Terminals {
			if term.Device == d.Ref && (!named[term.Ref().String()] || !checked[term.Ref().String()]) {
				t.Errorf("%s is not named (%v) or not checked (%v)", term.Ref(), named[term.Ref().String()], checked[term.Ref().String()])
			}
		}
		for _, w := range m.Wires {
			if !w.Removed && (w.From.Device == d.Ref || w.To.Device == d.Ref) && !named[w.Name] {
				t.Errorf("%s at %s is not on its sheet", w.Name, d.Ref)
			}
		}
	}
	if live == 0 {
		t.Error("no sheet asks for the volts at the open plug")
	}
}

func TestMainsTerminalsGetTheirCautionAndNoVolts(t *testing.T) {
	m := demo(t, assets.AsRepaired)
	r, err := Replace(faults.Diagnose(m), "G1")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(r.Cautions, "\n"), judge.MainsCaution) || !strings.Contains(strings.Join(r.Cautions, "\n"), "sealed supply") {
		t.Errorf("cautions: %q", r.Cautions)
	}
	for _, j := range r.Joints {
		if (j.Role == "line" || j.Role == "neutral" || j.Role == "earth") && j.Volts.Known {
			t.Errorf("volts at %s", j.Terminal)
		}
	}
	if _, err := Replace(faults.Diagnose(m), "G11"); err == nil || !strings.Contains(err.Error(), "G1") {
		t.Errorf("an unknown device: %v", err)
	}
}

// A pole that met a rail makes the rail part of the mains: nothing is measured live
// there any more.
func TestARailThatAPoleMetGetsNoVolts(t *testing.T) {
	m := demo(t, assets.AsRepaired)
	live := func(ref string) int {
		r, err := Replace(faults.Diagnose(m), ref)
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		for _, s := range r.Steps {
			if s.Probe != nil && s.Probe.Mode == model.ModeVoltsDC {
				count++
			}
		}
		for _, j := range r.Joints {
			if j.Volts.Known {
				count++
			}
		}
		return count
	}
	if live("A2") == 0 {
		t.Fatal("A2 has no volts to begin with")
	}
	var pole model.TerminalRef
	for _, term := range m.Terminals {
		if term.Role == model.RoleLine {
			pole = term.Ref()
		}
	}
	for _, term := range []string{"A2:+", "A2:-"} {
		ref, err := m.FindTerminal(term)
		if err != nil {
			t.Fatal(err)
		}
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Wire{Name: "Z" + ref.Mark, From: pole, To: ref, Basis: model.BasisSeen}}}}); err != nil {
			t.Fatal(err)
		}
		if got := live("A2"); got != 0 {
			t.Errorf("a pole met %s, and volts are asked for %d times", term, got)
		}
		w, _ := m.Wire("Z" + ref.Mark)
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: w}}}); err != nil {
			t.Fatal(err)
		}
	}
}

func TestASheetSaysWhatIsNotMendedYet(t *testing.T) {
	known := faults.Diagnose(demo(t, assets.AsFound))
	sheet, err := Replace(known, "G3")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(sheet.Cautions[0]+sheet.Cautions[1], "W228") {
		t.Errorf("the cautions for G3 do not name the wire that crosses its rail: %q", sheet.Cautions)
	}
	volts := 0
	for _, step := range sheet.Steps {
		if step.Stage != StageVolts {
			continue
		}
		volts++
		if step.Probe == nil {
			t.Errorf("a box to tick for measuring nothing: %+v", step)
		}
	}
	if volts != 1 {
		t.Errorf("%d steps of volts before the other G3 is mated, want that of its one output", volts)
	}
	inlet, err := Replace(known, "X1")
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range inlet.Steps {
		if step.Stage == StageVolts {
			t.Errorf("volts at the mains inlet: %+v", step)
		}
	}
}
