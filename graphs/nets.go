package graphs

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/graph/topo"

	"bellout/model"
)

// NetKind says what a net is for.
type NetKind string

// The kinds of net, the most telling first: a net is of the first kind that it
// holds a terminal for.
const (
	NetRail    NetKind = "rail"   // holds a supply's output
	NetReturn  NetKind = "return" // holds a supply's return: one in the section of a rail of its device
	NetEarth   NetKind = "earth"
	NetLine    NetKind = "line"
	NetNeutral NetKind = "neutral"
	NetDrive   NetKind = "drive"
	NetSignal  NetKind = "signal"
	NetOther   NetKind = "other"
)

// Mains says whether nets of this kind belong to the mains.
func (k NetKind) Mains() bool { return k == NetLine || k == NetNeutral }

// Separate says whether nets of this kind are one side of a separation: a rail,
// a return or earth.
func (k NetKind) Separate() bool { return k == NetRail || k == NetReturn || k == NetEarth }

// Net is a set of terminals joined by metal. A lone terminal is a net too.
type Net struct {
	Name      string // unique in its Nets: +12V, 0V, PE, else its most telling terminal
	Kind      NetKind
	Terminals []int // sorted as people read references
	Wires     []int // elements of kind Wire or Joined, present ones, sorted by name

	key uint64 // the least telling key of its terminals
}

// Nets are all nets of a circuit, sorted: rails by volts, returns, earth,
// mains, drives, signals, others, by name among equals. They do not change.
type Nets struct {
	List []Net
	Of   []int // Of[t] is the place in List of the net that holds terminal t
}

// Net returns the net that holds a terminal.
func (n *Nets) Net(terminal int) *Net { return &n.List[n.Of[terminal]] }

// Name returns the name of the net that holds a terminal.
func (n *Nets) Name(terminal int) string { return n.Net(terminal).Name }

// Kind returns the kind of the net that holds a terminal.
func (n *Nets) Kind(terminal int) NetKind { return n.Net(terminal).Kind }

// Same says whether metal joins two terminals.
func (n *Nets) Same(a, b int) bool { return n.Of[a] == n.Of[b] }

// Find returns the place in List of the net of that name. Cost: one pass.
func (n *Nets) Find(name string) (net int, found bool) {
	net = slices.IndexFunc(n.List, func(net Net) bool { return net.Name == name })
	return net, net >= 0
}

// Nets returns the circuit's nets. They are computed once.
// Cost: linear in terminals and elements, plus the sorting of nets.
func (c *Circuit) Nets() *Nets {
	c.netsOnce.Do(func() { c.nets = findNets(c) })
	return c.nets
}

// findNets takes the connected components of the metal and deals their terminals
// out in reading order, so that nothing is sorted but the nets themselves.
func findNets(c *Circuit) *Nets {
	labels := c.terminalLabels()
	count := len(c.Machine.Terminals)
	// Number the components, and find each one's size and most telling terminal.
	number := make([]int32, count)
	var keys []uint64
	var sizes []int32
	for at, component := range topo.ConnectedComponents(c.Metal()) {
		key := uint64(math.MaxUint64)
		for _, node := range component {
			number[node.ID()] = int32(at)
			key = min(key, labels.telling[node.ID()])
		}
		keys, sizes = append(keys, key), append(sizes, int32(len(component)))
	}
	order := make([]int32, len(keys))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return labels.compareNets(c.Machine, keys[a], keys[b]) })

	nets := &Nets{List: make([]Net, len(keys)), Of: make([]int, count)}
	place := make([]int32, len(keys))
	room := make([]int, count)
	for at, set := range order {
		place[set] = int32(at)
		size := int(sizes[set])
		nets.List[at] = Net{Terminals: room[:0:size], key: keys[set]}
		room = room[size:]
	}
	for t, set := range number {
		nets.Of[t] = int(place[set])
	}
	for _, t := range labels.byRank {
		net := &nets.List[nets.Of[t]]
		net.Terminals = append(net.Terminals, int(t))
	}
	c.dealWires(nets)
	c.nameNets(nets.List)
	return nets
}

// dealWires gives every net its wires, sorted by name.
func (c *Circuit) dealWires(nets *Nets) {
	wires := c.Machine.Wires
	counts := make([]int32, len(nets.List))
	total := 0
	for id := range wires {
		if e := &c.Elements[id]; e.Present {
			counts[nets.Of[e.A]]++
			total++
		}
	}
	room := make([]int, total)
	for at := range nets.List {
		size := counts[at]
		nets.List[at].Wires = room[:0:size]
		room = room[size:]
	}
	for id := range wires {
		if e := &c.Elements[id]; e.Present {
			net := &nets.List[nets.Of[e.A]]
			net.Wires = append(net.Wires, id)
		}
	}
	for at := range nets.List {
		// After a load the wires stand in this order already.
		if list := nets.List[at].Wires; !slices.IsSortedFunc(list, c.compareWires) {
			slices.SortFunc(list, c.compareWires)
		}
	}
}

func (c *Circuit) compareWires(a, b int) int {
	return model.Compare(c.Machine.Wires[a].Name, c.Machine.Wires[b].Name)
}

// nameNets fills in kind and name of sorted nets. The first of a name has it
// bare; the next has the device that makes it so behind it, as in "+12V G4", or
// the terminal where that is taken too. No two come out equal: bare names hold
// no colon, references hold no space.
func (c *Circuit) nameNets(list []Net) {
	labels := c.terminalLabels()
	group := ""
	taken := map[string]bool{}
	for at := range list {
		net := &list[at]
		net.Kind = netKinds[net.key>>tellingKind]
		anchor := c.Machine.Terminals[labels.byRank[net.key&tellingRank]]
		bare := bareName(net.Kind, anchor)
		if bare == "" {
			net.Name = anchor.Ref().String()
			continue
		}
		if bare != group {
			group = bare
			clear(taken)
		}
		net.Name = bare
		if taken[net.Name] {
			net.Name = bare + " " + anchor.Device
		}
		if taken[net.Name] {
			net.Name = bare + " " + anchor.Ref().String()
		}
		taken[net.Name] = true
	}
}

// bareName is what a net is called after its kind; empty where only a terminal
// can name it.
func bareName(kind NetKind, anchor model.Terminal) string {
	switch kind {
	case NetRail:
		if !anchor.Volts.Known {
			return ""
		}
		volts := model.FormatNumber(anchor.Volts.Value)
		if !strings.HasPrefix(volts, "-") {
			volts = "+" + volts
		}
		return volts + "V"
	case NetReturn:
		return "0V"
	case NetEarth:
		return "PE"
	case NetLine:
		return "L"
	case NetNeutral:
		return "N"
	default:
		return ""
	}
}
