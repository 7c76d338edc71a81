package faults

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/assets"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// A trial of explanations alone: a machine with faults planted into it, the
// readings that a careful person takes around them, and what the check makes of
// them. What the meter shows comes from package graphs, never through the code
// that judges readings.

// mistake is one planted fault, and what names it.
type mistake struct {
	kind   string
	wires  []string     // all of them must be named, the first of them or of marks first
	marks  []string     // terminals of a link
	nets   [2]string    // of a short
	probes [][2]int     // around it
	ohms   bool         // only the ohms range tells
	moved  map[int]int  // wires that it moved or took away
	visits map[int]bool // terminals that the readings are about
}

type trialRun struct {
	t       testing.TB
	random  *rand.Rand
	drawn   *model.Machine // as the map has it
	truth   *model.Machine
	c       *graphs.Circuit // of drawn
	beep    float64
	readers int
}

func newTrial(t testing.TB, m *model.Machine, seed uint64) *trialRun {
	t.Helper()
	r := &trialRun{t: t, random: rand.New(rand.NewPCG(seed, 11)), drawn: m.Clone(), truth: m.Clone(), c: graphs.NewCircuit(m, nil)}
	r.beep = m.Settings().BeepBelowOhms * math.Exp(0.05*r.random.NormFloat64())
	for _, link := range slices.Clone(r.truth.Links) { // parts differ from what the map says
		if link.Kind == model.LinkResistance && link.Value.Known {
			other := link
			other.Value = model.Known(link.Value.Value * math.Exp(0.08*r.random.NormFloat64()))
			r.edit(r.truth, model.Change{Before: link, After: other})
		}
	}
	return r
}

func (r *trialRun) edit(m *model.Machine, changes ...model.Change) {
	r.t.Helper()
	if err := m.Apply(model.Edit{What: "trial", Changes: changes}); err != nil {
		r.t.Fatal(err)
	}
}

// missedTouch is how often a tip does not touch.
const missedTouch = 0.01

func (r *trialRun) shows(truth *graphs.Circuit, red, black int, mode model.Mode) model.Value {
	ohms := truth.Ohms(red, black)
	if r.random.Float64() < missedTouch {
		ohms = math.Inf(1)
	}
	lead := r.drawn.Settings().LeadOhms
	if mode == model.ModeContinuity {
		if ohms+lead < r.beep {
			return model.Value{Kind: model.ShowsBeep}
		}
		return model.Value{Kind: model.ShowsSilent}
	}
	if ohms > 4e7 {
		return model.Value{Kind: model.ShowsOL}
	}
	value := (ohms+lead)*(1+0.005*r.random.NormFloat64()) + 0.05*math.Abs(r.random.NormFloat64())
	step := math.Max(0.01, math.Pow(10, math.Floor(math.Log10(value))-3))
	return model.Value{Number: math.Round(math.Round(value/step)*step*1e6) / 1e6}
}

// measureAll takes the readings around the mistakes, each once, and once more
// where it surprises: a careful person does not believe one slip.
func (r *trialRun) measureAll(probes [][2]int, ohmsOnly bool) {
	truth := graphs.NewCircuit(r.truth, nil)
	j := judge.New(r.c)
	done := map[[2]int]bool{}
	for _, p := range probes {
		key := [2]int{min(p[0], p[1]), max(p[0], p[1])}
		if p[0] == p[1] || done[key] {
			continue
		}
		done[key] = true
		mode := model.ModeOhms
		if !ohmsOnly && r.random.Float64() < 0.3 {
			mode = model.ModeContinuity
		}
		for range 2 {
			r.readers++
			reading := model.Reading{
				Number: int64(r.readers), Stored: int64(r.readers), Red: r.c.Ref(p[0]), Black: r.c.Ref(p[1]), Mode: mode,
				Value: r.shows(truth, p[0], p[1], mode),
			}
			r.edit(r.drawn, model.Change{After: reading})
			if j.Judge(reading).Outcome != judge.Contradicts {
				break
			}
		}
	}
}

