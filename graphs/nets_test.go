package graphs

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"bellout/model"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
	"pgregory.net/rapid"
)

func terminal(reference string, role model.Role) model.Terminal {
	r := ref(reference)
	return model.Terminal{Device: r.Device, Mark: r.Mark, Role: role}
}

func rail(reference string, volts float64) model.Terminal {
	row := terminal(reference, model.RoleRail)
	row.Volts = model.Known(volts)
	return row
}

func device(name string, kind model.DeviceKind) model.Device {
	return model.Device{Ref: name, Kind: kind, Health: model.HealthUnknown}
}

func wire(name, from, to string) model.Wire {
	return model.Wire{Name: name, From: ref(from), To: ref(to), Basis: model.BasisPlanned}
}

func link(reference, from, to string, kind model.LinkKind) model.Link {
	return model.Link{Device: reference, From: from, To: to, Kind: kind}
}

func TestNetsAreNamedAfterWhatMakesThem(t *testing.T) {
	for _, test := range []struct {
		name string
		rows []model.Row
		want []string // name, kind, terminals, wires of each net in order
	}{
		{name: "an empty machine has no nets"},
		{
			name: "two supplies of the same volts, and a negative one",
			rows: []model.Row{
				device("G10", model.KindSupply), rail("G10:+", 12), terminal("G10:-", model.RoleReturn),
				device("G4", model.KindSupply), rail("G4:+", 12), terminal("G4:-", model.RoleReturn), rail("G4:n", -12),
				device("G5", model.KindSupply), rail("G5:a", 12), rail("G5:b", 12), rail("G5:c", 3.3),
			},
			want: []string{
				"-12V rail [G4:n] []", "+3.3V rail [G5:c] []", "+12V rail [G4:+] []", "+12V G5 rail [G5:a] []",
				"+12V G5:b rail [G5:b] []", "+12V G10 rail [G10:+] []",
				"0V return [G4:-] []", "0V G10 return [G10:-] []",
			},
		},
		{
			name: "a crossing is one net, of the first rail in reading order",
			rows: []model.Row{
				device("G2", model.KindSupply), rail("G2:+", 36), device("G1", model.KindSupply), rail("G1:+", 12),
				terminal("G1:-", model.RoleReturn), wire("W1", "G2:+", "G1:+"),
			},
			want: []string{"+12V rail [G1:+ G2:+] [W1]", "0V return [G1:-] []"},
		},
		{
			name: "a rail of unknown volts gives its own name, and yields to one that is known",
			rows: []model.Row{
				device("G1", model.KindSupply), terminal("G1:a", model.RoleRail), terminal("G1:b", model.RoleRail), rail("G1:c", 5),
				wire("W1", "G1:a", "G1:c"),
			},
			want: []string{"+5V rail [G1:a G1:c] [W1]", "G1:b rail [G1:b] []"},
		},
		{
			name: "the return of a load alone is no return net, nor that of another section",
			rows: []model.Row{
				device("E1", model.KindLamp), terminal("E1:-", model.RoleReturn),
				device("T1", model.KindConverter), rail("T1:o+", 5),
				model.Terminal{Device: "T1", Mark: "i-", Role: model.RoleReturn, Section: "in"},
			},
			want: []string{"+5V rail [T1:o+] []", "E1:- other [E1:-] []", "T1:i- other [T1:i-] []"},
		},
		{
			name: "mains and earth bear the bare name at the inlet",
			rows: []model.Row{
				device("A1", model.KindSupply), terminal("A1:L", model.RoleLine), terminal("A1:N", model.RoleNeutral), terminal("A1:PE", model.RoleEarth),
				device("X0", model.KindMainsInlet), terminal("X0:L", model.RoleLine), terminal("X0:N", model.RoleNeutral), terminal("X0:PE", model.RoleEarth),
				wire("W2", "X0:N", "A1:N"),
			},
			want: []string{
				"PE earth [X0:PE] []", "PE A1 earth [A1:PE] []", "L line [X0:L] []", "L A1 line [A1:L] []", "N neutral [A1:N X0:N] [W2]",
			},
		},
		{
			name: "the most telling terminal names the rest",
			rows: []model.Row{
				device("J1", model.KindConnector), terminal("J1:1", model.RolePass), terminal("J1:2", model.RolePass), terminal("J1:3", model.RolePass),
				device("E1", model.KindLamp), terminal("E1:-", model.RoleReturn),
				device("K1", model.KindDriver), terminal("K1:OUT10", model.RoleDrive), terminal("K1:Q2", model.RoleDrive),
				device("B1", model.KindSensor), terminal("B1:S", model.RoleSignal),
				device("U1", model.KindController), terminal("U1:IN7", model.RoleSignal),
				wire("W1", "E1:-", "J1:1"), wire("W10", "J1:2", "K1:OUT10"), wire("W9", "K1:OUT10", "K1:Q2"), wire("W3", "B1:S", "U1:IN7"),
			},
			want: []string{
				"K1:Q2 drive [J1:2 K1:OUT10 K1:Q2] [W9 W10]", "U1:IN7 signal [B1:S U1:IN7] [W3]",
				"E1:- other [E1:- J1:1] [W1]", "J1:3 other [J1:3] []",
			},
		},
		{
			name: "metal joins: solid, intact fuse, closed contact; the rest does not",
			rows: []model.Row{
				device("S1", model.KindSwitch),
				terminal("S1:1", model.RolePass), terminal("S1:2", model.RolePass), terminal("S1:3", model.RolePass), terminal("S1:4", model.RolePass),
				terminal("S1:5", model.RolePass), terminal("S1:6", model.RolePass), terminal("S1:7", model.RolePass), terminal("S1:8", model.RolePass),
				link("S1", "1", "2", model.LinkSolid), link("S1", "2", "3", model.LinkFuse),
				model.Link{Device: "S1", From: "3", To: "4", Kind: model.LinkContact, State: model.StateClosed},
				model.Link{Device: "S1", From: "4", To: "5", Kind: model.LinkContact},
				model.Link{Device: "S1", From: "5", To: "6", Kind: model.LinkFuse, State: model.StateOpen},
				link("S1", "6", "7", model.LinkDiode),
				model.Link{Device: "S1", From: "7", To: "8", Kind: model.LinkResistance, Value: model.Known(0)},
				model.Wire{Name: "W1", From: ref("S1:7"), To: ref("S1:8"), Basis: model.BasisSeen, Removed: true},
			},
			want: []string{
				"S1:1 other [S1:1 S1:2 S1:3 S1:4] []", "S1:5 other [S1:5] []", "S1:6 other [S1:6] []", "S1:7 other [S1:7] []", "S1:8 other [S1:8] []",
			},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := NewCircuit(build(t, test.rows...), nil)
			if got := printNets(c); !slices.Equal(got, test.want) {
				t.Errorf("nets\n got %q\nwant %q", got, test.want)
			}
		})
	}
}

