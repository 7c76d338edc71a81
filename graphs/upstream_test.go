package graphs

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

func printPaths(c *Circuit, paths []Path) []string {
	out := []string{}
	for _, path := range paths {
		out = append(out, fmt.Sprint(path.Kind, " ", strings.Join(texts(c, path.Terminal), " "), " / ",
			strings.Join(elementNames(c, path.Elements), " "), " / ", path.Source))
	}
	return out
}

func contact(reference, from, to string, state model.LinkState) model.Link {
	return model.Link{Device: reference, From: from, To: to, Kind: model.LinkContact, State: state}
}

func fuse(reference, from, to string, state model.LinkState) model.Link {
	return model.Link{Device: reference, From: from, To: to, Kind: model.LinkFuse, State: state}
}

func feed(reference string, volts float64) model.Terminal {
	row := terminal(reference, model.RoleFeed)
	row.Volts = model.Known(volts)
	return row
}

// supplyRows are a supply of 12 V at the mains.
func supplyRows() []model.Row {
	return []model.Row{
		device("G1", model.KindSupply), rail("G1:+", 12), terminal("G1:-", model.RoleReturn),
		terminal("G1:L", model.RoleLine), terminal("G1:N", model.RoleNeutral), terminal("G1:PE", model.RoleEarth),
		device("X0", model.KindMainsInlet), terminal("X0:L", model.RoleLine), terminal("X0:N", model.RoleNeutral), terminal("X0:PE", model.RoleEarth),
		device("F0", model.KindFuse), terminal("F0:1", model.RolePass), terminal("F0:2", model.RolePass), fuse("F0", "1", "2", ""),
		wire("WL1", "X0:L", "F0:1"), wire("WL2", "F0:2", "G1:L"), wire("WN", "X0:N", "G1:N"), wire("WPE", "X0:PE", "G1:PE"),
	}
}

// mainsOfG1 is what every device on that supply has besides.
var mainsOfG1 = []string{
	"mains G1:N X0:N / WN / X0",
	"mains G1:L F0:2 F0:1 X0:L / WL2 F0:1:2:fuse WL1 / X0",
}