// around returns the probes at an element's ends and along the chain: its
// neighbours, each alone and over the element.
func (r *trialRun) around(a, b, element int) [][2]int {
	probes := [][2]int{{a, b}}
	for _, ends := range [2][2]int{{a, b}, {b, a}} {
		count := 0
		for _, id := range r.c.Incident(ends[0]) {
			if far := r.c.Far(int(id), ends[0]); int(id) != element && r.c.Elements[id].Joins() && count < 3 && far != ends[1] {
				count++
				probes = append(probes, [2]int{ends[0], far}, [2]int{far, ends[1]})
			}
		}
	}
	return probes
}

var mistakeKinds = []string{"open wire", "open link", "high wire", "high link", "short", "swapped"}

// plant makes one mistake that readings can show and that lies apart from those
// before; of a kind that the machine has no place for, an open wire.
func (r *trialRun) plant(kind string, before []mistake) mistake {
	r.t.Helper()
	for range 2000 {
		saved := r.truth.Clone()
		m, planted := r.try(kind)
		if planted && r.apart(m, before) && r.visible(m) {
			return m
		}
		r.truth = saved
	}
	if kind == "open wire" {
		r.t.Fatal("no place for a mistake")
	}
	return r.plant("open wire", before)
}

func (r *trialRun) apart(m mistake, before []mistake) bool {
	for _, other := range before {
		for t := range m.visits {
			if other.visits[t] {
				return false
			}
		}
	}
	return true
}

// visible says whether the first reading shows something else than the map has,
// by more than any part or lead explains.
func (r *trialRun) visible(m mistake) bool {
	p := m.probes[0]
	was, is := r.c.Ohms(p[0], p[1]), graphs.NewCircuit(r.truth, nil).Ohms(p[0], p[1])
	if m.kind == "short" {
		return was > 4
	}
	return is > was+1.5
}

func (r *trialRun) usable(t int) bool {
	kind := r.c.Nets().Kind(t)
	return !kind.Mains() && kind != graphs.NetEarth
}

func (r *trialRun) try(kind string) (mistake, bool) {
	m := mistake{kind: kind, visits: map[int]bool{}}
	element := r.random.IntN(len(r.c.Elements))
	e := r.c.Elements[element]
	if !e.Joins() || !r.usable(e.A) || e.A == e.B {
		return m, false
	}
	isWire := e.Kind == graphs.Wire
	m.visits[e.A], m.visits[e.B] = true, true
	switch kind {
	case "open wire", "high wire", "open link", "high link":
		if isWire != (kind == "open wire" || kind == "high wire") {
			return m, false
		}
		m.probes = r.around(e.A, e.B, element)
		m.marks = []string{r.c.Ref(e.A).String(), r.c.Ref(e.B).String()}
		ohms := 2 + 28*r.random.Float64()
		m.ohms = kind[:4] == "high"
		if isWire {
			wire := r.drawn.Wires[e.Row]
			if now, there := r.truth.Wire(wire.Name); !there || now != wire {
				return m, false
			}
			m.wires, m.marks = []string{wire.Name}, nil
			other := wire
			other.Removed = kind == "open wire"
			if m.ohms {
				mid := r.resistor(ohms)
				other.To = mid[0]
				r.edit(r.truth, model.Change{After: model.Wire{Name: "Z" + wire.Name, From: mid[1], To: wire.To, Basis: model.BasisPlanned}})
			}
			r.edit(r.truth, model.Change{Before: wire, After: other})
			return m, true
		}
		link := r.drawn.Links[e.Row]
		if len(r.c.Incident(e.A)) < 2 || len(r.c.Incident(e.B)) < 2 {
			return m, false // nothing leads on: not worth a reading
		}
		if r.truth.Row(link.Table(), link.ID()) != model.Row(link) {
			return m, false
		}
		r.edit(r.truth, model.Change{Before: link})
		if m.ohms {
			r.edit(r.truth, model.Change{After: model.Link{Device: link.Device, From: link.From, To: link.To, Kind: model.LinkResistance, Value: model.Known(ohms)}})
		}
		return m, true
	case "short":
		a, b := e.A, r.otherMark(e.A)
		nets := r.c.Nets()
		if b < 0 || nets.Of[a] == nets.Of[b] || !r.usable(b) || len(nets.Net(a).Wires) == 0 || len(nets.Net(b).Wires) == 0 {
			return m, false
		}
		for _, e := range r.c.Elements { // a contact that is noted open there and is not reads the same
			if e.Kind == graphs.Contact && !e.Present && (nets.Of[e.A] == nets.Of[a] && nets.Of[e.B] == nets.Of[b] || nets.Of[e.A] == nets.Of[b] && nets.Of[e.B] == nets.Of[a]) {
				return m, false
			}
		}
		m.visits = map[int]bool{a: true, b: true}
		m.nets = [2]string{nets.Name(a), nets.Name(b)}
		m.ohms = true
		m.probes = [][2]int{{a, b}}
		for _, ends := range [2][2]int{{a, b}, {b, a}} {
			for i, id := range r.c.Incident(ends[0]) {
				if far := r.c.Far(int(id), ends[0]); r.c.Elements[id].Joins() && i < 3 {
					m.probes = append(m.probes, [2]int{far, ends[1]}, [2]int{far, ends[0]})
				}
			}
		}
		r.edit(r.truth, model.Change{After: model.Wire{Name: fmt.Sprintf("ZS%d", len(r.truth.Wires)), From: r.c.Ref(a), To: r.c.Ref(b), Basis: model.BasisPlanned}})
		return m, true
	default:
		return r.swap(m, element)
	}
}

