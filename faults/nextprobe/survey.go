package nextprobe

import (
	"cmp"
	"math"
	"slices"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// survey is what mapping knows: what hangs together, what was found apart, and
// what is still without a partner.
type survey struct {
	devices   []model.Device
	terminals []model.Terminal

	class    []*cluster // by terminal
	live     []*cluster
	looks    int   // stamps given out
	wired    []int // by terminal: wires that end there
	deviceOf []int // by terminal: place in devices
	zoneOf   []int // by device
	zones    []string
	inZone   [][]int
	atDevice [][]int // by device: its terminals
	sources  []int   // terminals of rails, returns of supplies, earth and mains
	rows     rows
	number   []numbered                // by terminal: its mark
	drives   bool                      // there are driver outputs
	rhythm   [2][mostLag + 1]frequency // by kind of row and lag, over all rows
	words    words
	colours  colours
	met      map[pairKind]frequency // touches between classes for two things: that joined, that were made
	rails    map[float64]int        // by volts: rails
	grounds  int                    // returns of supplies that no bond permits to be common
	common   map[int][]int          // by terminal of a supply's return: those that may be common with it
	beyond   map[[2]int]float64     // ohms on the map between two terminals, once worked out
	blocked  map[[2]int]bool        // touches that would be a fault and no wire
}

// mapping is how far mapping has come.
type mapping struct {
	begun bool   // it goes on until nothing is left to look for
	zone  string // that is being mapped
	zoned bool
	level int // of levels: how unlikely what is asked for may be by now
}

// survey returns what mapping knows now.
func (p *Planner) survey() *survey {
	if p.surveyed == nil {
		p.surveyed = newSurvey(p.view)
	}
	return p.surveyed
}

// newSurvey lays out what is known without the readings, and then takes in one
// reading after another, each after the wire that it found: so what was learnt
// from it is the same however often it is worked out.
func newSurvey(v *view) *survey {
	m := v.machine
	s := &survey{
		devices: m.Devices, terminals: m.Terminals,
		met: map[pairKind]frequency{}, beyond: map[[2]int]float64{}, colours: newColours(), blocked: map[[2]int]bool{},
		class: make([]*cluster, len(m.Terminals)), wired: make([]int, len(m.Terminals)), deviceOf: make([]int, len(m.Terminals)),
	}
	s.placeDevices()
	s.countSources(v.bench)
	s.rows = findRows(m)
	s.number = numberMarks(m)
	s.drives = slices.ContainsFunc(m.Terminals, func(t model.Terminal) bool { return t.Role == model.RoleDrive })
	s.words = findWords(m)
	grounds := map[int]bool{}
	for _, supply := range v.bench.Parts.Supplies {
		for _, t := range supply.Returns {
			grounds[t] = true
		}
	}
	for t := range m.Terminals {
		s.class[t] = s.classOf(t, grounds[t])
		if s.class[t].has&aimsSource != 0 {
			s.sources = append(s.sources, t)
		}
	}
	for _, e := range v.circuit.Elements[len(m.Wires):] {
		if e.Joins() && e.Kind != graphs.Clip {
			s.join(e.A, e.B)
		}
	}
	readings := v.mapReadings()
	found := v.foundBy(readings)
	for row := range m.Wires {
		if _, later := found[row]; !later {
			s.addWire(&m.Wires[row], v.circuit.Elements[row], false)
		}
	}
	for _, c := range s.class {
		if c.at == 0 && (len(s.live) == 0 || s.live[0] != c) {
			c.at = len(s.live)
			s.live = append(s.live, c)
		}
	}
	wiresOf := map[int64][]int{}
	for row := range m.Wires {
		if number, later := found[row]; later {
			wiresOf[number] = append(wiresOf[number], row)
		}
	}
	for _, r := range readings {
		for _, row := range wiresOf[r.Number] {
			s.addWire(&m.Wires[row], v.circuit.Elements[row], true)
		}
		s.read(v, r)
	}
	return s
}

// mapReadings returns the readings that tell of the map, in the order in which they
// were taken.
func (v *view) mapReadings() []model.Reading {
	var list []model.Reading
	for _, r := range v.machine.Readings {
		if v.known.Counts(r.Number) && len(v.bench.Staying().WithoutTakeOut(r)) == 0 {
			list = append(list, r)
		}
	}
	slices.SortFunc(list, func(a, b model.Reading) int { return cmp.Compare(a.Number, b.Number) })
	return list
}

// foundBy says of the wires that a reading found, by their places in
// Machine.Wires, which reading it was: the first between their ends.
func (v *view) foundBy(readings []model.Reading) map[int]int64 {
	first := map[[2]model.TerminalRef]int64{}
	for _, r := range slices.Backward(readings) {
		first[refPair(r.Red, r.Black)] = r.Number
	}
	found := map[int]int64{}
	for row, wire := range v.machine.Wires {
		if number, read := first[refPair(wire.From, wire.To)]; read && wire.Basis == model.BasisProbed {
			found[row] = number
		}
	}
	return found
}

// refPair is a pair of terminals, whichever comes first.
func refPair(a, b model.TerminalRef) [2]model.TerminalRef {
	if model.CompareRefs(a, b) > 0 {
		a, b = b, a
	}
	return [2]model.TerminalRef{a, b}
}

// placeDevices notes who stands where.
func (s *survey) placeDevices() {
	at := make(map[string]int, len(s.devices))
	zones := map[string]int{}
	s.zoneOf, s.atDevice = make([]int, len(s.devices)), make([][]int, len(s.devices))
	for i, device := range s.devices {
		at[device.Ref] = i
		zone, known := zones[device.Zone]
		if !known {
			zone = len(zones)
			zones[device.Zone] = zone
			s.zones = append(s.zones, device.Zone)
			s.inZone = append(s.inZone, nil)
		}
		s.zoneOf[i] = zone
	}
	for t := range s.terminals {
		device := at[s.terminals[t].Device]
		s.deviceOf[t] = device
		s.atDevice[device] = append(s.atDevice[device], t)
		s.inZone[s.zoneOf[device]] = append(s.inZone[s.zoneOf[device]], t)
	}
}

// classOf returns the class of one terminal by itself.
func (s *survey) classOf(t int, ground bool) *cluster {
	terminal := &s.terminals[t]
	c := &cluster{terminals: []int{t}, loose: 1, has: aimOf(terminal, ground), zones: []int{s.zoneOf[s.deviceOf[t]]}, apart: map[*cluster]int{}, parks: -1, ground: -1}
	if c.has == aimGround {
		c.ground = t
	}
	if (terminal.Role == model.RoleRail || terminal.Role == model.RoleFeed) && terminal.Volts.Known {
		c.volts = []float64{terminal.Volts.Value}
	}
	if c.has != aimPass {
		c.ends = []int{s.deviceOf[t]}
	} else {
		c.hint, c.named = hintOf(&s.devices[s.deviceOf[t]], terminal.Mark)
	}
	return c
}

// join makes one class of those of two terminals.
func (s *survey) join(a, b int) {
	big, small := s.class[a], s.class[b]
	if big == small {
		return
	}
	if len(big.terminals) < len(small.terminals) {
		big, small = small, big
	}
	for _, t := range small.terminals {
		s.class[t] = big
	}
	big.swallow(small)
	s.colours.swallow(big, small)
	if len(s.live) > 0 {
		last := s.live[len(s.live)-1]
		s.live[small.at] = last
		last.at = small.at
		s.live = s.live[:len(s.live)-1]
	}
}

// addWire takes in a wire of the map, be it one that a reading found.
func (s *survey) addWire(wire *model.Wire, e graphs.Element, found bool) {
	if !e.Present || e.A == e.B {
		return
	}
	for _, t := range [2]int{e.A, e.B} {
		if s.wired[t]++; s.wired[t] == 1 {
			s.class[t].loose--
		}
	}
	fresh := [2]bool{s.untouched(e.A), s.untouched(e.B)}
	s.learn(wire, e.A, e.B, found)
	s.join(e.A, e.B)
	s.class[e.A].wires++
	for i, t := range [2]int{e.A, e.B} {
		if fresh[i] {
			s.learnRhythm(t)
		}
	}
}

// read takes in a reading.
func (s *survey) read(v *view, r model.Reading) {
	red, _ := v.machine.TerminalIndex(r.Red)
	black, _ := v.machine.TerminalIndex(r.Black)
	a, b := s.class[red], s.class[black]
	a.parks, b.parks = red, black
	kind := kindOfPair(a, b)
	count := s.met[kind]
	count.all++
	switch {
	case a == b:
		count.hits++
	case r.Mode == model.ModeContinuity || r.Mode == model.ModeOhms:
		s.colours.part(a, b)
		if s.cabled(a, b) {
			s.colours.linked.all++
		}
		a.apart[b]++
		b.apart[a]++
		a.tries++
		b.tries++
		if r.Mode == model.ModeOhms {
			ohms := math.Inf(1)
			if r.Value.Kind == model.ShowsNumber && r.Value.Number < 1e5 {
				ohms = math.Max(r.Value.Number-v.judge.Meter.LeadOhms, 0)
			}
			a.show(black, ohms)
			b.show(red, ohms)
		}
		if metal(r, v.judge.Meter) { // it should not be: a fault, and nothing to map
			a.apart[b] += 5
			b.apart[a] += 5
		}
	}
	s.met[kind] = count
}

// frequency counts how often something was so, of all times.
type frequency struct{ hits, all float64 }

// metal says whether a reading shows metal between its tips.
func metal(r model.Reading, meter judge.Meter) bool {
	if r.Mode == model.ModeContinuity {
		return r.Value.Kind == model.ShowsBeep
	}
	return r.Value.Kind == model.ShowsNumber && r.Value.Number-meter.LeadOhms < judge.MetalBelowOhms
}

// pairKind names what two classes are for and whether they stand in one zone, so
// that what was found teaches what to look for.
type pairKind struct {
	x, y aims
	near bool
}

func kindOfPair(a, b *cluster) pairKind {
	x, y := a.has.main(), b.has.main()
	if y < x {
		x, y = y, x
	}
	return pairKind{x, y, meet(a.zones, b.zones)}
}

// countSources notes how many rails there are of each volts, and how many
// grounds that are kept apart.
func (s *survey) countSources(b *faults.Analysis) {
	s.rails, s.grounds = map[float64]int{}, 0
	for _, supply := range b.Parts.Supplies {
		if supply.Volts.Known {
			s.rails[supply.Volts.Value]++
		}
	}
	s.common = map[int][]int{}
	groups := map[int][]int{} // by its first ground
	for at, ground := range b.Grounds {
		first := at
		for other := range groups {
			if b.MayBeCommon(at, other) {
				first = other
				break
			}
		}
		groups[first] = append(groups[first], ground.Returns...)
	}
	s.grounds = len(groups)
	for _, group := range groups {
		for _, t := range group {
			s.common[t] = group
		}
	}
}

// bonded says whether two returns of supplies may be common by a bond.
func (s *survey) bonded(c, other *cluster) bool {
	return c.ground >= 0 && other.ground >= 0 && slices.Contains(s.common[c.ground], other.ground)
}

// needs says whether wires are missing at a class: for what it is for, or because
// a bond says that it meets another.
func (s *survey) needs(c *cluster) bool {
	if c.needs() {
		return true
	}
	if mains := c.has.main(); mains&(aimLine|aimNeutral|aimEarth) != 0 {
		return slices.ContainsFunc(s.sources, func(t int) bool { return s.class[t] != c && s.class[t].has.main() == mains })
	}
	if c.ground < 0 {
		return false
	}
	return slices.ContainsFunc(s.common[c.ground], func(t int) bool { return s.class[t] != c })
}

// mappingZone returns the zone that is being mapped: the one from before, else that of
// the connector that was named, else where the tips are, else at a source.
func (p *Planner) mappingZone(s *survey) int {
	if at := slices.Index(s.zones, p.mapping.zone); p.mapping.zoned && at >= 0 {
		return at
	}
	refs := []string{p.options.Start}
	if p.held != nil {
		refs = append(refs, p.held.Red.Device)
	}
	for _, ref := range refs {
		if at := slices.IndexFunc(s.devices, func(d model.Device) bool { return d.Ref == ref }); at >= 0 {
			return s.zoneOf[at]
		}
	}
	if len(p.bench.Parts.Supplies) > 0 {
		return s.zoneOf[s.deviceOf[p.bench.Parts.Supplies[0].Rail]]
	}
	return 0
}
