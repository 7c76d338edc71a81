package nextprobe

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"bellout/faults"
	"bellout/faults/causes"
	"bellout/model"

	"pgregory.net/rapid"
)

// earthedMachine is a small machine with a mains inlet, supplies, a bar and a plug
// that carry earth, loads with and without a case, and joins between any two
// terminals that somebody made by mistake.
func earthedMachine(t *rapid.T) *model.Machine {
	var changes []model.Change
	wires := 0
	var ends []model.TerminalRef
	device := func(ref string, kind model.DeviceKind, failed bool) {
		d := model.Device{Ref: ref, Kind: kind, Health: model.HealthUnknown, Zone: "bay"}
		if failed {
			d.Health = model.HealthFailed
		}
		changes = append(changes, model.Change{After: d})
	}
	terminal := func(device, mark string, role model.Role, volts float64) model.TerminalRef {
		row := model.Terminal{Device: device, Mark: mark, Role: role}
		if volts != 0 {
			row.Volts = model.Known(volts)
		}
		changes = append(changes, model.Change{After: row})
		ends = append(ends, row.Ref())
		return row.Ref()
	}
	link := func(from, to model.TerminalRef, kind model.LinkKind, value model.Optional) {
		changes = append(changes, model.Change{After: model.Link{Device: from.Device, From: from.Mark, To: to.Mark, Kind: kind, Value: value}})
	}
	wire := func(from, to model.TerminalRef, colour model.Colour) {
		wires++
		if rapid.IntRange(0, 19).Draw(t, "left out") == 0 {
			return
		}
		changes = append(changes, model.Change{After: model.Wire{Name: fmt.Sprintf("W%d", wires), From: from, To: to, Colour: colour, Basis: model.BasisPlanned}})
	}
	green := func() model.Colour {
		return rapid.SampledFrom([]model.Colour{model.GreenYellow, "", "BK"}).Draw(t, "earth's colour")
	}

	device("X1", model.KindMainsInlet, false)
	line, neutral, earth := terminal("X1", "L", model.RoleLine, 0), terminal("X1", "N", model.RoleNeutral, 0), terminal("X1", "PE", model.RoleEarth, 0)
	device("X2", model.KindTerminalBlock, false)
	var bar []model.TerminalRef
	for i := range 6 {
		mark := fmt.Sprintf("%d", i+1)
		if rapid.Bool().Draw(t, "marked") {
			mark = "PE" + mark
		}
		bar = append(bar, terminal("X2", mark, model.RolePass, 0))
		if i > 0 {
			link(bar[i-1], bar[i], model.LinkSolid, model.Optional{})
		}
	}
	wire(earth, bar[0], green())
	device("J1", model.KindConnector, false)
	pin := func(mark string) [2]model.TerminalRef {
		a, b := terminal("J1", mark+"a", model.RolePass, 0), terminal("J1", mark+"b", model.RolePass, 0)
		link(a, b, model.LinkSolid, model.Optional{})
		return [2]model.TerminalRef{a, b}
	}
	device("X3", model.KindTerminalBlock, false)
	var star []model.TerminalRef
	for i := range 5 {
		star = append(star, terminal("X3", fmt.Sprint(i+1), model.RolePass, 0))
		if i > 0 {
			link(star[i-1], star[i], model.LinkSolid, model.Optional{})
		}
	}
	used := 1
	for i, supply := range []string{"G1", "G2"} {
		device(supply, model.KindSupply, false)
		wire(line, terminal(supply, "L", model.RoleLine, 0), "BN")
		wire(neutral, terminal(supply, "N", model.RoleNeutral, 0), "BU")
		wire(bar[used], terminal(supply, "PE", model.RoleEarth, 0), green())
		used++
		volts := []float64{24, 12}[i]
		rail, ret := terminal(supply, "+", model.RoleRail, volts), terminal(supply, "-", model.RoleReturn, 0)
		if rapid.Bool().Draw(t, "bleeder") {
			link(rail, ret, model.LinkResistance, model.Known(rapid.SampledFrom([]float64{5, 1200}).Draw(t, "bleeder's ohms")))
		}
		wire(ret, star[i], "BK")
		fuse := fmt.Sprintf("F%d", i+1)
		device(fuse, model.KindFuse, false)
		in, out := terminal(fuse, "1", model.RolePass, 0), terminal(fuse, "2", model.RolePass, 0)
		link(in, out, model.LinkFuse, model.Known(3))
		wire(rail, in, "RD")
		near := pin(supply + "p")
		back := pin(supply + "m")
		wire(out, near[0], "RD")
		wire(star[i+2], back[0], "BK")
		load := fmt.Sprintf("E%d", i+1)
		device(load, rapid.SampledFrom([]model.DeviceKind{model.KindMotor, model.KindLamp, model.KindController}).Draw(t, "load"), rapid.IntRange(0, 2).Draw(t, "dead") == 0)
		plus, minus := terminal(load, "+", model.RoleFeed, volts), terminal(load, "-", model.RoleReturn, 0)
		if rapid.Bool().Draw(t, "ohms") {
			link(plus, minus, model.LinkResistance, model.Known(4))
		} else {
			link(plus, minus, model.LinkElectronic, model.Optional{})
		}
		wire(near[1], plus, "RD")
		wire(minus, back[1], "BK")
		if rapid.Bool().Draw(t, "case") {
			pe := pin(supply + "e")
			role := rapid.SampledFrom([]model.Role{model.RoleEarth, model.RolePass, model.RoleUnknown}).Draw(t, "case's role")
			wire(bar[used], pe[0], green())
			wire(pe[1], terminal(load, "case", role, 0), green())
			used++
		}
	}
	if rapid.Bool().Draw(t, "0 V on earth") {
		wire(star[4], rapid.SampledFrom([]model.TerminalRef{bar[5], earth}).Draw(t, "bond"), "")
	}
	for range rapid.IntRange(0, 3).Draw(t, "mistakes") {
		pair := rapid.SliceOfNDistinct(rapid.IntRange(0, len(ends)-1), 2, 2, rapid.ID[int]).Draw(t, "mistake")
		wire(ends[pair[0]], ends[pair[1]], rapid.SampledFrom([]model.Colour{"", "RD", model.GreenYellow}).Draw(t, "colour"))
	}
	m := model.NewMachine()
	if err := m.Apply(model.Edit{Changes: changes}); err != nil {
		t.Fatal(err)
	}
	return m
}

