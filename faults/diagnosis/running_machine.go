package diagnosis

import (
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Live is the running machine as hypotheses change it. It is for one goroutine
// at a time.
type Live struct {
	Circuit *graphs.Circuit
	judge   *judge.Judge
	net     *graphs.PowerNetwork
	nets    map[string]*graphs.PowerNetwork // by conditions
	states  map[string]*graphs.PowerState   // by conditions and hypotheses
	deads   map[string][]*graphs.PowerState // by conditions, see throughDead
	mains   map[int][]int                   // by supply that the mains feeds: the elements that it depends on
	loads   map[string][]int                // by device, places in Parts.Loads
	walks   *graphs.Blocks
}

// NewLive lays out the running machine. Cost: see graphs.NewPowerNetwork.
func NewLive(c *graphs.Circuit) *Live {
	l := &Live{Circuit: c, judge: judge.New(c), net: graphs.NewPowerNetwork(c, graphs.Running{}), nets: map[string]*graphs.PowerNetwork{}, states: map[string]*graphs.PowerState{}, deads: map[string][]*graphs.PowerState{}, loads: map[string][]int{}}
	for at, load := range l.net.Parts.Loads {
		l.loads[load.Device] = append(l.loads[load.Device], at)
	}
	l.findMains()
	return l
}

// findMains lists, for each supply with a line or neutral terminal, the
// elements without which it is cut off from the inlet's. Contacts in any
// position are on the way: who runs the machine has switched it on.
func (l *Live) findMains() {
	m := l.Circuit.Machine
	l.mains = map[int][]int{}
	inlets := map[model.Role][]int{}
	inputs := map[string][]int{}
	for t, terminal := range m.Terminals {
		if terminal.Role != model.RoleLine && terminal.Role != model.RoleNeutral {
			continue
		}
		if device, _ := m.Device(terminal.Device); device.Kind == model.KindMainsInlet {
			inlets[terminal.Role] = append(inlets[terminal.Role], t)
		} else {
			inputs[terminal.Device] = append(inputs[terminal.Device], t)
		}
	}
	ways := l.ways()
	for at, supply := range l.net.Parts.Supplies {
		for _, t := range inputs[supply.Device] {
			for _, inlet := range inlets[m.Terminals[t].Role] {
				if ways.Joined(t, inlet) {
					l.mains[at] = append(l.mains[at], ways.BridgesBetween(t, inlet)...)
				}
			}
		}
	}
}

// Run returns the machine under conditions and hypotheses. Cost: see
// graphs.PowerNetwork.Run; the first time under some conditions that of
// graphs.NewPowerNetwork.
func (l *Live) Run(conditions model.Conditions, set ...Hypothesis) *graphs.PowerState {
	condition := conditions.String()
	keys := make([]string, len(set))
	for i, h := range set {
		keys[i] = h.Key()
	}
	slices.Sort(keys)
	key := condition + "|" + strings.Join(keys, "|")
	if known, done := l.states[key]; done {
		return known
	}
	net, done := l.nets[condition]
	if !done {
		net = graphs.NewPowerNetworkUnder(l.Circuit, conditions)
		l.nets[condition] = net
	}
	var r graphs.Running
	for _, h := range set {
		if !l.unplugged(h, conditions) {
			h.change(l, &r)
		} else if h.Blown >= 0 {
			r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Blown, Ohms: inf})
		}
	}
	state := net.Run(r)
	if len(l.states)*len(l.Circuit.Machine.Terminals) < mostVolts {
		l.states[key] = state
	}
	return state
}

// mostVolts bounds what is kept: 64 MB.
const mostVolts = 8 << 20