func (r *trialRun) swap(m mistake, element int) (mistake, bool) {
	e, nets := r.c.Elements[element], r.c.Nets()
	if e.Kind != graphs.Wire {
		return m, false
	}
	a := e.A
	farA := e.B
	b := r.otherMark(a)
	if b < 0 || nets.Of[b] == nets.Of[a] || !r.usable(b) {
		return m, false
	}
	for _, id := range r.c.Incident(b) {
		second := r.c.Elements[id]
		farB := r.c.Far(int(id), b)
		if second.Kind != graphs.Wire || !second.Present || int(id) == element || farB == a || farB == farA {
			continue
		}
		one, two := r.drawn.Wires[e.Row], r.drawn.Wires[second.Row]
		if now, _ := r.truth.Wire(one.Name); now != one {
			return m, false
		}
		if now, _ := r.truth.Wire(two.Name); now != two {
			return m, false
		}
		oneMoved, twoMoved := moveEnd(one, r.c.Ref(a), r.c.Ref(b)), moveEnd(two, r.c.Ref(b), r.c.Ref(a))
		r.edit(r.truth, model.Change{Before: one, After: oneMoved}, model.Change{Before: two, After: twoMoved})
		m.wires = []string{one.Name, two.Name}
		m.visits = map[int]bool{a: true, b: true, farA: true, farB: true}
		m.ohms = true
		m.probes = append([][2]int{{farA, a}, {farB, b}, {farA, b}, {farB, a}}, r.around(farA, a, element)...)
		m.probes = append(m.probes, r.around(farB, b, int(id))...)
		return m, true
	}
	return m, false
}

func moveEnd(w model.Wire, from, to model.TerminalRef) model.Wire {
	if w.From == from {
		w.From = to
	} else {
		w.To = to
	}
	return w
}

// otherMark returns another terminal of a terminal's device, -1 if there is
// none.
func (r *trialRun) otherMark(t int) int {
	device := r.drawn.Terminals[t].Device
	marks := r.drawn.Marks(device)
	mark := marks[r.random.IntN(len(marks))]
	other, _ := r.drawn.TerminalIndex(model.TerminalRef{Device: device, Mark: mark})
	if other == t {
		return -1
	}
	return other
}

// resistor adds a device of two terminals to the truth.
func (r *trialRun) resistor(ohms float64) [2]model.TerminalRef {
	ref := fmt.Sprintf("ZZ%d", len(r.truth.Devices))
	r.edit(r.truth, model.Change{After: model.Device{Ref: ref, Health: model.HealthUnknown}},
		model.Change{After: model.Terminal{Device: ref, Mark: "1"}}, model.Change{After: model.Terminal{Device: ref, Mark: "2"}},
		model.Change{After: model.Link{Device: ref, From: "1", To: "2", Kind: model.LinkResistance, Value: model.Known(ohms)}})
	return [2]model.TerminalRef{{Device: ref, Mark: "1"}, {Device: ref, Mark: "2"}}
}

