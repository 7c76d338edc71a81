package nextprobe

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bellout/faults"
	"bellout/faults/causes"
	"bellout/model"
)

// withSources is a machine that stays live with the plug out: a battery behind a
// fuse, a computer of its own power on a USB lead, two mains plugs. G9 and what
// hangs on it have nothing to do with the battery. kinds are those of the battery
// and of the computer, so that a twin can be made in which neither is one.
func withSources(t testing.TB, fused bool, battery, computer model.DeviceKind) *model.Machine {
	t.Helper()
	s := &sketch{random: rand.New(rand.NewPCG(3, 3))}
	named := func(ref string, kind model.DeviceKind) string {
		s.changes = append(s.changes, model.Change{After: model.Device{Ref: ref, Kind: kind, Zone: "cabinet", Health: model.HealthUnknown}})
		return ref
	}
	supply := func(inlet, ref string, volts float64) (rail, ret model.TerminalRef) {
		named(inlet, model.KindMainsInlet)
		named(ref, model.KindSupply)
		s.wire(s.terminal(inlet, "L", model.RoleLine, 0), s.terminal(ref, "L", model.RoleLine, 0), "BN")
		s.wire(s.terminal(inlet, "N", model.RoleNeutral, 0), s.terminal(ref, "N", model.RoleNeutral, 0), "BU")
		return s.terminal(ref, "+", model.RoleRail, volts), s.terminal(ref, "-", model.RoleReturn, 0)
	}
	star := s.block("cabinet", 8)
	rail24, ret24 := supply("X50", "G1", 24)
	s.wire(ret24, star[0], "BK")
	s.loads(0, 24, "bay", rail24, star[1])
	rail9, ret9 := supply("X60", "G9", 9)
	s.loads(2, 9, "bay", rail9, ret9)

	named("BT1", battery)
	plus, minus := s.terminal("BT1", "+", model.RoleRail, 12), s.terminal("BT1", "-", model.RoleReturn, 0)
	s.wire(minus, star[2], "BK")
	bar := s.block("cabinet", 4)
	if fused {
		named("F5", model.KindFuse)
		in, out := s.terminal("F5", "1", model.RolePass, 0), s.terminal("F5", "2", model.RolePass, 0)
		s.link(in, out, model.LinkFuse, 10)
		s.wire(plus, in, "RD")
		s.wire(out, bar[0], "RD")
	} else {
		s.wire(plus, bar[0], "RD")
	}
	s.loads(0, 12, "bay", bar[1], star[3])
	s.loads(2, 12, "bay", bar[2], star[4])

	named("PC1", computer)
	bus, ground := s.terminal("PC1", "VBUS", model.RoleRail, 5), s.terminal("PC1", "GND", model.RoleReturn, 0)
	named("U1", model.KindController)
	usb, back := s.terminal("U1", "5V", model.RoleFeed, 5), s.terminal("U1", "GND", model.RoleReturn, 0)
	s.link(usb, back, model.LinkElectronic, 0)
	s.wire(bus, usb, "RD")
	s.wire(ground, back, "BK")
	s.wire(back, star[5], "BK")
	for _, ret := range []model.TerminalRef{minus, ground} {
		s.changes = append(s.changes, model.Change{After: model.Bond{From: ret24, To: ret, Reason: "meet at the star"}})
	}
	m := model.NewMachine()
	apply(t, m, s.changes...)
	return m
}

