package graphs

// NetKind says what a net is for.
type NetKind string

// The kinds of net, the most telling first: a net is of the first kind that it
// holds a terminal for.
const (
	NetRail    NetKind = "rail"   // holds a supply's output
	NetReturn  NetKind = "return" // holds a supply's return
	NetEarth   NetKind = "earth"
	NetLine    NetKind = "line"
	NetNeutral NetKind = "neutral"
	NetDrive   NetKind = "drive"
	NetSignal  NetKind = "signal"
	NetOther   NetKind = "other"
)

// Net is a set of terminals joined by metal. A lone terminal is a net too.
type Net struct {
	Name      string // unique in its Nets: +12V, 0V, PE, else its most telling terminal
	Kind      NetKind
	Terminals []int // sorted as people read references
	Wires     []int // elements of kind Wire, present ones, sorted by name
}

// Nets are all nets of a circuit, sorted: rails by volts, returns, earth,
// mains, drives, signals, others, by name among equals.
type Nets struct {
	List []Net
	Of   []int // Of[t] is the place in List of the net that holds terminal t
}

// Nets returns the circuit's nets. They are computed once.
func (c *Circuit) Nets() *Nets {
	if c.nets == nil {
		c.nets = findNets(c)
	}
	return c.nets
}

// findNets is a first, plain way.
func findNets(c *Circuit) *Nets {
	count := len(c.Machine.Terminals)
	nets := &Nets{Of: make([]int, count)}
	for t := range nets.Of {
		nets.Of[t] = -1
	}
	for t := range count {
		if nets.Of[t] >= 0 {
			continue
		}
		at := len(nets.List)
		net := Net{Name: c.Ref(t).String(), Kind: NetOther}
		stack := []int{t}
		nets.Of[t] = at
		for len(stack) > 0 {
			u := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			net.Terminals = append(net.Terminals, u)
			for _, id := range c.Incident(u) {
				e := c.Elements[id]
				if !e.Joins() {
					continue
				}
				if e.Kind == Wire && e.A == u {
					net.Wires = append(net.Wires, int(id))
				}
				if far := c.Far(int(id), u); nets.Of[far] < 0 {
					nets.Of[far] = at
					stack = append(stack, far)
				}
			}
		}
		nets.List = append(nets.List, net)
	}
	return nets
}
