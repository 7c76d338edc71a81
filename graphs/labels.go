package graphs

import (
	"cmp"
	"slices"
	"sync"

	"bellout/model"

	"gonum.org/v1/gonum/graph"
)

// labels are what circuits of one machine know of it whatever the condition:
// they are worked out once and shared.
type labels struct {
	terminals sync.Once
	rank      []int32  // rank[t]: the place of terminal t among all, as people read references
	byRank    []int32  // the other way round
	telling   []uint64 // telling[t]: the least of a net names it; see tellingKey

	links   sync.Once
	linksOf map[string][]int32 // rows of Machine.Links by device

	boxes sync.Once
	nodes []graph.Node // of gonum, one for each terminal
}

// terminalLabels returns the labels with everything about terminals filled in.
// Cost: linear where the terminals stand sorted, as after a load.
func (c *Circuit) terminalLabels() *labels {
	c.labels.terminals.Do(func() {
		c.labels.rankTerminals(c.Machine)
		c.labels.weighTerminals(c.Machine)
	})
	return c.labels
}

// linksOf returns the rows in Machine.Links of a device's links.
func (c *Circuit) linksOf(device string) []int32 {
	c.labels.links.Do(func() {
		c.labels.linksOf = make(map[string][]int32, len(c.Machine.Devices))
		for row := range c.Machine.Links {
			ref := c.Machine.Links[row].Device
			c.labels.linksOf[ref] = append(c.labels.linksOf[ref], int32(row))
		}
	})
	return c.labels.linksOf[device]
}

// rankTerminals sorts device by device: names of devices are compared once a
// device, and marks only within one.
func (l *labels) rankTerminals(m *model.Machine) {
	type group struct {
		device    string
		terminals []int32
	}
	var groups []group
	places := make(map[string]int, len(m.Devices))
	last := -1
	for t := range m.Terminals {
		device := m.Terminals[t].Device
		if last < 0 || groups[last].device != device {
			at, found := places[device]
			if !found {
				at = len(groups)
				places[device] = at
				groups = append(groups, group{device: device})
			}
			last = at
		}
		groups[last].terminals = append(groups[last].terminals, int32(t))
	}
	slices.SortFunc(groups, func(a, b group) int { return model.Compare(a.device, b.device) })
	l.rank = make([]int32, len(m.Terminals))
	l.byRank = make([]int32, 0, len(m.Terminals))
	byMark := func(a, b int32) int { return model.Compare(m.Terminals[a].Mark, m.Terminals[b].Mark) }
	for _, g := range groups {
		if !slices.IsSortedFunc(g.terminals, byMark) {
			slices.SortFunc(g.terminals, byMark)
		}
		for _, t := range g.terminals {
			l.rank[t] = int32(len(l.byRank))
			l.byRank = append(l.byRank, t)
		}
	}
}

// Shifts of the parts of a telling key.
const (
	tellingKind  = 61 // the net's kind by this terminal
	tellingGrade = 56 // among terminals that give the same kind
	tellingLen   = 32 // length of the reference, where the net is named after it
	tellingRank  = 1<<32 - 1
)

// weighTerminals gives each terminal its key: what kind of net it makes, then
// how well it names that net, then its rank. The least key of a net gives the
// net its kind and its name:
//
//   - a rail of known volts before one of unknown;
//   - line, neutral and earth of the inlet before those of other devices;
//   - a drive terminal of a driver or controller before another drive terminal,
//     likewise for signals;
//   - in a net of none of these: any terminal of a driver or controller, then a
//     load's feed or return, then a terminal of unknown role, then a way through;
//   - the shortest reference among equals, the first in reading order among
//     those.
func (l *labels) weighTerminals(m *model.Machine) {
	rails := map[section]bool{}
	for t := range m.Terminals {
		if terminal := &m.Terminals[t]; terminal.Role == model.RoleRail {
			rails[section{terminal.Device, terminal.Section}] = true
		}
	}
	l.telling = make([]uint64, len(m.Terminals))
	var kind model.DeviceKind
	device := ""
	for t := range m.Terminals {
		terminal := &m.Terminals[t]
		if t == 0 || terminal.Device != device {
			device = terminal.Device
			row, _ := m.Device(device)
			kind = row.Kind
		}
		makes, grade := kindOtherAt, uint64(0)
		master := kind == model.KindDriver || kind == model.KindController
		switch terminal.Role {
		case model.RoleRail:
			makes = 0
			grade = unless(terminal.Volts.Known)
		case model.RoleReturn:
			if rails[section{device, terminal.Section}] {
				makes = 1
			} else {
				grade = 2
			}
		case model.RoleEarth:
			makes, grade = 2, unless(kind == model.KindMainsInlet)
		case model.RoleLine:
			makes, grade = 3, unless(kind == model.KindMainsInlet)
		case model.RoleNeutral:
			makes, grade = 4, unless(kind == model.KindMainsInlet)
		case model.RoleDrive:
			makes, grade = 5, unless(master)
		case model.RoleSignal:
			makes, grade = 6, unless(master)
		case model.RoleFeed:
			grade = 2
		case model.RolePass:
			grade = 4
		default:
			grade = 3
		}
		length := uint64(0)
		if makes >= sharedKinds {
			length = uint64(len(terminal.Device) + 1 + len(terminal.Mark))
		}
		if makes == kindOtherAt && master && grade > 1 {
			grade = 1
		}
		l.telling[t] = uint64(makes)<<tellingKind | grade<<tellingGrade | length<<tellingLen | uint64(l.rank[t])
	}
}

func unless(condition bool) uint64 {
	if condition {
		return 0
	}
	return 1
}

// netKinds in order of precedence; their places are the kinds of telling keys.
var netKinds = []NetKind{NetRail, NetReturn, NetEarth, NetLine, NetNeutral, NetDrive, NetSignal, NetOther}

const (
	kindOtherAt = 7
	// sharedKinds is where the kinds end whose nets have a bare name such as 0V;
	// nets of later kinds are named after a terminal.
	sharedKinds = 5
)

// compareNets orders nets as Nets.List holds them: by kind, rails by volts,
// then by the rank of the terminal that names them.
func (l *labels) compareNets(m *model.Machine, a, b uint64) int {
	if order := cmp.Compare(a>>tellingKind, b>>tellingKind); order != 0 {
		return order
	}
	if a>>tellingKind == 0 { // rails
		if order := cmp.Compare(a>>tellingGrade, b>>tellingGrade); order != 0 {
			return order
		}
		voltsA := m.Terminals[l.byRank[a&tellingRank]].Volts.Value
		voltsB := m.Terminals[l.byRank[b&tellingRank]].Volts.Value
		if order := cmp.Compare(voltsA, voltsB); order != 0 {
			return order
		}
	}
	if a>>tellingKind < sharedKinds { // numbered by their anchors, the inlet's first
		return cmp.Compare(a, b)
	}
	return cmp.Compare(a&tellingRank, b&tellingRank)
}