// couldFeed says whether current of a source could go through a meter, worked out
// apart from the product: without what conditions open, both its poles reach the
// tips over wires, links of every kind and devices, one each.
func couldFeed(m *model.Machine, source string, plus, minus string, probe Probe) bool {
	open := func(kind model.ConditionKind, match func(model.Condition) bool) bool {
		return slices.ContainsFunc(probe.Conditions, func(c model.Condition) bool { return c.Kind == kind && match(c) })
	}
	if open(model.Unplugged, func(c model.Condition) bool { return c.Device == source }) {
		return false
	}
	reach := func(from model.TerminalRef) map[model.TerminalRef]bool {
		seen := map[model.TerminalRef]bool{from: true}
		for queue := []model.TerminalRef{from}; len(queue) > 0; queue = queue[1:] {
			at := queue[0]
			step := func(a, b model.TerminalRef) {
				if a == at && !seen[b] {
					seen[b] = true
					queue = append(queue, b)
				}
			}
			for _, w := range m.Wires {
				if !open(model.Lifted, func(c model.Condition) bool { return c.Wire == w.Name }) {
					step(w.From, w.To)
					step(w.To, w.From)
				}
			}
			for _, l := range m.Links {
				if !open(model.Unplugged, func(c model.Condition) bool { return c.Device == l.Device }) &&
					!open(model.ContactOpen, func(c model.Condition) bool { return c.Device == l.Device && c.From == l.From && c.To == l.To }) {
					step(l.FromRef(), l.ToRef())
					step(l.ToRef(), l.FromRef())
				}
			}
			for _, t := range m.Terminals {
				mine, _ := m.Terminal(at)
				ends := []model.Role{model.RoleFeed, model.RoleReturn, model.RoleRail}
				if t.Device == at.Device && at.Device != source && slices.Contains(ends, t.Role) && slices.Contains(ends, mine.Role) {
					step(at, t.Ref())
				}
			}
		}
		return seen
	}
	one, other := reach(model.TerminalRef{Device: source, Mark: plus}), reach(model.TerminalRef{Device: source, Mark: minus})
	return one[probe.Red] && other[probe.Black] || one[probe.Black] && other[probe.Red]
}

// TestNoOhmsAgainstWhatStaysLive: with the plug out a battery and a computer with
// power of its own are live still. No dead test is asked for that they could feed;
// the caution names them with the step that takes them out; and a machine that has
// them is proven with as few probes as one that has not.
func TestNoOhmsAgainstWhatStaysLive(t *testing.T) {
	for _, fused := range []bool{true, false} {
		t.Run(fmt.Sprintf("fused %v", fused), func(t *testing.T) {
			m := withSources(t, fused, model.KindBattery, model.KindComputer)
			untouched, taken := 0, map[string]int{}
			check := func(what string, probe Probe, caution string) {
				t.Helper()
				if probe.Mode.Volts() {
					return
				}
				for source, poles := range map[string][2]string{"BT1": {"+", "-"}, "PC1": {"VBUS", "GND"}} {
					if couldFeed(m, source, poles[0], poles[1], probe) {
						t.Errorf("%s: %s can feed %v", what, source, probe)
					}
					plain := probe
					plain.Conditions = slices.DeleteFunc(slices.Clone(probe.Conditions), func(c model.Condition) bool { return c.Device == source || c.Device == "F5" })
					switch could := couldFeed(m, source, poles[0], poles[1], plain); {
					case could && !(strings.Contains(caution, source) && strings.Contains(caution, "stays live with the plug out")):
						t.Errorf("%s: the caution of %v does not name %s: %s", what, probe, source, caution)
					case could:
						taken[source]++
					default:
						untouched++
					}
				}
				if !strings.Contains(caution, "X50") || !strings.Contains(caution, "X60") {
					t.Errorf("%s: the caution does not name both plugs: %s", what, caution)
				}
			}
			w := newTruth(t, m, 1)
			w.steady = true
			s := sit(t, m, w, Options{Goal: Verify}, 200)
			probes := s.probes
			fresh := New(faults.Diagnose(withSources(t, fused, model.KindBattery, model.KindComputer)), Options{Goal: Verify})
			for range 200 {
				next := fresh.Next()
				if next.Done {
					break
				}
				check("verify", *next.Probe, next.Caution)
				fresh.Skip(*next.Probe)
			}
			for _, probe := range probes {
				check("verify", probe, "X50 X60 BT1 PC1 stays live with the plug out")
			}
			if untouched == 0 || taken["BT1"] == 0 || taken["PC1"] == 0 {
				t.Errorf("of the probes %d are out of reach, taken out for: %v", untouched, taken)
			}
			byFuse := slices.ContainsFunc(probes, func(p Probe) bool { return strings.Contains(p.Conditions.String(), "open F5:1-2") })
			if byFuse != fused {
				t.Errorf("the fuse is taken out: %v", byFuse)
			}

			twin := withSources(t, fused, model.KindSupply, model.KindSupply)
			w = newTruth(t, twin, 1)
			w.steady = true
			other := sit(t, twin, w, Options{Goal: Verify}, 200)
			got, want := s.planner.known.Report().Proven, other.planner.known.Report().Proven
			if got.Wires != want.Wires || got.Separations < want.Separations || len(s.probes) > len(other.probes)+2 {
				t.Errorf("proven %+v by %d probes, its twin %+v by %d", got, len(s.probes), want, len(other.probes))
			}
		})
	}
}

