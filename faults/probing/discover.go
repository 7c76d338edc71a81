package probing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// leastChance is the chance of a join under which a touch is not worth making.
const leastChance = 0.004

// likelyPartner is the chance of a join from which on no better one is looked for.
const likelyPartner = 0.3

// discover proposes the touch that most likely finds a wire that the map does
// not have. It grows: a terminal without a wire is tried against what is most
// likely its partner, one tip for each net that is known, the likeliest first.
// It settles: a silence keeps two nets apart with all their terminals, a beep
// makes them one, and a terminal that found its partner asks no more.
func (p *Planner) discover() (Proposal, bool) {
	s := p.survey()
	best, most := [2]int{}, 0.0
	for _, t := range s.loose {
		for _, partner := range s.partners(t) {
			if partner.chance < leastChance || partner.chance <= most {
				break // the rest is less likely still
			}
			if red, black, found := p.discoverTips(s, t, partner.net); found {
				best, most = [2]int{red, black}, partner.chance
				break
			}
		}
		if most > likelyPartner {
			break
		}
	}
	if most == 0 {
		p.mapping = false
		return Proposal{}, false
	}
	p.mapping = true
	return p.discoverProposal(best[0], best[1], most, len(s.loose)), true
}

// wantsMap says whether most of the map is missing: more terminals wait for
// their first wire than have one. Once begun, mapping goes on to its end.
func (p *Planner) wantsMap() bool {
	if p.mapping {
		return true
	}
	s := p.survey()
	return len(s.loose) > 0 && 2*len(s.loose) > s.hopeful
}

// survey is what mapping knows: what hangs together, what was silent, and who
// is still without a partner.
type survey struct {
	p       *Planner
	nets    *graphs.Nets
	apart   map[[2]int]bool              // pairs of nets that a reading keeps apart
	grown   []bool                       // by net: a source is in it
	joined  map[[2]string][]int          // by pair of devices: the wires between them
	met     map[[2]model.Role][2]float64 // by kind of pair: how many touches joined, how many were made
	loose   []int                        // terminals that wait for a wire, sources first
	hopeful int                          // terminals that have a wire or wait for one
	tries   map[int]int                  // by net: silences
	zones   map[string]string            // by device
}

func (p *Planner) survey() *survey {
	s := &survey{p: p, nets: p.circuit.Nets(), apart: map[[2]int]bool{}, joined: map[[2]string][]int{}, met: map[[2]model.Role][2]float64{}, tries: map[int]int{}, zones: map[string]string{}}
	s.grown = make([]bool, len(s.nets.List))
	for _, device := range p.machine.Devices {
		s.zones[device.Ref] = device.Zone
	}
	has := make([]bool, len(p.machine.Terminals))
	for _, supply := range p.bench.Parts.Supplies {
		for _, t := range append([]int{supply.Rail}, supply.Returns...) {
			s.grown[s.nets.Of[t]] = true
		}
	}
	for row, wire := range p.machine.Wires {
		if e := p.circuit.Elements[row]; e.Present {
			has[e.A], has[e.B] = true, true
			pair := devicePair(wire.From.Device, wire.To.Device)
			s.joined[pair] = append(s.joined[pair], row)
		}
	}
	for _, r := range p.machine.Readings {
		red, foundRed := p.machine.TerminalIndex(r.Red)
		black, foundBlack := p.machine.TerminalIndex(r.Black)
		if !foundRed || !foundBlack || !p.session.Counts(r.Number) || len(r.Conditions) > 0 {
			continue
		}
		kind := pairKind(&p.machine.Terminals[red], &p.machine.Terminals[black])
		count := s.met[kind]
		count[1]++
		if a, b := s.nets.Of[red], s.nets.Of[black]; a == b {
			count[0]++
		} else {
			s.apart[[2]int{min(a, b), max(a, b)}] = true
			s.tries[a]++
			s.tries[b]++
		}
		s.met[kind] = count
	}
	for t, terminal := range p.machine.Terminals {
		if has[t] {
			s.hopeful++
		} else if !p.outOfReach(terminal.Ref()) {
			s.hopeful++
			s.loose = append(s.loose, t)
		}
	}
	slices.SortFunc(s.loose, func(a, b int) int {
		x, y := p.machine.Terminals[a], p.machine.Terminals[b]
		if order := cmp.Compare(eager(x.Role), eager(y.Role)); order != 0 {
			return order
		}
		return model.CompareRefs(x.Ref(), y.Ref())
	})
	return s
}