func TestTraceListsEveryPath(t *testing.T) {
	for _, test := range []struct {
		name   string
		device string
		rows   []model.Row
		want   []string
	}{
		{
			name: "a device behind a plug and a fuse", device: "A1",
			rows: append(supplyRows(),
				device("A1", model.KindAmplifier), feed("A1:+", 12), terminal("A1:-", model.RoleReturn), terminal("A1:PE", model.RoleEarth),
				device("J2", model.KindConnector), terminal("J2:1", model.RolePass), terminal("J2:2", model.RolePass),
				device("F3", model.KindFuse), terminal("F3:1", model.RolePass), terminal("F3:2", model.RolePass), fuse("F3", "1", "2", ""),
				wire("W9", "A1:+", "J2:1"), wire("W10", "J2:1", "F3:2"), wire("W11", "F3:1", "G1:+"),
				wire("W12", "A1:-", "J2:2"), wire("W13", "J2:2", "G1:-"), wire("W14", "A1:PE", "X0:PE"),
			),
			want: append([]string{
				"feed A1:+ J2:1 F3:2 F3:1 G1:+ / W9 W10 F3:1:2:fuse W11 / G1",
				"return A1:- J2:2 G1:- / W12 W13 / G1",
				"earth A1:PE X0:PE / W14 / X0",
				// the way over the supply's earth is none: it ends at the inlet
			}, mainsOfG1...),
		},
		{
			name: "parallel wires are two paths; a removed one is none", device: "A1",
			rows: append(supplyRows(),
				device("A1", model.KindLamp), feed("A1:+", 12), wire("W2", "A1:+", "G1:+"), wire("W1", "G1:+", "A1:+"),
				model.Wire{Name: "W3", From: ref("A1:+"), To: ref("G1:+"), Basis: model.BasisSeen, Removed: true},
			),
			want: append([]string{"feed A1:+ G1:+ / W1 / G1", "feed A1:+ G1:+ / W2 / G1"}, mainsOfG1...),
		},
		{
			name: "blown fuses and open contacts are passed, loads and diodes are not", device: "A1",
			rows: append(supplyRows(),
				device("A1", model.KindLamp), feed("A1:+", 12), terminal("A1:-", model.RoleReturn),
				device("F1", model.KindFuse), terminal("F1:1", model.RolePass), terminal("F1:2", model.RolePass), fuse("F1", "1", "2", model.StateOpen),
				device("S1", model.KindSwitch), terminal("S1:1", model.RolePass), terminal("S1:2", model.RolePass), terminal("S1:3", model.RolePass),
				contact("S1", "1", "2", model.StateOpen), contact("S1", "1", "3", ""), link("S1", "2", "3", model.LinkDiode),
				device("E1", model.KindLamp), feed("E1:+", 12), terminal("E1:-", model.RoleReturn),
				model.Link{Device: "E1", From: "+", To: "-", Kind: model.LinkResistance, Value: model.Known(5)},
				wire("W1", "A1:+", "S1:1"), wire("W2", "S1:2", "F1:1"), wire("W3", "F1:2", "G1:+"), wire("W4", "S1:3", "G1:+"),
				wire("W5", "A1:-", "E1:+"), wire("W6", "E1:-", "G1:-"),
			),
			want: append([]string{
				"feed A1:+ S1:1 S1:3 G1:+ / W1 S1:1:3:contact W4 / G1",
				"feed A1:+ S1:1 S1:2 F1:1 F1:2 G1:+ / W1 S1:1:2:contact W2 F1:1:2:fuse W3 / G1",
			}, mainsOfG1...),
		},
		{
			name: "a load on a driver's output goes on at the driver's return, or at its feed", device: "Y1",
			rows: append(supplyRows(),
				device("Y1", model.KindSolenoid), feed("Y1:1", 12), terminal("Y1:2", model.RoleReturn),
				device("K1", model.KindDriver), terminal("K1:Q1", model.RoleDrive), terminal("K1:GND", model.RoleReturn), feed("K1:V", 12),
				link("K1", "Q1", "GND", model.LinkElectronic), link("K1", "Q1", "GND", model.LinkDiode),
				device("K2", model.KindDriver), terminal("K2:Q1", model.RoleDrive), feed("K2:V", 12),
				wire("W1", "Y1:2", "K1:Q1"), wire("W2", "K1:GND", "G1:-"), wire("W3", "K1:V", "G1:+"),
				wire("W4", "Y1:1", "K2:Q1"), wire("W5", "K2:V", "G1:+"),
			),
			want: append([]string{
				"feed Y1:1 K2:Q1 K2:V G1:+ / W4 W5 / G1",
				"return Y1:2 K1:Q1 K1:GND G1:- / W1 K1:GND:Q1:electronic W2 / G1",
			}, mainsOfG1...),
		},
		{
			name: "the source of a source belongs to it, and the mains of both", device: "U1",
			rows: append(supplyRows(),
				device("U1", model.KindController), feed("U1:VCC", 5), terminal("U1:GND", model.RoleReturn), terminal("U1:IN", model.RoleSignal),
				device("T1", model.KindConverter), feed("T1:i+", 12), terminal("T1:-", model.RoleReturn), rail("T1:o+", 5),
				device("B1", model.KindSensor), terminal("B1:S", model.RoleSignal),
				wire("W1", "U1:VCC", "T1:o+"), wire("W2", "U1:GND", "T1:-"), wire("W3", "T1:i+", "G1:+"), wire("W4", "T1:-", "G1:-"), wire("W5", "U1:IN", "B1:S"),
			),
			want: append(append([]string{
				"feed U1:VCC T1:o+ / W1 / T1",
				"feed T1:i+ G1:+ / W3 / G1",
				"return U1:GND T1:- / W2 / T1",
				"return T1:- G1:- / W4 / G1",
			}, mainsOfG1...), "signal U1:IN B1:S / W5 / B1"),
		},
		{
			name: "a ring is two ways round", device: "A1",
			rows: append(supplyRows(),
				device("A1", model.KindLamp), feed("A1:+", 12),
				device("T9", model.KindTerminalBlock), terminal("T9:1", model.RolePass), terminal("T9:2", model.RolePass), terminal("T9:3", model.RolePass),
				wire("W1", "A1:+", "T9:1"), wire("W2", "T9:1", "T9:2"), wire("W3", "T9:2", "T9:3"), wire("W4", "T9:3", "T9:1"), wire("W5", "T9:3", "G1:+"),
			),
			want: append([]string{
				"feed A1:+ T9:1 T9:3 G1:+ / W1 W4 W5 / G1",
				"feed A1:+ T9:1 T9:2 T9:3 G1:+ / W1 W2 W3 W5 / G1",
			}, mainsOfG1...),
		},
		{
			name: "the supply itself has its mains and its earth", device: "G1",
			rows: supplyRows(),
			want: append([]string{"earth G1:PE X0:PE / WPE / X0"}, mainsOfG1...),
		},
		{name: "nothing lies before the inlet", device: "X0", rows: supplyRows(), want: []string{}},
		{name: "a device that is not there has no paths", device: "Z9", rows: supplyRows(), want: []string{}},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := NewCircuit(build(t, test.rows...), nil)
			paths, omitted := c.Upstream(test.device, PathLimit)
			if got := printPaths(c, paths); !slices.Equal(got, test.want) || omitted != 0 {
				t.Errorf("omitted %d, paths\n got %s\nwant %s", omitted, strings.Join(got, "\n     "), strings.Join(test.want, "\n     "))
			}
		})
	}
}

