package graphs

import (
	"cmp"
	"math"
)

// settle returns the voltages, the diodes as they conduct.
func (r *running) settle() *OperatingPoint { return r.finish(r.steady()) }

// steady returns the voltages with diodes and resting supplies as they stand.
func (r *running) steady() *OperatingPoint {
	for {
		r.findStates()
		if point := r.solve(false, nil); !r.wake(point) {
			return point
		}
	}
}

// finish gives a solved point what hangs by idle loads only, and takes from it
// what volts that nobody knows would shift.
func (r *running) finish(point *OperatingPoint) *OperatingPoint {
	bodies := r.idleBodies(point)
	return r.partByUnknown(r.hang(point, bodies), bodies)
}

// findStates finds which diodes conduct. It starts from the nominal volts of
// metal and sources; where those say nothing a diode is taken to conduct. A diode
// that conducts backwards is then opened, one that blocks forward volts is
// closed, all at once at first and one at a time later on, which ends even where
// all at once goes round in circles.
func (r *running) findStates() {
	r.on = make([]bool, len(r.diodes))
	if len(r.diodes) > 0 {
		nominal, _ := r.levels(everyWire)
		for i, d := range r.diodes {
			a, b := int32(d.a), int32(d.b)
			r.on[i] = nominal.find(a) != nominal.find(b) || nominal.above(a, b) > 0
		}
	}
	if len(r.diodes) > 0 {
		for round := range diodeRounds {
			if r.flip(r.solve(true, nil), round < diodeRounds/3) == 0 {
				break
			}
		}
	}
}

// flip turns the diodes that are in the wrong state, all or the first of them,
// and returns how many were wrong.
func (r *running) flip(point *OperatingPoint, all bool) (wrong int) {
	for i, d := range r.diodes {
		if point.Island[d.a] < 0 || point.Island[d.a] != point.Island[d.b] {
			continue // nothing drives a current
		}
		volts := point.Volts[d.a] - point.Volts[d.b]
		if r.on[i] && volts < -diodeSlack || !r.on[i] && volts > 100*diodeSlack {
			if all || wrong == 0 {
				r.on[i] = !r.on[i]
			}
			wrong++
		}
	}
	return wrong
}

// Which metal counts when levels are found.
func noOhms(s resistor) bool    { return s.ohms == 0 }
func everyWire(s resistor) bool { return true }

// levels joins the terminals whose difference in volts is fixed: by metal that
// counts, and by sources. It returns the supplies that contradict what metal
// and earlier sources fix; they are left out.
func (r *running) levels(counts func(resistor) bool) (l *levels, fighting []int) {
	l = newLevels(len(r.c.Machine.Terminals))
	for _, s := range r.metal {
		if counts(s) {
			l.join(int32(s.a), int32(s.b), 0)
		}
	}
	for _, s := range r.other {
		if s.ohms == 0 {
			l.join(int32(s.a), int32(s.b), 0)
		}
	}
	for i, d := range r.diodes {
		if r.on[i] && counts(resistor{ohms: onOhms}) {
			l.join(int32(d.a), int32(d.b), 0)
		}
	}
	fighting = []int{}
	for _, s := range r.sources {
		if !l.join(int32(s.rail), int32(s.back), s.volts) && math.Abs(l.above(int32(s.rail), int32(s.back))-s.volts) > 1e-9 {
			fighting = append(fighting, s.supply)
		}
	}
	return l, fighting
}

// flows are the currents and conductors between levels.
type flows struct {
	level      *levels
	conductors []conductor // by the levels' roots
	amps       []float64   // into each root
}

// conduct adds a resistor. Between levels, what their offsets drive through it
// is a current put in at both ends.
func (f *flows) conduct(s resistor) {
	a, b := f.level.find(int32(s.a)), f.level.find(int32(s.b))
	if a == b {
		return
	}
	siemens := 1 / s.ohms
	f.conductors = append(f.conductors, conductor{a, b, siemens})
	driven := siemens * (f.level.volts(int32(s.a)) - f.level.volts(int32(s.b)))
	f.amps[a] -= driven
	f.amps[b] += driven
}

// draw takes a current out at a and puts it in at b.
func (f *flows) draw(a, b int, amps float64) {
	f.amps[f.level.find(int32(a))] -= amps
	f.amps[f.level.find(int32(b))] += amps
}

