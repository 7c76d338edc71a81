package graphs

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// readTable reads a CSV of published values: a map by column a row.
func readTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(strings.TrimPrefix(text, "+"), 64)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// resistors makes a circuit of resistors only.
func resistors(nodes int, list ...conductor) *Circuit {
	elements := make([]Element, len(list))
	for i, r := range list {
		elements[i] = Element{Kind: Resistance, A: int(r.a), B: int(r.b), Row: i, Ohms: 1 / r.siemens, Present: true}
	}
	return bare(nodes, elements)
}

func unit(a, b int) conductor { return conductor{int32(a), int32(b), 1} }

// gridCircuit is a square grid of n by n nodes; node (x, y) is x + n*y.
func gridCircuit(n int) *Circuit {
	var list []conductor
	for y := range n {
		for x := range n {
			if x+1 < n {
				list = append(list, unit(x+n*y, x+1+n*y))
			}
			if y+1 < n {
				list = append(list, unit(x+n*y, x+n*y+n))
			}
		}
	}
	return resistors(n*n, list...)
}

// readNetwork reads "a-b:ohm;a-c:ohm".
func readNetwork(t testing.TB, text string) (*Circuit, map[string]int) {
	t.Helper()
	names := map[string]int{}
	node := func(name string) int {
		if _, seen := names[name]; !seen {
			names[name] = len(names)
		}
		return names[name]
	}
	var list []conductor
	for _, part := range strings.Split(text, ";") {
		ends, ohms, _ := strings.Cut(part, ":")
		from, to, _ := strings.Cut(ends, "-")
		list = append(list, conductor{int32(node(from)), int32(node(to)), 1 / number(t, ohms)})
	}
	return resistors(len(names), list...), names
}

func relative(got, want float64) float64 {
	if got == want {
		return 0
	}
	return math.Abs(got-want) / math.Abs(want)
}

// Every row of worked_circuits.csv: the source stands in the row. The infinite
// lattice is judged on a finite grid, by the offset that the row of the grid
// states.
func TestWorkedCircuits(t *testing.T) {
	grid := gridCircuit(41)
	offsets := map[string]float64{"lattice_1_0": 0.0007, "lattice_1_1": 0.00104, "lattice_2_1": 0.00213, "lattice_2_2": 0.0032}
	for _, row := range readTable(t, "worked_circuits.csv") {
		t.Run(row["id"], func(t *testing.T) {
			c, a, b := grid, 20+41*20, 0
			if strings.Contains(row["network"], "lattice") || strings.Contains(row["network"], "grid") {
				var x, y int
				if _, err := fmt.Sscanf(row["to"], "(%d,%d)", &x, &y); err != nil {
					t.Fatal(err)
				}
				if strings.HasPrefix(row["id"], "lattice") {
					x, y = x+20, y+20
				}
				b = x + 41*y
			} else {
				var names map[string]int
				c, names = readNetwork(t, row["network"])
				a, b = names[row["from"]], names[row["to"]]
			}
			got := c.Ohms(a, b)
			limit := 0.003
			if offset, infinite := offsets[row["id"]]; infinite {
				limit = offset
			}
			if off := relative(got, number(t, row["expected_ohm"])); off > limit {
				t.Errorf("%v ohm, expected %s, off by %v: %s", got, row["expected_ohm"], off, row["source"])
			}
			if row["computed_ohm"] != "" {
				if off := relative(got, number(t, row["computed_ohm"])); off > 1e-6 {
					t.Errorf("%v ohm, computed %s, off by %v", got, row["computed_ohm"], off)
				}
			}
		})
	}
}

