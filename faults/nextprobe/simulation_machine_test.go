package nextprobe

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// Machines for the simulated bench, without readings.

// demoMachine is Lantern Lock as repaired.
func demoMachine(t testing.TB) *model.Machine {
	t.Helper()
	return withoutReadings(t, importDemo(t, assets.AsRepaired))
}

func importDemo(t testing.TB, state string) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(context.Background(), assets.Demo(state), state)
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func apply(t testing.TB, m *model.Machine, changes ...model.Change) {
	t.Helper()
	if err := m.Apply(model.Edit{What: "test", Changes: changes}); err != nil {
		t.Fatal(err)
	}
}

func withoutReadings(t testing.TB, m *model.Machine) *model.Machine {
	t.Helper()
	bare := model.NewMachine()
	var changes []model.Change
	for _, row := range m.Rows() {
		if _, is := row.(model.Reading); !is {
			changes = append(changes, model.Change{After: row})
		}
	}
	apply(t, bare, changes...)
	return bare
}

// machineOf is a machine of about that many terminals.
func machineOf(t testing.TB, seed uint64, terminals int) *model.Machine {
	t.Helper()
	if terminals >= 1000 {
		return withoutReadings(t, sample.Machine(seed, terminals))
	}
	return smallMachine(t, seed, terminals)
}

// smallMachine is a machine of supplies, each with a block, fused channels that
// pass a plug to a load, and returns that pass the same plug to a return block.
// All returns meet at one star. Loads are coils, lamps and boards.
func smallMachine(t testing.TB, seed uint64, terminals int) *model.Machine {
	t.Helper()
	s := &sketch{random: rand.New(rand.NewPCG(seed, 77))}
	star := s.device("X", model.KindTerminalBlock, "cabinet", 0)
	starPlaces := 0
	for supply := 1; len(s.points) < terminals-20 || supply == 1; supply++ {
		volts := []float64{24, 12, 5, 36}[supply%4]
		g := s.device("G", model.KindSupply, "cabinet", 0)
		rail := s.terminal(g, "+", model.RoleRail, volts)
		ret := s.terminal(g, "-", model.RoleReturn, 0)
		channels := 2 + s.random.IntN(4)
		block := s.block("cabinet", channels+1)
		back := s.block("cabinet", channels+2)
		s.wire(rail, block[0], "RD")
		s.wire(ret, back[0], "BK")
		starPlaces++
		place := s.terminal(star, strconv.Itoa(starPlaces), model.RolePass, 0)
		if starPlaces > 1 {
			s.link(model.TerminalRef{Device: star, Mark: strconv.Itoa(starPlaces - 1)}, place, model.LinkSolid, 0)
			s.changes = append(s.changes, model.Change{After: model.Bond{From: s.firstReturn, To: ret, Reason: "meet at the star"}})
		} else {
			s.firstReturn = ret
		}
		s.wire(back[channels+1], place, "BK")
		zone := fmt.Sprintf("bay %d", supply)
		plug := s.device("J", model.KindConnector, zone, 0)
		for c := range channels {
			f := s.device("F", model.KindFuse, "cabinet", 0)
			in, out := s.terminal(f, "1", model.RolePass, 0), s.terminal(f, "2", model.RolePass, 0)
			s.link(in, out, model.LinkFuse, 3)
			s.wire(block[c+1], in, "RD")
			near, far := s.pin(plug, 2*c+1), s.pin(plug, 2*c+2)
			s.wire(out, near[0], "RD")
			s.wire(far[0], back[c+1], "BK")
			s.loads(c, volts, zone, near[1], far[1])
		}
	}
	m := model.NewMachine()
	apply(t, m, s.changes...)
	return m
}

// sketch collects the rows of a machine.
type sketch struct {
	random      *rand.Rand
	changes     []model.Change
	points      []model.TerminalRef
	counts      map[string]int
	wires       int
	firstReturn model.TerminalRef
}

func (s *sketch) device(letter string, kind model.DeviceKind, zone string, amps float64) string {
	if s.counts == nil {
		s.counts = map[string]int{}
	}
	s.counts[letter]++
	d := model.Device{Ref: letter + strconv.Itoa(s.counts[letter]), Kind: kind, Zone: zone, Health: model.HealthUnknown}
	if amps > 0 {
		d.LoadAmps = model.Known(amps)
	}
	s.changes = append(s.changes, model.Change{After: d})
	return d.Ref
}

func (s *sketch) terminal(device, mark string, role model.Role, volts float64) model.TerminalRef {
	t := model.Terminal{Device: device, Mark: mark, Role: role}
	if volts != 0 {
		t.Volts = model.Known(volts)
	}
	s.changes = append(s.changes, model.Change{After: t})
	s.points = append(s.points, t.Ref())
	return t.Ref()
}

func (s *sketch) link(from, to model.TerminalRef, kind model.LinkKind, value float64) {
	l := model.Link{Device: from.Device, From: from.Mark, To: to.Mark, Kind: kind}
	if value != 0 {
		l.Value = model.Known(value)
	}
	s.changes = append(s.changes, model.Change{After: l})
}

func (s *sketch) wire(from, to model.TerminalRef, colour model.Colour) {
	s.wires++
	s.changes = append(s.changes, model.Change{After: model.Wire{
		Name: "W" + strconv.Itoa(s.wires), From: from, To: to, Colour: colour, Basis: model.BasisPlanned,
		Gauge: model.Gauge{System: model.GaugeMetric, AreaMM2: 0.75}, LengthMetres: model.Known(0.5 + 2*s.random.Float64()),
	}})
}

func (s *sketch) block(zone string, places int) []model.TerminalRef {
	ref := s.device("X", model.KindTerminalBlock, zone, 0)
	list := make([]model.TerminalRef, places)
	for i := range list {
		list[i] = s.terminal(ref, strconv.Itoa(i+1), model.RolePass, 0)
		if i > 0 {
			s.link(list[i-1], list[i], model.LinkSolid, 0)
		}
	}
	return list
}

func (s *sketch) pin(plug string, number int) [2]model.TerminalRef {
	a := s.terminal(plug, fmt.Sprintf("A%d", number), model.RolePass, 0)
	b := s.terminal(plug, fmt.Sprintf("B%d", number), model.RolePass, 0)
	s.link(a, b, model.LinkSolid, 0)
	return [2]model.TerminalRef{a, b}
}

// loads hangs one to three loads of a kind on a channel, daisy-chained.
func (s *sketch) loads(channel int, volts float64, zone string, feed, back model.TerminalRef) {
	for range 1 + s.random.IntN(3) {
		var ref string
		var plus, minus model.TerminalRef
		switch channel % 3 {
		case 0:
			ref = s.device("E", model.KindSolenoid, zone, 0.5)
			plus, minus = s.terminal(ref, "+", model.RoleFeed, volts), s.terminal(ref, "-", model.RoleReturn, 0)
			s.link(plus, minus, model.LinkResistance, volts/0.5)
		case 1:
			ref = s.device("A", model.KindController, zone, 0.2)
			plus, minus = s.terminal(ref, "VCC", model.RoleFeed, volts), s.terminal(ref, "GND", model.RoleReturn, 0)
			s.link(plus, minus, model.LinkElectronic, 0)
		default:
			ref = s.device("H", model.KindLamp, zone, 0.3)
			plus, minus = s.terminal(ref, "+", model.RoleFeed, volts), s.terminal(ref, "-", model.RoleReturn, 0)
			s.link(plus, minus, model.LinkResistance, volts/0.3/10)
		}
		s.wire(feed, plus, "RD")
		s.wire(minus, back, "BK")
		feed, back = plus, minus
	}
}