// namedBy says whether a finding names the mistake as its culprit.
func (m mistake) namedBy(f Finding) bool {
	switch m.kind {
	case "open wire":
		return f.Rule == nameOpen && len(f.Wires) > 0 && f.Wires[0] == m.wires[0]
	case "open link":
		return f.Rule == nameOpen && len(f.Terminals) > 1 && slices.Contains(m.marks, f.Terminals[0]) && slices.Contains(m.marks, f.Terminals[1])
	case "high wire":
		return f.Rule == nameHighResistance && len(f.Wires) > 0 && f.Wires[0] == m.wires[0]
	case "high link":
		return f.Rule == nameHighResistance && len(f.Terminals) > 1 && slices.Contains(m.marks, f.Terminals[0]) && slices.Contains(m.marks, f.Terminals[1])
	case "swapped":
		return f.Rule == nameSwapped && len(f.Wires) > 1 && slices.Contains(m.wires, f.Wires[0]) && slices.Contains(m.wires, f.Wires[1])
	default:
		return joinRule(f.Rule) && slices.Contains(f.Nets, m.nets[0]) && slices.Contains(f.Nets, m.nets[1])
	}
}

// trialScore is what one kind of trial came to.
type trialScore struct {
	trials, mistakes, named, allNamed, surplus int
	missed                                     []string
}

func (s *trialScore) run(t testing.TB, m *model.Machine, seed uint64, mistakes int) {
	t.Helper()
	r := newTrial(t, m, seed)
	var planted []mistake
	for range mistakes {
		planted = append(planted, r.plant(mistakeKinds[r.random.IntN(len(mistakeKinds))], planted))
	}
	for _, p := range planted {
		r.measureAll(p.probes, p.ohms)
	}
	known := map[string]bool{}
	for _, f := range Check(m).Findings {
		known[culpritOf(f)] = true
	}
	found := faultsOfReadings(r.drawn)
	named := 0
	for _, p := range planted {
		if slices.ContainsFunc(found, p.namedBy) {
			named++
		} else {
			s.missed = append(s.missed, fmt.Sprintf("seed %d %s %v %v %v: %s\n%s", seed, p.kind, p.wires, p.marks, p.nets, told(found), r.readings()))
		}
	}
	surplus := 0
	for _, f := range found {
		if !slices.ContainsFunc(planted, func(p mistake) bool { return p.namedBy(f) }) && !known[culpritOf(f)] {
			surplus++
		}
	}
	if surplus > 0 && named == mistakes {
		s.missed = append(s.missed, fmt.Sprintf("surplus: seed %d %v: %s\n%s", seed, planted, told(found), r.readings()))
	}
	s.trials++
	s.mistakes += mistakes
	s.named += named
	s.surplus += surplus
	if named == mistakes {
		s.allNamed++
	}
}

func faultsOfReadings(m *model.Machine) []Finding {
	return slices.DeleteFunc(called(m), func(f Finding) bool { return f.Severity != Fault })
}

func (r *trialRun) readings() string {
	text := ""
	for _, one := range r.drawn.Readings {
		text += fmt.Sprintf("  %d %s %s %s", one.Number, one.Red, one.Black, one.Value)
	}
	return text
}

func (s *trialScore) percent() float64 { return 100 * float64(s.allNamed) / float64(max(s.trials, 1)) }

// demoBare is Lantern Lock as repaired, without its readings.
func demoBare(t testing.TB) *model.Machine {
	t.Helper()
	content := &tables.Content{From: assets.AsRepaired}
	for _, table := range tables.Tables {
		text, err := fs.ReadFile(assets.Demo(assets.AsRepaired), table.File())
		if err != nil {
			t.Fatal(err)
		}
		if err := content.ReadCSV(context.Background(), table, bytes.NewReader(text)); err != nil {
			t.Fatal(err)
		}
	}
	m := model.NewMachine()
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return bare(t, m)
}

func bare(t testing.TB, m *model.Machine) *model.Machine {
	t.Helper()
	out := model.NewMachine()
	var changes []model.Change
	for _, row := range m.Rows() {
		if _, is := row.(model.Reading); !is {
			changes = append(changes, model.Change{After: row})
		}
	}
	if err := out.Apply(model.Edit{Changes: changes}); err != nil {
		t.Fatal(err)
	}
	return out
}