// Unit resistors. Exact fractions derived and re-computed exactly, grids from
// 32 on by elimination and by conjugate gradients to 1e-13; the infinite ladder
// is the root of R = 2 + R/(1+R).
func TestNetworksWithKnownResistance(t *testing.T) {
	cycle := func(n int) *Circuit {
		var list []conductor
		for x := range n {
			list = append(list, unit(x, (x+1)%n))
		}
		return resistors(n, list...)
	}
	complete := func(n int) *Circuit {
		var list []conductor
		for x := range n {
			for y := range x {
				list = append(list, unit(x, y))
			}
		}
		return resistors(n, list...)
	}
	cube := func() *Circuit {
		var list []conductor
		for x := range 8 {
			for bit := 1; bit < 8; bit *= 2 {
				if x&bit == 0 {
					list = append(list, unit(x, x|bit))
				}
			}
		}
		return resistors(8, list...)
	}
	var across, octahedron, petersen []conductor
	for x := range 3 {
		for y := range 3 {
			across = append(across, unit(x, 3+y))
		}
	}
	for x := range 6 {
		for y := range x {
			if x != y+3 {
				octahedron = append(octahedron, unit(x, y))
			}
		}
	}
	for x := range 5 {
		petersen = append(petersen, unit(x, (x+1)%5), unit(x, x+5), unit(x+5, (x+2)%5+5))
	}
	ladder := func(sections int) *Circuit { // nodes 2k on top, 2k+1 below; the far end is closed by the last rung
		var list []conductor
		for k := range sections {
			list = append(list, unit(2*k, 2*k+2), unit(2*k+1, 2*k+3), unit(2*k+2, 2*k+3))
		}
		return resistors(2*sections+2, list...)
	}
	rows := []struct {
		name string
		c    *Circuit
		a, b int
		want float64
		off  float64
	}{
		{"ring of 10, distance 1", cycle(10), 0, 1, 9.0 / 10, 1e-14},
		{"ring of 10, distance 2", cycle(10), 3, 5, 8.0 / 5, 1e-14},
		{"ring of 10, distance 3", cycle(10), 9, 2, 21.0 / 10, 1e-14},
		{"ring of 10, distance 4", cycle(10), 0, 4, 12.0 / 5, 1e-14},
		{"ring of 10, distance 5", cycle(10), 0, 5, 5.0 / 2, 1e-14},
		{"all of 5 joined", complete(5), 0, 3, 2.0 / 5, 1e-14},
		{"all of 60 joined", complete(60), 7, 51, 2.0 / 60, 1e-14},
		{"all of 200 joined", complete(200), 7, 151, 2.0 / 200, 1e-13},
		{"three to three, across", resistors(6, across...), 0, 4, 5.0 / 9, 1e-14},
		{"three to three, same side", resistors(6, across...), 0, 2, 2.0 / 3, 1e-14},
		{"cube, edge", cube(), 0, 1, 7.0 / 12, 1e-14},
		{"cube, face", cube(), 0, 3, 3.0 / 4, 1e-14},
		{"cube, body", cube(), 0, 7, 5.0 / 6, 1e-14},
		{"octahedron, edge", resistors(6, octahedron...), 0, 1, 5.0 / 12, 1e-14},
		{"octahedron, far", resistors(6, octahedron...), 0, 3, 1.0 / 2, 1e-14},
		{"Petersen, near", resistors(10, petersen...), 0, 1, 3.0 / 5, 1e-14},
		{"Petersen, far", resistors(10, petersen...), 0, 2, 4.0 / 5, 1e-14},
		{"grid 2", gridCircuit(2), 0, 3, 1, 1e-14},
		{"grid 3", gridCircuit(3), 0, 8, 3.0 / 2, 1e-14},
		{"grid 4", gridCircuit(4), 0, 15, 13.0 / 7, 1e-14},
		{"grid 5", gridCircuit(5), 0, 24, 47.0 / 22, 1e-14},
		{"grid 6", gridCircuit(6), 0, 35, 1171.0 / 495, 1e-14},
		{"grid 32", gridCircuit(32), 0, 32*32 - 1, 4.490290222, 1e-9},
		{"grid 100", gridCircuit(100), 0, 100*100 - 1, 5.940830287, 1e-9},
		{"ladder of 1", ladder(1), 0, 1, 3, 1e-14},
		{"ladder of 2", ladder(2), 0, 1, 11.0 / 4, 1e-14},
		{"ladder of 3", ladder(3), 0, 1, 41.0 / 15, 1e-14},
		{"ladder of 4", ladder(4), 0, 1, 153.0 / 56, 1e-14},
		{"ladder of 5", ladder(5), 0, 1, 571.0 / 209, 1e-14},
		{"ladder of 6", ladder(6), 0, 1, 2131.0 / 780, 1e-14},
		{"ladder of 5000", ladder(5000), 0, 1, 1 + math.Sqrt(3), 1e-14},
	}
	if !testing.Short() {
		rows = append(rows, struct {
			name string
			c    *Circuit
			a, b int
			want float64
			off  float64
		}{"grid 316", gridCircuit(316), 0, 316*316 - 1, 7.405760154, 1e-9})
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			if got := row.c.Ohms(row.a, row.b); relative(got, row.want) > row.off {
				t.Errorf("%.12g ohm, want %.12g", got, row.want)
			}
		})
	}
}