func printNets(c *Circuit) []string {
	var out []string
	for _, net := range c.Nets().List {
		out = append(out, fmt.Sprint(net.Name, " ", net.Kind, " ", texts(c, net.Terminals), " ", elementNames(c, net.Wires)))
	}
	return out
}

// The nets by union equal the nets that gonum finds, hold every terminal once,
// and have names of their own, in any order of the rows.
func TestNetsEqualConnectedComponents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(8, 20).Draw(t, "machine")
		conditions := drawConditions(t, m)
		c := NewCircuit(m, conditions)
		nets := c.Nets()
		names := map[string]bool{}
		for at, net := range nets.List {
			if names[net.Name] {
				t.Fatalf("two nets are called %s", net.Name)
			}
			names[net.Name] = true
			for _, terminal := range net.Terminals {
				if nets.Of[terminal] != at {
					t.Fatalf("%s stands in net %d, Of says %d", c.Ref(terminal), at, nets.Of[terminal])
				}
			}
			if !slices.IsSortedFunc(net.Terminals, func(a, b int) int { return model.CompareRefs(c.Ref(a), c.Ref(b)) }) {
				t.Fatalf("terminals of %s are not sorted: %v", net.Name, texts(c, net.Terminals))
			}
		}
		if got, want := sortedGroups(netGroups(nets)), sortedGroups(gonumNets(c)); !reflect.DeepEqual(got, want) {
			t.Fatalf("nets %v, gonum %v", got, want)
		}
		other := NewCircuit(shuffled(m, rand.New(rand.NewPCG(uint64(rapid.Int64().Draw(t, "order")), 1))), conditions)
		if got, want := printNets(other), printNets(c); !slices.Equal(got, want) {
			t.Fatalf("rows in another order give\n%q, not\n%q", got, want)
		}
	})
}

