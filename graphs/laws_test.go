package graphs

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs/kit"
)

// drawOhms draws a resistance as a machine has them: none, copper, a load, a
// bleeder.
func drawOhms(t *rapid.T, label string, zero bool) float64 {
	decade := rapid.IntRange(-4, 6)
	if zero {
		decade = rapid.IntRange(-6, 6)
	}
	power := decade.Draw(t, label+" decade")
	if power < -3 && zero {
		return 0
	}
	return rapid.Float64Range(1, 9.99).Draw(t, label) * math.Pow(10, float64(max(-3, power)))
}

// drawCircuit draws wires, some without resistance, some absent, and resistance
// links; sparse enough to have bridges, dense enough to have meshes.
func drawCircuit(t *rapid.T, zero bool) *Circuit {
	terminals := rapid.IntRange(2, 24).Draw(t, "terminals")
	count := rapid.IntRange(1, 2*terminals).Draw(t, "elements")
	var elements []Element
	for range count {
		a := rapid.IntRange(0, terminals-1).Draw(t, "a")
		b := rapid.IntRange(0, terminals-1).Draw(t, "b")
		if a == b {
			continue
		}
		elements = append(elements, Element{
			Kind: Wire, A: a, B: b, Row: len(elements), Ohms: drawOhms(t, "ohms", zero),
			Present: rapid.IntRange(0, 9).Draw(t, "present") > 0,
		})
	}
	return bare(terminals, elements)
}

func drawChanges(t *rapid.T, c *Circuit) []ElementChange {
	var changes []ElementChange
	for range rapid.IntRange(1, 4).Draw(t, "changes") {
		ohms := drawOhms(t, "changed to", true)
		if rapid.Bool().Draw(t, "opens") {
			ohms = math.Inf(1)
		}
		last := len(c.Machine.Terminals) - 1
		if rapid.IntRange(0, 2).Draw(t, "new") == 0 || len(c.Elements) == 0 {
			changes = append(changes, ElementChange{
				Element: -1, A: rapid.IntRange(0, last).Draw(t, "from"), B: rapid.IntRange(0, last).Draw(t, "to"), Ohms: ohms,
			})
			continue
		}
		changes = append(changes, ElementChange{Element: rapid.IntRange(0, len(c.Elements)-1).Draw(t, "element"), Ohms: ohms})
	}
	return changes
}

// changed makes the circuit with the changes from nothing.
func changed(c *Circuit, changes []ElementChange) *Circuit {
	elements := append([]Element(nil), c.Elements...)
	for _, change := range changes {
		switch {
		case change.Element >= 0:
			e := &elements[change.Element]
			e.Kind, e.Present = Wire, !math.IsInf(change.Ohms, 1)
			if e.Present {
				e.Ohms = change.Ohms
			}
		case change.A != change.B && !math.IsInf(change.Ohms, 1):
			elements = append(elements, Element{Kind: Wire, A: change.A, B: change.B, Row: -1, Ohms: change.Ohms, Present: true})
		}
	}
	other := &Circuit{Machine: c.Machine, Elements: elements, labels: &labels{}}
	other.index()
	return other
}

func sameOhms(t *rapid.T, what string, got, want, off float64) {
	t.Helper()
	if math.IsInf(got, 1) != math.IsInf(want, 1) || math.IsNaN(got) || (!math.IsInf(want, 1) && relative(got, want) > off) {
		t.Fatalf("%s: %v ohm, want %v", what, got, want)
	}
}

func TestChangesEqualACircuitMadeSo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		changes := drawChanges(t, c)
		other := changed(c, changes)
		last := len(c.Machine.Terminals) - 1
		a, b := rapid.IntRange(0, last).Draw(t, "red"), rapid.IntRange(0, last).Draw(t, "black")
		sameOhms(t, "with changes", c.OhmsIf(a, b, changes), other.Ohms(a, b), 1e-11)
	})
}

// A dense Cholesky factorisation subtracts, so it keeps fewer digits where
// milliohms meet megohms; here values span three decades.
func TestOhmsEqualADenseFactorisation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terminals := rapid.IntRange(2, 30).Draw(t, "terminals")
		var elements []Element
		ohms := rapid.Float64Range(0.1, 100)
		for x := 1; x < terminals; x++ {
			elements = append(elements, Element{Kind: Wire, A: x, B: rapid.IntRange(0, x-1).Draw(t, "to"), Ohms: ohms.Draw(t, "ohms"), Present: true})
		}
		for range rapid.IntRange(0, 3*terminals).Draw(t, "loops") {
			a, b := rapid.IntRange(0, terminals-1).Draw(t, "a"), rapid.IntRange(0, terminals-1).Draw(t, "b")
			if a != b {
				elements = append(elements, Element{Kind: Resistance, A: a, B: b, Ohms: ohms.Draw(t, "ohms"), Present: true})
			}
		}
		c := bare(terminals, elements)
		a, b := rapid.IntRange(0, terminals-1).Draw(t, "red"), rapid.IntRange(0, terminals-1).Draw(t, "black")
		if a == b {
			b = (a + 1) % terminals
		}
		sameOhms(t, "dense", c.Ohms(a, b), denseOhms(c, a, b), 1e-9)
	})
}

// Resistance is a metric (Klein and Randić 1993), and never rises when a path
// is added or improved (Rayleigh's law; Doyle and Snell 1984); both cited from
// memory.
func TestOhmsKeepTheLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, true)
		last := len(c.Machine.Terminals) - 1
		pick := rapid.IntRange(0, last)
		x, y, z := pick.Draw(t, "x"), pick.Draw(t, "y"), pick.Draw(t, "z")
		xy, yz, xz := c.Ohms(x, y), c.Ohms(y, z), c.Ohms(x, z)
		sameOhms(t, "the other way round", c.Ohms(y, x), xy, 1e-12)
		if xz > (xy+yz)*(1+1e-9) {
			t.Fatalf("triangle: %v > %v + %v", xz, xy, yz)
		}
		ohms := drawOhms(t, "new path", true)
		with := c.OhmsIf(x, y, []ElementChange{{Element: -1, A: pick.Draw(t, "from"), B: pick.Draw(t, "to"), Ohms: ohms}})
		if with > xy*(1+1e-9) {
			t.Fatalf("a new path of %v ohm raises %v to %v", ohms, xy, with)
		}
		if len(c.Elements) > 0 {
			e := rapid.IntRange(0, len(c.Elements)-1).Draw(t, "opened")
			if without := c.OhmsIf(x, y, []ElementChange{{Element: e, Ohms: math.Inf(1)}}); without < xy*(1-1e-9) {
				t.Fatalf("opening element %d lowers %v to %v", e, xy, without)
			}
		}
	})
}

// Foster 1949: over the elements of a connected network, the resistance between
// an element's ends in parts of its own adds up to the nodes less one.
func TestFostersSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t, false)
		part := kit.NewSets[int32](len(c.Machine.Terminals))
		sum, want := 0.0, 0.0
		for _, e := range c.Elements {
			if e.Present {
				sum += c.Ohms(e.A, e.B) / e.Ohms
				if part.Union(int32(e.A), int32(e.B)) {
					want++
				}
			}
		}
		if math.Abs(sum-want) > 1e-9*(1+want) {
			t.Fatalf("sum %v, want %v", sum, want)
		}
	})
}