// Beyond the limit the count is honest, and every kind keeps its share.
func TestTraceCountsWhatItLeavesOut(t *testing.T) {
	rows := append(supplyRows(), device("A1", model.KindLamp), feed("A1:+", 12), terminal("A1:-", model.RoleReturn), wire("R", "A1:-", "G1:-"),
		device("T1", model.KindTerminalBlock))
	const k = 20
	last := "A1:+"
	for i := range k { // diamonds in series: 2^k ways
		for _, mark := range "abcd" {
			rows = append(rows, terminal(fmt.Sprintf("T1:%d%c", i, mark), model.RolePass))
		}
		at := func(mark string) string { return fmt.Sprintf("T1:%d%s", i, mark) }
		rows = append(rows, wire(fmt.Sprintf("I%d", i), last, at("a")),
			wire(fmt.Sprintf("A%d", i), at("a"), at("b")), wire(fmt.Sprintf("B%d", i), at("a"), at("c")),
			wire(fmt.Sprintf("C%d", i), at("b"), at("d")), wire(fmt.Sprintf("D%d", i), at("c"), at("d")))
		last = at("d")
	}
	rows = append(rows, wire("O", last, "G1:+"))
	c := NewCircuit(build(t, rows...), nil)
	for _, limit := range []int{2, 7, 1000} { // a diamond's two ways fit each
		tracing := c.Trace("A1", limit)
		if len(tracing.Paths) != limit || tracing.AtLeast || tracing.Omitted != 1<<k+3-limit {
			t.Errorf("limit %d: %d paths, %d omitted, at least %v; want %d omitted",
				limit, len(tracing.Paths), tracing.Omitted, tracing.AtLeast, 1<<k+3-limit)
		}
	}
	kinds := map[PathKind]int{}
	for _, path := range c.Trace("A1", 7).Paths {
		kinds[path.Kind]++
	}
	if kinds[PathFeed] != 4 || kinds[PathReturn] != 1 || kinds[PathMains] != 2 {
		t.Errorf("of seven paths %v; want 4 feeds, the return and both mains", kinds)
	}
}