// clean reads around some sound elements and between some nets, and returns the
// faults claimed.
func clean(t testing.TB, m *model.Machine, seed uint64, places int) []Finding {
	t.Helper()
	r := newTrial(t, m, seed)
	for range places {
		id := r.random.IntN(len(r.c.Elements))
		if e := r.c.Elements[id]; e.Joins() {
			r.measureAll(r.around(e.A, e.B, id), r.random.Float64() < 0.5)
		}
		a, b := r.random.IntN(len(m.Terminals)), r.random.IntN(len(m.Terminals))
		r.measureAll([][2]int{{a, b}}, true)
	}
	return faultsOfReadings(r.drawn)
}

func generatedBare(t testing.TB, seed uint64) *model.Machine {
	return bare(t, sample.Machine(seed, 150))
}

func TestExplanationsNameWhatWasPlanted(t *testing.T) {
	demo := demoBare(t)
	for _, c := range []struct {
		name     string
		mistakes int
		least    float64
		machine  func(seed uint64) *model.Machine
	}{
		{"singles on the demo machine", 1, 98, func(uint64) *model.Machine { return demo }},
		{"doubles on the demo machine", 2, 90, func(uint64) *model.Machine { return demo }},
		{"singles on generated machines", 1, 98, func(seed uint64) *model.Machine { return generatedBare(t, seed) }},
		{"doubles on generated machines", 2, 90, func(seed uint64) *model.Machine { return generatedBare(t, seed) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			score := &trialScore{}
			for seed := uint64(1); seed <= trialsShort; seed++ {
				score.run(t, c.machine(seed), seed, c.mistakes)
			}
			t.Logf("%d trials, %.1f %% all named, %d surplus", score.trials, score.percent(), score.surplus)
			for _, missed := range score.missed {
				t.Log(missed)
			}
			if score.percent() < c.least-slack {
				t.Errorf("%.1f %% of trials name all that was planted, want %.0f %%", score.percent(), c.least)
			}
			if surplus := 100 * float64(score.surplus) / float64(score.mistakes); surplus > mostSurplus {
				t.Errorf("%.1f surplus faults for 100 planted, want at most %.0f", surplus, mostSurplus)
			}
		})
	}
}

func TestNoFaultIsClaimedOnSoundMachines(t *testing.T) {
	demo := demoBare(t)
	for seed := uint64(1); seed <= cleanShort; seed++ {
		m := demo
		if seed%2 == 0 {
			m = generatedBare(t, seed)
		}
		if found := clean(t, m, seed, 8); len(found) > 0 {
			t.Errorf("seed %d: %s", seed, told(found))
		}
	}
}

// BenchmarkExplanations is the whole trial: in percent, the trials that name all
// that was planted, the surplus faults for each planted, and the sound machines
// on which a fault is claimed.
func BenchmarkExplanations(b *testing.B) {
	demo := demoBare(b)
	for _, c := range []struct {
		name      string
		mistakes  int
		generated bool
	}{{"demo/singles", 1, false}, {"demo/doubles", 2, false}, {"generated/singles", 1, true}, {"generated/doubles", 2, true}} {
		b.Run(c.name, func(b *testing.B) {
			score := &trialScore{}
			seed := uint64(1000)
			for b.Loop() {
				for range 200 {
					m := demo
					seed++
					if c.generated {
						m = bare(b, sample.Machine(seed, 150))
					}
					score.run(b, m, seed, c.mistakes)
				}
			}
			b.ReportMetric(score.percent(), "%named")
			b.ReportMetric(100*float64(score.surplus)/float64(score.mistakes), "%surplus")
		})
	}
	b.Run("sound", func(b *testing.B) {
		machines, claimed := 0, 0
		for b.Loop() {
			for range 600 {
				machines++
				m := demo
				if machines%2 == 0 {
					m = generatedBare(b, uint64(machines))
				}
				if len(clean(b, m, uint64(machines), 8)) > 0 {
					claimed++
				}
			}
		}
		b.ReportMetric(100*float64(claimed)/float64(machines), "%claimed")
	})
}

// The short run: few trials, so that the share may lie a little under the target
// by chance; the benchmark runs them all.
const (
	trialsShort = 60
	cleanShort  = 60
	slack       = 3.0
	mostSurplus = 6.0
)