// solve returns the voltages with the diodes as they are and with some resistors
// besides; leaking if the diodes' states are still being sought.
func (r *running) solve(leaking bool, besides []resistor) *OperatingPoint {
	level, fighting := r.levels(noOhms)
	loops, _ := r.levels(everyWire)
	f := &flows{level: level, amps: make([]float64, len(r.c.Machine.Terminals))}
	for _, list := range [3][]resistor{r.metal, r.other, besides} {
		for _, s := range list {
			if s.ohms > 0 {
				f.conduct(s)
			}
		}
	}
	for i, d := range r.diodes {
		if r.on[i] {
			f.conduct(resistor{d.a, d.b, onOhms})
		} else if leaking {
			f.conduct(resistor{d.a, d.b, offOhms})
		}
	}
	point := &OperatingPoint{Fighting: fighting, Drawing: make([]bool, len(r.parts.Loads))}
	for at := range r.parts.Loads {
		point.Drawing[at] = r.load(&r.parts.Loads[at], f, loops)
	}
	r.voltages(point, f)
	return point
}

// load puts a load into the flows and says whether it draws.
func (r *running) load(load *Load, f *flows, loops *levels) bool {
	if !r.conducts(load) {
		return false
	}
	back := load.Returns[0]
	a, b := int32(load.Feed), int32(back)
	across := 0.0
	if loops.find(a) == loops.find(b) {
		across = loops.above(a, b)
	}
	if r.loads == LoadsAsResistances {
		f.conduct(resistor{load.Feed, back, load.ohms()})
		return across != 0
	}
	rated := cmp.Or(load.Volts.Or(1), 1)
	if across*rated <= 0 {
		return false
	}
	f.draw(load.Feed, back, math.Copysign(load.Amps.Value, across))
	return true
}

// conducts says whether a load is a conductor in the machine: it draws, nothing
// in it is open, and it is plugged in.
func (r *running) conducts(load *Load) bool {
	if !r.draws(load) || load.Amps.Value == 0 || r.unplugged[load.Device] || r.idle[load.Feed] {
		return false
	}
	for _, back := range load.Returns {
		if r.dead[[2]int{min(load.Feed, back), max(load.Feed, back)}] {
			return false
		}
	}
	return true
}

// ohms is a load as a resistance: its volts over what it draws.
func (l *Load) ohms() float64 { return math.Abs(l.Volts.Value / l.Amps.Value) }

// voltages solves the flows and refers each island to its reference.
func (r *running) voltages(point *OperatingPoint, f *flows) {
	n := len(r.c.Machine.Terminals)
	number := make([]int32, n)
	count := int32(0)
	alone := make([]int, n)
	for t := range n {
		root := f.level.find(int32(t))
		alone[root]++
		if root == int32(t) {
			number[t] = count
			count++
		}
	}
	volts := make([]float64, count)
	for t := range n {
		if f.level.find(int32(t)) == int32(t) {
			volts[number[t]] = f.amps[t]
		}
	}
	list := make([]conductor, len(f.conductors))
	for i, c := range f.conductors {
		list[i] = conductor{number[c.a], number[c.b], c.siemens}
	}
	unique, _ := addParallel(int(count), list)
	factored := newFactor(int(count), unique)
	factored.solve(volts)

	point.Volts, point.Island = make([]float64, n), make([]int, n)
	size := make([]int, count)
	for t := range n {
		size[factored.part[number[f.level.find(int32(t))]]]++
	}
	for t := range n {
		root := f.level.find(int32(t))
		x := number[root]
		point.Volts[t] = volts[x] + f.level.volts(int32(t))
		point.Island[t] = int(factored.part[x])
		if size[factored.part[x]] == 1 {
			point.Volts[t], point.Island[t] = math.NaN(), -1
		}
	}
	r.refer(point)
}

// refer counts each island's volts from its reference.
func (r *running) refer(point *OperatingPoint) {
	reference := map[int]int{}
	for _, s := range r.sources {
		island := point.Island[s.back]
		if _, set := reference[island]; !set {
			reference[island] = s.back
		}
	}
	for t, island := range point.Island {
		if _, set := reference[island]; !set {
			reference[island] = t
		}
	}
	base := map[int]float64{}
	for island, t := range reference {
		base[island] = point.Volts[t]
	}
	for t, island := range point.Island {
		if island >= 0 {
			point.Volts[t] -= base[island]
		}
	}
}