// eager puts those terminals first whose partners are surest.
func eager(role model.Role) int {
	return slices.Index([]model.Role{model.RoleLine, model.RoleNeutral, model.RoleEarth, model.RoleRail, model.RoleReturn, model.RoleFeed, model.RoleSignal, model.RoleDrive, model.RolePass, ""}, role)
}

func devicePair(a, b string) [2]string {
	if model.Compare(b, a) < 0 {
		a, b = b, a
	}
	return [2]string{a, b}
}

// pairKind names what two terminals are to each other, so that what was found
// teaches what to look for.
func pairKind(a, b *model.Terminal) [2]model.Role {
	if b.Role < a.Role {
		a, b = b, a
	}
	return [2]model.Role{a.Role, b.Role}
}

type partner struct {
	net    int
	chance float64
}

// partners returns the nets that a terminal may belong to, the likeliest first,
// those left out that a join with would be a fault and no wire found,
// with chances that sum to less than 1: it may belong to none.
func (s *survey) partners(t int) []partner {
	mine := s.nets.Of[t]
	var list []partner
	total := 0.0
	for at := range s.nets.List {
		if at == mine || s.apart[[2]int{min(at, mine), max(at, mine)}] {
			continue
		}
		if !s.p.bench.MayBeJoined(t, s.nets.List[at].Terminals[0]) {
			continue
		}
		if weight := s.weight(t, at); weight > 0 {
			list = append(list, partner{at, weight})
			total += weight
		}
	}
	none := 0.05 * math.Pow(1.02, float64(s.tries[mine])) // each silence makes a spare likelier
	for i := range list {
		list[i].chance /= total + none
	}
	slices.SortStableFunc(list, func(a, b partner) int { return cmp.Compare(b.chance, a.chance) })
	return list
}

// weight is how likely a terminal belongs to a net, against others: by the best
// of the net's terminals.
func (s *survey) weight(t, net int) float64 {
	best := 0.0
	const most = 5
	list := s.nets.List[net].Terminals
	for _, other := range list[:min(most, len(list))] {
		best = math.Max(best, s.affinity(t, other))
	}
	if role := s.p.machine.Terminals[t].Role; (role == model.RoleFeed || role == model.RoleReturn) && !s.grown[net] {
		best *= 0.02 // first a way from the source comes near, then the loads on it
	}
	return best
}

// affinity is how much two terminals look like partners. Judgement, but for what
// this machine's own touches taught.
func (s *survey) affinity(t, other int) float64 {
	a, b := &s.p.machine.Terminals[t], &s.p.machine.Terminals[other]
	if a.Device == b.Device {
		return 0
	}
	weight := suits(a, b)
	if weight == 0 {
		return 0
	}
	count := s.met[pairKind(a, b)]
	weight *= (count[0] + 1) / (count[1] + 4) * 4
	if a.Mark == b.Mark {
		weight *= 3
	}
	if zone := s.zones[a.Device]; zone != "" && zone == s.zones[b.Device] {
		weight *= 2
	}
	if between := s.joined[devicePair(a.Device, b.Device)]; len(between) > 0 {
		weight *= 3
		if s.inStep(between, a.Ref(), b.Ref()) {
			weight *= 6
		}
	}
	return weight
}

