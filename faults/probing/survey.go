package probing

import (
	"math"
	"slices"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// survey is what mapping knows: what hangs together, what was found apart, and
// what is still without a partner. It is kept from one answer to the next; an
// answer costs a look at what it is about. Only where devices, terminals, links
// or a wire that was known change is it made anew.
type survey struct {
	bench     *faults.Bench // that it was brought up to
	machine   *model.Machine
	devices   []model.Device
	terminals []model.Terminal
	links     []model.Link
	wires     []model.Wire
	readings  map[int64]bool // taken in

	class    []*class // by terminal
	live     []*class
	looks    int   // stamps given out
	wired    []int // by terminal: wires that end there
	deviceOf []int // by terminal: place in devices
	zoneOf   []int // by device
	inZone   [][]int
	atDevice [][]int // by device: its terminals
	sources  []int   // terminals of rails, returns of supplies, earth and mains
	rows     rows
	number   []numbered           // by terminal: its mark
	drives   bool                 // there are driver outputs
	turn     int                  // answers taken in
	rhythm   [2][mostLag + 1]beat // by kind of row and lag, over all rows
	words    words
	colours  colours
	met      map[pairKind][2]float64 // touches between classes for two things: that joined, that were made
	rails    map[float64]int         // by volts: rails
	grounds  int                     // returns of supplies that no bond permits to be common
	common   map[int][]int           // by terminal of a supply's return: those that may be common with it
	beyond   map[[2]int]float64      // ohms on the map between two terminals, once worked out
	blocked  map[[2]int]bool         // touches that would be a fault and no wire

	zone  int // that is being mapped
	level int // of levels: how unlikely what is asked for may be by now
}

// survey returns what mapping knows now.
func (p *Planner) survey() *survey {
	s := p.charting
	if s == nil || !s.follows(p) {
		s = newSurvey(p)
		p.charting = s
	}
	s.read(p)
	return s
}

// follows takes in what a new state of the map added; false where more changed
// than wires that were added.
func (s *survey) follows(p *Planner) bool {
	if s.bench == p.bench {
		return s.standing(p)
	}
	m := p.machine
	if len(m.Wires) < len(s.wires) || !slices.Equal(m.Wires[:len(s.wires)], s.wires) || !slices.Equal(m.Devices, s.devices) ||
		!slices.Equal(m.Terminals, s.terminals) || !slices.Equal(m.Links, s.links) {
		return false
	}
	s.bench, s.machine = p.bench, m
	clear(s.beyond)
	for row := len(s.wires); row < len(m.Wires); row++ {
		s.addWire(&m.Wires[row], p.circuit.Elements[row])
	}
	s.wires = append(s.wires, m.Wires[len(s.wires):]...)
	return s.standing(p)
}

// standing says whether what was read still stands.
func (s *survey) standing(p *Planner) bool {
	for number := range s.readings {
		if !p.session.Counts(number) {
			return false
		}
	}
	return true
}

func newSurvey(p *Planner) *survey {
	m := p.machine
	s := &survey{
		bench: p.bench, machine: m,
		devices: slices.Clone(m.Devices), terminals: slices.Clone(m.Terminals), links: slices.Clone(m.Links), wires: slices.Clone(m.Wires),
		readings: map[int64]bool{}, met: map[pairKind][2]float64{}, beyond: map[[2]int]float64{}, colours: newColours(), blocked: map[[2]int]bool{},
		class: make([]*class, len(m.Terminals)), wired: make([]int, len(m.Terminals)), deviceOf: make([]int, len(m.Terminals)),
	}
	s.placeDevices()
	s.countSources(p.bench)
	s.rows = findRows(m)
	s.number = numberMarks(m)
	s.drives = slices.ContainsFunc(m.Terminals, func(t model.Terminal) bool { return t.Role == model.RoleDrive })
	s.words = findWords(m)
	grounds := map[int]bool{}
	for _, supply := range p.bench.Parts.Supplies {
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
	for _, e := range p.circuit.Elements[len(m.Wires):] {
		if e.Joins() && e.Kind != graphs.Clip {
			s.join(e.A, e.B)
		}
	}
	for row := range m.Wires {
		s.addWire(&m.Wires[row], p.circuit.Elements[row])
	}
	for _, c := range s.class {
		if c.at == 0 && (len(s.live) == 0 || s.live[0] != c) {
			c.at = len(s.live)
			s.live = append(s.live, c)
		}
	}
	s.zone = s.firstZone(p)
	return s
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
func (s *survey) classOf(t int, ground bool) *class {
	terminal := &s.terminals[t]
	c := &class{terminals: []int{t}, loose: 1, has: aimOf(terminal, ground), zones: []int{s.zoneOf[s.deviceOf[t]]}, apart: map[*class]int{}, parks: -1, ground: -1}
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
	s.level = 0
}

// addWire takes in a wire of the map.
func (s *survey) addWire(wire *model.Wire, e graphs.Element) {
	if !e.Present || e.A == e.B {
		return
	}
	for _, t := range [2]int{e.A, e.B} {
		if s.wired[t]++; s.wired[t] == 1 {
			s.class[t].loose--
		}
	}
	fresh := [2]bool{s.untouched(e.A), s.untouched(e.B)}
	s.learn(wire, e.A, e.B)
	s.join(e.A, e.B)
	s.class[e.A].wires++
	for i, t := range [2]int{e.A, e.B} {
		if fresh[i] {
			s.learnRhythm(t)
		}
	}
}

// read takes in the readings that came.
func (s *survey) read(p *Planner) {
	for _, r := range p.machine.Readings {
		if s.readings[r.Number] || !p.session.Counts(r.Number) || len(p.bench.Staying().WithoutTakeOut(r)) > 0 {
			continue
		}
		red, foundRed := p.machine.TerminalIndex(r.Red)
		black, foundBlack := p.machine.TerminalIndex(r.Black)
		if !foundRed || !foundBlack {
			continue
		}
		s.readings[r.Number] = true
		s.turn++
		s.stir(red)
		s.stir(black)
		a, b := s.class[red], s.class[black]
		a.parks, b.parks = red, black
		kind := kindOfPair(a, b)
		count := s.met[kind]
		count[1]++
		switch {
		case a == b:
			count[0]++
		case r.Mode == model.ModeContinuity || r.Mode == model.ModeOhms:
			s.colours.part(a, b)
			if s.cabled(a, b) {
				s.colours.linked[1]++
			}
			a.apart[b]++
			b.apart[a]++
			a.tries++
			b.tries++
			if r.Mode == model.ModeOhms {
				ohms := math.Inf(1)
				if r.Value.Kind == model.ShowsNumber && r.Value.Number < 1e5 {
					ohms = math.Max(r.Value.Number-p.judge.Meter.LeadOhms, 0)
				}
				a.show(black, ohms)
				b.show(red, ohms)
			}
			if metal(r, p.judge.Meter) { // it should not be: a fault, and nothing to map
				a.apart[b] += 5
				b.apart[a] += 5
			}
		}
		s.met[kind] = count
	}
}

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

func kindOfPair(a, b *class) pairKind {
	x, y := a.has.main(), b.has.main()
	if y < x {
		x, y = y, x
	}
	return pairKind{x, y, meet(a.zones, b.zones)}
}

// countSources notes how many rails there are of each volts, and how many
// grounds that are kept apart.
func (s *survey) countSources(b *faults.Bench) {
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
func (s *survey) bonded(c, other *class) bool {
	return c.ground >= 0 && other.ground >= 0 && slices.Contains(s.common[c.ground], other.ground)
}

// needs says whether wires are missing at a class: for what it is for, or because
// a bond says that it meets another.
func (s *survey) needs(c *class) bool {
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

// loose counts terminals without a wire that somebody can get to.
func (s *survey) loose(p *Planner) int {
	count := 0
	for t, wires := range s.wired {
		if wires == 0 && !p.outOfReach(s.terminals[t].Ref()) {
			count++
		}
	}
	return count
}

// firstZone is where mapping begins: at the connector that was named, else where
// the tips are, else at a source.
func (s *survey) firstZone(p *Planner) int {
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