func netGroups(nets *Nets) [][]int64 {
	groups := make([][]int64, len(nets.List))
	for at, net := range nets.List {
		for _, terminal := range net.Terminals {
			groups[at] = append(groups[at], int64(terminal))
		}
	}
	return groups
}

// gonumNets is the plain way: a general graph, and gonum's components.
func gonumNets(c *Circuit) [][]int64 {
	g := simple.NewUndirectedGraph()
	for t := range c.Machine.Terminals {
		g.AddNode(simple.Node(t))
	}
	for _, e := range c.Elements {
		if e.Joins() {
			g.SetEdge(g.NewEdge(simple.Node(e.A), simple.Node(e.B)))
		}
	}
	var groups [][]int64
	for _, component := range topo.ConnectedComponents(g) {
		groups = append(groups, ids(component))
	}
	return groups
}

func ids(nodes []graph.Node) []int64 {
	out := make([]int64, len(nodes))
	for i, node := range nodes {
		out[i] = node.ID()
	}
	return out
}

func sortedGroups(groups [][]int64) [][]int64 {
	for _, group := range groups {
		slices.Sort(group)
	}
	slices.SortFunc(groups, slices.Compare)
	return groups
}

// A circuit under conditions equals one made from nothing.
func TestUnderEqualsNewCircuit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(8, 20).Draw(t, "machine")
		rest := NewCircuit(m, nil)
		before := printNets(rest)
		conditions := drawConditions(t, m)
		got, want := rest.Under(conditions), NewCircuit(m, conditions)
		equalCircuits(t, got, want)
		equalCircuits(t, rest, NewCircuit(m, nil))
		if !slices.Equal(printNets(rest), before) {
			t.Fatalf("the circuit at rest changed")
		}
	})
}

// equalCircuits compares two circuits of one machine down to the index.
func equalCircuits(t *rapid.T, got, want *Circuit) {
	if !reflect.DeepEqual(got.Elements, want.Elements) {
		t.Fatalf("elements\n got %v\nwant %v", got.Elements, want.Elements)
	}
	if !reflect.DeepEqual(got.graph, want.graph) {
		t.Fatalf("index\n got %v\nwant %v", got.graph, want.graph)
	}
	if !reflect.DeepEqual(got.Nets(), want.Nets()) {
		t.Fatalf("nets\n got %v\nwant %v", printNets(got), printNets(want))
	}
}

// Adding a wire never adds a net.
func TestAWireNeverAddsANet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(8, 20).Draw(t, "machine")
		c := NewCircuit(m, nil)
		a := rapid.SampledFrom(m.Terminals).Draw(t, "from").Ref()
		b := rapid.SampledFrom(m.Terminals).Draw(t, "to").Ref()
		clipped := c.Under(model.NewConditions(model.Condition{Kind: model.Clipped, Terminals: a.String() + " " + b.String()}))
		if len(clipped.Nets().List) > len(c.Nets().List) {
			t.Fatalf("%d nets, with %s joined to %s %d", len(c.Nets().List), a, b, len(clipped.Nets().List))
		}
	})
}

func BenchmarkNets100k(b *testing.B) {
	m := largeMachine()
	var mine, base time.Duration
	for b.Loop() {
		c := NewCircuit(m, nil)
		t0 := time.Now()
		nets := c.Nets()
		t1 := time.Now()
		want := gonumNets(c)
		mine += t1.Sub(t0)
		base += time.Since(t1)
		b.StopTimer()
		if got := sortedGroups(netGroups(nets)); !reflect.DeepEqual(got, sortedGroups(want)) {
			b.Fatalf("%d nets, gonum %d", len(got), len(want))
		}
		b.StartTimer()
	}
	b.ReportMetric(float64(mine.Microseconds())/1000/float64(b.N), "ms-nets")
	b.ReportMetric(float64(base)/float64(mine), "x-gonum")
}

func BenchmarkBuild100k(b *testing.B) {
	m := largeMachine()
	for b.Loop() {
		NewCircuit(m, nil)
	}
}