// suits is how well two roles and their volts go together.
func suits(a, b *model.Terminal) float64 {
	if eager(b.Role) < eager(a.Role) {
		a, b = b, a
	}
	same := a.Role == b.Role
	volts := !a.Volts.Known || !b.Volts.Known || a.Volts.Value == b.Volts.Value
	switch a.Role {
	case model.RoleLine, model.RoleNeutral, model.RoleEarth:
		if same || b.Role == model.RolePass {
			return 1
		}
		return 0
	case model.RoleRail, model.RoleFeed:
		switch {
		case !volts:
			return 0.01
		case b.Role == model.RoleFeed:
			return 2
		case b.Role == model.RolePass:
			return 1
		case same, b.Role == model.RoleReturn:
			return 0.005
		}
		return 0.05
	case model.RoleReturn:
		switch b.Role {
		case model.RoleReturn:
			return 1
		case model.RolePass, model.RoleDrive:
			return 0.7
		case model.RoleFeed:
			return 0.005
		}
		return 0.05
	case model.RoleSignal:
		switch b.Role {
		case model.RoleSignal:
			return 1
		case model.RolePass:
			return 0.7
		}
		return 0.03
	case model.RoleDrive:
		if b.Role == model.RolePass {
			return 1
		}
		return 0.1
	default:
		return 0.6
	}
}

// inStep says whether a wire between the two devices has both marks as far from
// these as each other: pin for pin, in order.
func (s *survey) inStep(between []int, a, b model.TerminalRef) bool {
	for _, row := range between {
		wire := s.p.machine.Wires[row]
		from, to := wire.From, wire.To
		if from.Device != a.Device {
			from, to = to, from
		}
		if from.Device != a.Device || to.Device != b.Device {
			continue
		}
		stepA, okA := markStep(from.Mark, a.Mark)
		stepB, okB := markStep(to.Mark, b.Mark)
		if okA && okB && stepA == stepB {
			return true
		}
	}
	return false
}

// markStep returns how many pins lie from one mark to another of the same
// letters; false where the marks are of different kinds.
func markStep(from, to string) (int, bool) {
	lettersFrom, numberFrom, okFrom := splitMark(from)
	lettersTo, numberTo, okTo := splitMark(to)
	return numberTo - numberFrom, okFrom && okTo && lettersFrom == lettersTo
}

func splitMark(mark string) (letters string, number int, ok bool) {
	digits := strings.TrimLeft(mark, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz+-")
	letters = strings.TrimSuffix(mark, digits)
	if digits == "" || len(digits) > 6 {
		return "", 0, false
	}
	for _, r := range digits {
		if r < '0' || r > '9' {
			return "", 0, false
		}
		number = number*10 + int(r-'0')
	}
	return letters, number, true
}

// discoverTips returns a tip on a terminal and one on a net: the net's own first
// terminal stands for it.
func (p *Planner) discoverTips(s *survey, t, net int) (red, black int, found bool) {
	const most = 4
	list := s.nets.List[net].Terminals
	for _, other := range list[:min(most, len(list))] {
		if p.usable(other, t, nil) {
			return other, t, true
		}
	}
	return 0, 0, false
}

func (p *Planner) discoverProposal(red, black int, chance float64, loose int) Proposal {
	// By the number: a lamp or a coil that nobody has mapped yet beeps like a wire.
	mode := model.ModeOhms
	made := p.proposal(red, black, mode, nil)
	made.GainBits = bits(gain(chance, p.judge.Meter.MissedTouch))
	made.Reason = fmt.Sprintf("%s has no wire on the map yet; %s is its likeliest partner (%s). %s without a wire.",
		p.ref(black), p.ref(red), percent(chance), counted(float64(loose), "terminal"))
	joined, silent := "Under half an ohm", "More, or OL"
	made.Answers = []Answer{{joined, "a wire joins the two, and the map gets it"}, {silent, "the two and all that is joined to them are apart; the next likeliest partner is tried"}}
	return made
}