// protectiveWires names the protective conductors of a machine, worked out apart
// from the product: green-yellow, with an end on earth, and what lies on a plain way
// between two earths, found by walking every way.
func protectiveWires(m *model.Machine) map[string]bool {
	names := map[string]bool{}
	earth := func(ref model.TerminalRef) bool {
		t, _ := m.Terminal(ref)
		return t.Role == model.RoleEarth
	}
	plain := func(ref model.TerminalRef) bool {
		t, _ := m.Terminal(ref)
		return t.Role == model.RolePass || t.Role == model.RoleUnknown
	}
	var walk func(at model.TerminalRef, way []string, seen map[model.TerminalRef]bool)
	walk = func(at model.TerminalRef, way []string, seen map[model.TerminalRef]bool) {
		if earth(at) && len(way) > 0 {
			for _, name := range way {
				names[name] = true
			}
		}
		seen[at] = true
		defer delete(seen, at)
		step := func(from, to model.TerminalRef, name string) {
			if from == at && !seen[to] && (plain(to) || earth(to)) {
				walk(to, append(way[:len(way):len(way)], name), seen)
			}
		}
		for _, w := range m.Wires {
			step(w.From, w.To, w.Name)
			step(w.To, w.From, w.Name)
		}
		for _, l := range m.Links {
			if l.Kind.Metal() {
				step(l.FromRef(), l.ToRef(), "link "+l.Place())
				step(l.ToRef(), l.FromRef(), "link "+l.Place())
			}
		}
	}
	for _, w := range m.Wires {
		if w.Colour == model.GreenYellow || earth(w.From) || earth(w.To) {
			names[w.Name] = true
		}
	}
	for _, t := range m.Terminals {
		if t.Role == model.RoleEarth {
			walk(t.Ref(), nil, map[model.TerminalRef]bool{})
		}
	}
	return names
}

// opensProtective says what a condition takes off a protective conductor: a wire, a
// link, a device that it ends at or runs through.
func opensProtective(m *model.Machine, names map[string]bool, c model.Condition) string {
	switch c.Kind {
	case model.Lifted:
		if names[c.Wire] {
			return c.Wire
		}
	case model.ContactOpen:
		if names["link "+c.Device+":"+c.From+"-"+c.To] {
			return c.String()
		}
	case model.Unplugged:
		for _, w := range m.Wires {
			if names[w.Name] && (w.From.Device == c.Device || w.To.Device == c.Device) {
				return w.Name + " of " + c.Device
			}
		}
	}
	return ""
}