// plainTrace finds the device's paths one by one, by what Trace promises.
func plainTrace(c *Circuit, device string) []string {
	m := c.Machine
	supplyReturn := func(t int) bool {
		for _, other := range m.Terminals {
			if other.Role == model.RoleRail && other.Device == m.Terminals[t].Device && other.Section == m.Terminals[t].Section {
				return m.Terminals[t].Role == model.RoleReturn
			}
		}
		return false
	}
	inlet := func(t int) bool {
		row, _ := m.Device(m.Terminals[t].Device)
		return row.Kind == model.KindMainsInlet
	}
	var out []string
	var sources []string
	queue := []string{device}
	seen := map[string]bool{device: true}
	for len(queue) > 0 {
		from := queue[0]
		queue = queue[1:]
		feeders := map[string][]string{} // by section with a feed: the supplies that feed it
		var starts []int                 // the feeds first: which supply a return belongs to hangs on them
		for start, terminal := range m.Terminals {
			if terminal.Device == from && terminal.Role == model.RoleFeed {
				feeders[terminal.Section] = []string{}
				starts = append(starts, start)
			}
		}
		for start, terminal := range m.Terminals {
			if terminal.Device == from && terminal.Role != model.RoleFeed {
				starts = append(starts, start)
			}
		}
		for _, start := range starts {
			terminal := m.Terminals[start]
			var kind PathKind
			var hopRole model.Role
			var target func(t int) bool
			switch terminal.Role {
			case model.RoleFeed:
				kind, hopRole = PathFeed, model.RoleFeed
				target = func(t int) bool { return m.Terminals[t].Role == model.RoleRail }
			case model.RoleReturn:
				suppliers, fed := feeders[terminal.Section]
				if supplyReturn(start) && !fed {
					continue
				}
				kind, hopRole = PathReturn, model.RoleReturn
				target = func(t int) bool {
					return supplyReturn(t) && (len(suppliers) == 0 || slices.Contains(suppliers, m.Terminals[t].Device))
				}
			case model.RoleLine, model.RoleNeutral:
				kind = PathMains
				target = func(t int) bool { return m.Terminals[t].Role == terminal.Role && inlet(t) }
			case model.RoleEarth:
				kind = PathEarth
				target = func(t int) bool { return m.Terminals[t].Role == model.RoleEarth && inlet(t) }
			case model.RoleSignal, model.RoleDrive:
				kind = PathSignal
				target = func(t int) bool {
					return m.Terminals[t].Role == model.RoleSignal || m.Terminals[t].Role == model.RoleDrive
				}
			default:
				continue
			}
			if (kind == PathEarth || kind == PathSignal) && from != device || (kind == PathEarth || kind == PathMains) && inlet(start) {
				continue
			}
			visited := map[int]bool{start: true}
			var terminals, elements []int
			terminals = []int{start}
			var walk func(v int, byHop bool)
			walk = func(v int, byHop bool) {
				if v != start && target(v) && m.Terminals[v].Device != from {
					path := Path{Kind: kind, Terminal: terminals, Elements: elements, Source: m.Terminals[v].Device}
					out = append(out, printPaths(c, []Path{path})[0])
					if kind == PathFeed || kind == PathReturn {
						sources = append(sources, path.Source)
					}
					if kind == PathFeed {
						feeders[terminal.Section] = append(feeders[terminal.Section], path.Source)
					}
					return
				}
				for id, e := range c.Elements {
					if !e.Walks() || (e.A != v && e.B != v) || visited[e.A+e.B-v] {
						continue
					}
					far := e.A + e.B - v
					visited[far] = true
					terminals, elements = append(terminals, far), append(elements, id)
					walk(far, false)
					terminals, elements = terminals[:len(terminals)-1], elements[:len(elements)-1]
					visited[far] = false
				}
				if hopRole == "" || v == start || m.Terminals[v].Role != model.RoleDrive {
					return
				}
				for far, beyond := range m.Terminals {
					if visited[far] || beyond.Role != hopRole || beyond.Device != m.Terminals[v].Device || beyond.Section != m.Terminals[v].Section {
						continue
					}
					stage, linked := -1, false
					for id, e := range c.Elements {
						if (e.A == v && e.B == far) || (e.A == far && e.B == v) {
							linked = linked || e.Walks()
							if e.Present && (stage < 0 || c.compareStages(id, stage) < 0) {
								stage = id
							}
						}
					}
					if linked {
						continue
					}
					visited[far] = true
					before := len(elements)
					terminals = append(terminals, far)
					if stage >= 0 {
						elements = append(elements, stage)
					}
					walk(far, true)
					terminals, elements = terminals[:len(terminals)-1], elements[:before]
					visited[far] = false
				}
			}
			before := len(out)
			walk(start, false)
			if kind == PathReturn && len(out) == before { // none leads to a supply that feeds it: to any
				target = supplyReturn
				walk(start, false)
			}
		}
		slices.SortFunc(sources, model.Compare)
		if len(queue) == 0 {
			for _, source := range sources {
				if !seen[source] {
					seen[source] = true
					queue = append(queue, source)
				}
			}
			sources = nil
		}
	}
	return out
}

