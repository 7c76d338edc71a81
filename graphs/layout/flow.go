package layout

import (
	"bellout/graphs/kit"
	"bellout/model"
)

// flow says for each wire which of its ends lies nearer to where current or
// signal comes from.
//
// Returns and earth count from the supply outward like feeds, so that a pair
// runs together from left to right. Nets that no supply is on count from the
// device that drives: a driver's output, else the device of the least rank.

// arrow is what a wire says about the columns of its devices.
type arrow uint8

const (
	level    arrow = iota // says nothing
	forward               // from stands left of to
	backward              // to stands left of from
	beside                // a daisy chain between like devices: the same column is best
)

// rank orders kinds along the way from mains to loads.
func rank(kind model.DeviceKind) int {
	switch kind.Known() {
	case model.KindMainsInlet:
		return 0
	case model.KindSupply, model.KindBattery:
		return 1
	case model.KindConverter:
		return 2
	case model.KindComputer:
		return 3
	case model.KindHub:
		return 4
	case model.KindController:
		return 5
	case model.KindOther:
		return 6
	case model.KindDriver, model.KindAmplifier:
		return 7
	case model.KindRelay:
		return 8
	case model.KindSwitch:
		return 9
	case model.KindDisplay, model.KindSensor:
		return 10
	case model.KindSolenoid, model.KindMotor, model.KindLamp, model.KindLEDStrip, model.KindSpeaker:
		return 11
	default: // connectors, blocks, splices, fuses: nothing begins there
		return 12
	}
}

// passes says that a device of the kind is on the way, not an end of it.
func passes(kind model.DeviceKind) bool { return rank(kind) == 12 || kind == model.KindSwitch }

// thinks says that a device of the kind talks with others of its like, so that
// neither comes first.
func thinks(kind model.DeviceKind) bool { return 3 <= rank(kind) && rank(kind) <= 5 }

// flow returns an arrow for every wire.
func (s *sheet) flow() []arrow {
	depth := s.depths()
	arrows := make([]arrow, len(s.wires))
	for i, w := range s.wires {
		a, b := s.deviceOf[w.from], s.deviceOf[w.to]
		kind := s.devices[a].Kind
		from, to := &s.terminals[w.from], &s.terminals[w.to]
		switch {
		case a == b:
			arrows[i] = level
		case kind == s.devices[b].Kind && from.Role == to.Role && (!passes(kind) || from.Mark == to.Mark):
			arrows[i] = beside
		case thinks(kind) && thinks(s.devices[b].Kind) && from.Role == model.RoleSignal && to.Role == model.RoleSignal:
			arrows[i] = beside
		case depth[w.from] < depth[w.to]:
			arrows[i] = forward
		case depth[w.from] > depth[w.to]:
			arrows[i] = backward
		}
	}
	return arrows
}

// depths counts the wires from each terminal back to where its net begins.
// Links cost nothing, so a block's strips are alike.
func (s *sheet) depths() []int {
	near := s.neighbours()
	depth := make([]int, len(s.terminals))
	for t := range depth {
		depth[t] = -1
	}
	var queue, next []int
	spread := func() {
		for level := 0; len(queue) > 0; level++ {
			for at := 0; at < len(queue); at++ { // links lead on within the level
				t := queue[at]
				for _, n := range near[t] {
					if depth[n.terminal] >= 0 {
						continue
					}
					if n.wire {
						next = append(next, n.terminal)
					} else {
						depth[n.terminal] = level
						queue = append(queue, n.terminal)
					}
				}
			}
			queue, next = queue[:0], append([]int(nil), next...)
			for _, t := range next {
				if depth[t] < 0 {
					depth[t] = level + 1
					queue = append(queue, t)
				}
			}
			next = next[:0]
		}
	}
	for t := range s.terminals {
		if s.begins(t) {
			depth[t] = 0
			queue = append(queue, t)
		}
	}
	spread()

	// What is left has no supply. Each set begins at the device of least rank,
	// among equals at the one that is fed first.
	fed := make([]int, len(s.devices))
	for t, d := range depth {
		if now := fed[s.deviceOf[t]]; d > 0 && (now == 0 || d < now) {
			fed[s.deviceOf[t]] = d
		}
	}
	walk := kit.NewSets[int](len(s.terminals))
	for t := range near {
		for _, n := range near[t] {
			walk.Union(t, n.terminal)
		}
	}
	best := map[int][2]int{}
	order := func(t int) [2]int {
		d := s.deviceOf[t]
		if s.terminals[t].Role == model.RoleDrive {
			return [2]int{-1, 0}
		}
		return [2]int{rank(s.devices[d].Kind), fed[d]}
	}
	for t := range s.terminals {
		if depth[t] >= 0 {
			continue
		}
		root := walk.Find(t)
		if now, found := best[root]; !found || before(order(t), now) {
			best[root] = order(t)
		}
	}
	for t := range s.terminals {
		if depth[t] < 0 && order(t) == best[walk.Find(t)] {
			queue = append(queue, t)
		}
	}
	for _, t := range queue {
		depth[t] = 0
	}
	spread()
	return depth
}

// begins says that current comes from there: an inlet, a supply's output and
// the return beside it.
func (s *sheet) begins(t int) bool {
	terminal := &s.terminals[t]
	d := s.deviceOf[t]
	switch s.devices[d].Kind {
	case model.KindMainsInlet:
		return true
	}
	switch terminal.Role {
	case model.RoleRail:
		return true
	case model.RoleReturn:
		for other := s.first[d]; other < s.first[d+1]; other++ {
			if s.terminals[other].Role == model.RoleRail && s.terminals[other].Section == terminal.Section {
				return true
			}
		}
	}
	return false
}

// neighbour is a terminal at the other end of a wire or a link.
type neighbour struct {
	terminal int
	wire     bool
}

func before(a, b [2]int) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// neighbours returns what a terminal is joined to. A contact that has a signal
// on one side is left out: a button that pulls an input to 0 V is no feed.
func (s *sheet) neighbours() [][]neighbour {
	signal := s.signals()
	near := make([][]neighbour, len(s.terminals))
	for _, w := range s.wires {
		near[w.from] = append(near[w.from], neighbour{w.to, true})
		near[w.to] = append(near[w.to], neighbour{w.from, true})
	}
	for _, l := range s.links {
		if l.kind == model.LinkContact && (signal(l.from) || signal(l.to)) {
			continue
		}
		near[l.from] = append(near[l.from], neighbour{l.to, false})
		near[l.to] = append(near[l.to], neighbour{l.from, false})
	}
	return near
}

// signals returns a function that says whether a terminal's net, contacts open,
// holds a signal terminal.
func (s *sheet) signals() func(t int) bool {
	joined := kit.NewSets[int](len(s.terminals))
	for _, w := range s.wires {
		joined.Union(w.from, w.to)
	}
	for _, l := range s.links {
		if l.kind != model.LinkContact {
			joined.Union(l.from, l.to)
		}
	}
	found := make([]bool, len(s.terminals))
	for t := range s.terminals {
		if s.terminals[t].Role == model.RoleSignal {
			found[joined.Find(t)] = true
		}
	}
	return func(t int) bool { return found[joined.Find(t)] }
}