var lifting = regexp.MustCompile(`(?i)\b(lift|unplug|undo|loosen|take off)`)

// saysToLift returns the sentence of a text that tells somebody to lift a protective
// conductor, or to unplug a device with its earth; empty where none does.
func saysToLift(m *model.Machine, names map[string]bool, text string) string {
	for _, sentence := range regexp.MustCompile(`[.:;?] `).Split(text, -1) {
		if !lifting.MatchString(sentence) || strings.Contains(sentence, "not lifted") || strings.Contains(sentence, "nothing lifted") {
			continue
		}
		for _, word := range regexp.MustCompile(`[A-Z][0-9]+`).FindAllString(sentence, -1) {
			if names[word] {
				return sentence
			}
			if regexp.MustCompile(`(?i)unplug(ged)? `+word+`\b`).MatchString(sentence) && opensProtective(m, names, model.Condition{Kind: model.Unplugged, Device: word}) != "" && !strings.Contains(sentence, "all but its earth") {
				return sentence
			}
		}
	}
	return ""
}

// TestAProtectiveConductorIsNeverLifted: whatever is joined to what, whatever was
// read, no probe and no advice takes a protective conductor off.
func TestAProtectiveConductorIsNeverLifted(outer *testing.T) {
	proposed := 0
	rapid.Check(outer, func(t *rapid.T) {
		m := earthedMachine(t)
		names := protectiveWires(m)
		planner := New(faults.Diagnose(m.Clone()), Options{Goal: rapid.SampledFrom(append([]Goal{""}, Goals...)).Draw(t, "goal"), Clips: rapid.Bool().Draw(t, "clips")})
		check := func(what, text string) {
			if sentence := saysToLift(m, names, text); sentence != "" {
				t.Fatalf("%s: %q\nprotective: %v", what, sentence, names)
			}
		}
		for range rapid.IntRange(1, 12).Draw(t, "probes") {
			next := planner.Next()
			check("next", next.Why)
			if next.Done {
				break
			}
			proposed++
			for _, condition := range next.Probe.Conditions {
				if off := opensProtective(m, names, condition); off != "" {
					t.Fatalf("%s takes off %s: %s\nprotective: %v", condition, off, next.Why, names)
				}
			}
			probe := *next.Probe
			if rapid.IntRange(0, 3).Draw(t, "elsewhere") == 0 { // somebody reads where nobody asked
				pair := rapid.SliceOfNDistinct(rapid.IntRange(0, len(m.Terminals)-1), 2, 2, rapid.ID[int]).Draw(t, "tips")
				probe = Probe{Red: m.Terminals[pair[0]].Ref(), Black: m.Terminals[pair[1]].Ref(), Mode: model.ModeOhms}
			}
			shown := rapid.SampledFrom([]model.Value{{Number: 0.3}, {Number: 7}, {Number: 900}, {Kind: model.ShowsOL}}).Draw(t, "shows")
			reading := probe.Reading(shown)
			reading.Mode = model.ModeOhms
			logged, _ := take(outer, m, planner, reading)
			check("log", logged.Message)
			planner.Took(probe)
			for _, f := range planner.known.Report().Findings {
				check(f.Rule, f.Message)
				check(f.Rule, f.Advice)
			}
			for _, u := range planner.known.Report().Unexplained {
				check("unexplained", u.Words)
			}
		}
		for _, suspect := range causes.Rank(planner.bench, causes.Known{Findings: planner.known.Report().Findings}, causes.DefaultWeights()).Suspects {
			if suspect.Next == nil {
				continue
			}
			conditions, err := m.ParseConditions(strings.Join(suspect.Next.Conditions, ";"))
			if err != nil {
				t.Fatal(err)
			}
			for _, condition := range conditions {
				if off := opensProtective(m, names, condition); off != "" {
					t.Fatalf("the probe of a suspect: %s takes off %s", condition, off)
				}
			}
			check("suspects", suspect.Next.Words())
		}
	})
	if proposed == 0 {
		outer.Fatal("nothing was proposed")
	}
}
