package sample

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"bellout/model"
)

// builder collects the rows of a machine and numbers its devices and wires.
type builder struct {
	random  *rand.Rand
	edit    model.Edit
	counts  map[string]int // devices by letter
	wires   int
	points  int // terminals
	started time.Time
	taken   int64 // readings
}

func newBuilder(seed uint64) *builder {
	return &builder{
		random: rand.New(rand.NewPCG(seed, seed^0x6c6f636b)), counts: map[string]int{},
		started: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC),
		edit:    model.Edit{What: "sample machine"},
	}
}

func (b *builder) add(row model.Row) {
	b.edit.Changes = append(b.edit.Changes, model.Change{After: row})
}

// device adds a device and returns its reference: the letter and a number.
func (b *builder) device(letter string, d model.Device) string {
	b.counts[letter]++
	d.Ref = letter + strconv.Itoa(b.counts[letter])
	d.Health = model.HealthOK
	if b.random.IntN(5) == 0 {
		d.Health = model.HealthUnknown
	}
	b.add(d)
	return d.Ref
}

func (b *builder) terminal(device, mark string, role model.Role, volts float64, section string) model.TerminalRef {
	t := model.Terminal{Device: device, Mark: mark, Role: role, Section: section}
	if role == model.RoleRail || role == model.RoleFeed {
		t.Volts = model.Known(volts)
	}
	b.points++
	b.add(t)
	return t.Ref()
}

func (b *builder) link(from, to model.TerminalRef, kind model.LinkKind, value float64) {
	l := model.Link{Device: from.Device, From: from.Mark, To: to.Mark, Kind: kind}
	if value != 0 {
		l.Value = model.Known(value)
	}
	b.add(l)
}

// conductor is what a wire is made of.
type conductor struct {
	gauge  model.Gauge
	colour model.Colour
	cable  string
}

func metric(areaMM2 float64, colour model.Colour) conductor {
	return conductor{gauge: model.Gauge{System: model.GaugeMetric, AreaMM2: areaMM2}, colour: colour}
}

func awg(number int, colour model.Colour) conductor {
	return conductor{gauge: model.Gauge{System: model.GaugeAWG, AWG: number}, colour: colour}
}

func (c conductor) in(cable string) conductor { c.cable = cable; return c }

// ohmsPerMetre is annealed copper at 20 C: 58 m per ohm mm2 (IACS), AWG by the
// geometry of ASTM B258. It is written out here because this package may not
// lean on the one whose answers it helps to check.
func (c conductor) ohmsPerMetre() float64 {
	area := c.gauge.AreaMM2
	if c.gauge.System == model.GaugeAWG {
		area = math.Pi / 4 * math.Pow(0.127*math.Pow(92, float64(36-c.gauge.AWG)/39), 2)
	}
	return 1 / (58 * area)
}

// laid is a wire as a chain sees it; the zero value is a way without a wire.
type laid struct {
	wire string
	ohms float64
}

// knownWires are the bases of a machine whose every wire is on the map.
var knownWires = []model.Basis{model.BasisPlanned, model.BasisSeen, model.BasisProbed}

// wire adds a wire of a length between 0.5 and 1 times longest.
func (b *builder) wire(from, to model.TerminalRef, of conductor, longestMetres float64) laid {
	b.wires++
	length := math.Round(100*longestMetres*(0.5+0.5*b.random.Float64())) / 100
	name := "W" + strconv.Itoa(b.wires)
	b.add(model.Wire{
		Name: name, From: from, To: to, Colour: of.colour, Gauge: of.gauge, Cable: of.cable,
		LengthMetres: model.Known(length), Basis: knownWires[b.random.IntN(len(knownWires))],
	})
	return laid{wire: name, ohms: length * of.ohmsPerMetre()}
}

// block adds a terminal block whose terminals 1 to count are one bar.
func (b *builder) block(title, zone string, count int) []model.TerminalRef {
	ref := b.device("X", model.Device{Kind: model.KindTerminalBlock, Title: title, Zone: zone})
	marks := make([]model.TerminalRef, count)
	for i := range marks {
		marks[i] = b.terminal(ref, strconv.Itoa(i+1), model.RolePass, 0, "")
		if i > 0 {
			b.link(marks[i-1], marks[i], model.LinkSolid, 0)
		}
	}
	return marks
}

// plug adds a mated pair: pin A1 joins B1 and so on.
func (b *builder) plug(title, zone string, pins int) (near, far []model.TerminalRef) {
	ref := b.device("J", model.Device{Kind: model.KindConnector, Title: title, Zone: zone})
	for pin := 1; pin <= pins; pin++ {
		near = append(near, b.terminal(ref, "A"+strconv.Itoa(pin), model.RolePass, 0, ""))
		far = append(far, b.terminal(ref, "B"+strconv.Itoa(pin), model.RolePass, 0, ""))
		b.link(near[pin-1], far[pin-1], model.LinkSolid, 0)
	}
	return near, far
}

// fuses adds a fuse strip: from 1a to 1b and so on.
func (b *builder) fuses(title, zone string, count int, amps float64) (in, out []model.TerminalRef) {
	ref := b.device("F", model.Device{Kind: model.KindFuse, Title: title, Zone: zone})
	for i := 1; i <= count; i++ {
		in = append(in, b.terminal(ref, strconv.Itoa(i)+"a", model.RolePass, 0, ""))
		out = append(out, b.terminal(ref, strconv.Itoa(i)+"b", model.RolePass, 0, ""))
		b.link(in[i-1], out[i-1], model.LinkFuse, amps)
	}
	return in, out
}

// machine makes the machine of all rows; a mistake in them is ours.
func (b *builder) machine() *model.Machine {
	m := model.NewMachine()
	if err := m.Apply(b.edit); err != nil {
		panic(fmt.Sprintf("sample: %v", err))
	}
	return m
}

// spread gives a nominal value its part-to-part difference, to three digits.
func (b *builder) spread(nominal float64) float64 {
	value := nominal * (0.95 + 0.1*b.random.Float64())
	scale := math.Pow(10, 2-math.Floor(math.Log10(value)))
	return math.Round(value*scale) / scale
}