// What maps a machine does not know yet where a battery leads: it is off for every
// touch, and mapping comes to its end all the same.
func TestABatteryIsOffWhileTheMapIsDrawn(t *testing.T) {
	truthful := withSources(t, true, model.KindBattery, model.KindComputer)
	bare := model.NewMachine()
	for _, row := range truthful.Rows() {
		if _, wire := row.(model.Wire); !wire {
			apply(t, bare, model.Change{After: row})
		}
	}
	w := newTruth(t, truthful, 1)
	w.steady = true
	s := sit(t, bare, w, Options{Goal: Map}, 900)
	for _, probe := range s.probes {
		for _, source := range []string{"BT1", "PC1"} {
			if off := (model.Condition{Kind: model.Unplugged, Device: source}); !slices.Contains(probe.Conditions, off) {
				t.Fatalf("%v while the map is drawn, %s in", probe, source)
			}
		}
	}
	if len(bare.Wires) < len(truthful.Wires)*3/4 {
		t.Errorf("found %d wires of %d", len(bare.Wires), len(truthful.Wires))
	}
}

// A search after a fault goes on though each of its touches has the battery out.
func TestASearchHeedsWhatStaysLive(t *testing.T) {
	m := withSources(t, true, model.KindBattery, model.KindComputer)
	w := newTruth(t, m, 1)
	w.steady = true
	w.plant(t, "open")
	s := sit(t, m, w, Options{}, 300)
	for _, probe := range s.probes {
		if couldFeed(m, "BT1", "+", "-", probe) {
			t.Errorf("BT1 can feed %v", probe)
		}
	}
	if !slices.ContainsFunc(s.planner.known.Report().Findings, func(f faults.Finding) bool { return len(f.Readings) > 0 }) {
		t.Errorf("nothing found of %v", w.flaws)
	}
}

// What settles a suspicion takes the battery out as well.
func TestTheProbeOfASuspectTakesTheBatteryOut(t *testing.T) {
	m := withSources(t, true, model.KindBattery, model.KindComputer)
	for _, d := range m.Devices {
		if d.Kind == model.KindSolenoid || d.Ref == "U1" {
			dead := d
			dead.Health = model.HealthFailed
			apply(t, m, model.Change{Before: d, After: dead})
		}
	}
	dead := 0
	for _, suspect := range causes.Rank(faults.NewAnalysis(m), causes.Known{}, causes.DefaultWeights()).Suspects {
		if suspect.Next == nil || suspect.Next.Mode.Volts() {
			continue
		}
		conditions, err := m.ParseConditions(strings.Join(suspect.Next.Conditions, ";"))
		if err != nil {
			t.Fatal(err)
		}
		probe := Probe{Red: suspect.Next.Red, Black: suspect.Next.Black, Mode: suspect.Next.Mode, Conditions: conditions}
		if couldFeed(m, "BT1", "+", "-", probe) {
			t.Errorf("BT1 can feed %v", probe)
		}
		if slices.ContainsFunc(conditions, func(c model.Condition) bool { return c.Device == "F5" || c.Device == "BT1" }) {
			dead++
			if words := suspect.Next.Words(); !strings.Contains(words, "attery BT1 stays live with the plug out") {
				t.Errorf("%q", words)
			}
		}
	}
	if dead == 0 {
		t.Error("no probe of a suspect has to do with the battery")
	}
}