// Trace lists what a plain search finds, each path once, simple and along
// elements of the circuit, in an order that does not depend on that of the
// rows; and what is left out is counted.
func TestTraceEqualsAPlainSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for range 5 { // ways over drivers that lead back are rare
			m := rapid.OneOf(drawMachine(5, 14), drawDriven(4, 12)).Draw(t, "machine")
			c := NewCircuit(m, nil)
			for _, row := range m.Devices {
				checkTrace(t, c, row.Ref)
			}
		}
	})
}

func checkTrace(t *rapid.T, c *Circuit, device string) {
	want := plainTrace(c, device)
	if len(want) > 3000 {
		return // too many to compare
	}
	all := c.Trace(device, 3000)
	got := printPaths(c, all.Paths)
	if all.Omitted != 0 || all.AtLeast {
		t.Fatalf("%d of %d paths listed, %d omitted, at least %v", len(got), len(want), all.Omitted, all.AtLeast)
	}
	other := NewCircuit(shuffled(c.Machine, rand.New(rand.NewPCG(uint64(rapid.Int64().Draw(t, "order")), 1))), nil)
	if again := printPaths(other, other.Trace(device, 3000).Paths); !slices.Equal(again, got) {
		t.Fatalf("rows in another order give\n%s\nnot\n%s", strings.Join(again, "\n"), strings.Join(got, "\n"))
	}
	for i, path := range all.Paths {
		if i > 0 && path.Kind == all.Paths[i-1].Kind && path.depth == all.Paths[i-1].depth && len(path.Terminal) < len(all.Paths[i-1].Terminal) {
			t.Fatalf("not the shortest first: %v", got)
		}
		if len(setOf(path.Terminal)) != len(path.Terminal) {
			t.Fatalf("a terminal twice: %s", got[i])
		}
	}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Fatalf("paths of %s\n got %s\nwant %s", device, strings.Join(got, "\n     "), strings.Join(want, "\n     "))
	}
	limit := rapid.IntRange(0, 5).Draw(t, "limit")
	few := c.Trace(device, limit)
	total := len(few.Paths) + few.Omitted
	if len(few.Paths) != min(limit, len(want)) || total > len(want) || (!few.AtLeast && total != len(want)) {
		t.Fatalf("limit %d: %d listed, %d omitted, at least %v; there are %d", limit, len(few.Paths), few.Omitted, few.AtLeast, len(want))
	}
	for _, line := range printPaths(c, few.Paths) {
		if !slices.Contains(want, line) {
			t.Fatalf("not a path: %s", line)
		}
	}
}
