package graphs

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

// lossAnew opens elements and takes away sources in a running machine that is
// worked out from nothing.
func lossAnew(c *Circuit, elements, supplies []int) (point *OperatingPoint, unknown []source) {
	var open []ElementChange
	for _, id := range elements {
		open = append(open, ElementChange{Element: id, Ohms: math.Inf(1)})
	}
	r := newRunning(c, LoadsAsResistances, open)
	gone := func(s source) bool { return slices.Contains(supplies, s.supply) }
	r.sources, r.resting = slices.DeleteFunc(r.sources, gone), slices.DeleteFunc(r.resting, gone)
	return r.settle(), r.unknownRails()
}

// drawRunning draws a machine whose loads draw and whose wires have ohms.
func drawRunning(t *rapid.T) *Circuit {
	m := drawMachineOf(9, 22, []model.Role{
		model.RoleReturn, model.RoleReturn, model.RoleFeed, model.RoleFeed, model.RoleRail, model.RoleRail, model.RolePass, model.RolePass, model.RoleDrive,
	}, []string{"", "", "", "b"}).Draw(t, "machine")
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "values"), 3))
	gauge, err := model.ParseGauge("0.5 mm2")
	if err != nil {
		t.Fatal(err)
	}
	edit := model.Edit{What: "values"}
	for _, device := range m.Devices {
		after := device
		if random.IntN(4) > 0 {
			after.LoadAmps = model.Known(pick(random, []float64{0.05, 0.3, 2}))
		}
		edit.Changes = append(edit.Changes, model.Change{Before: device, After: after})
	}
	for _, wire := range m.Wires {
		after := wire
		if random.IntN(3) > 0 {
			after.Gauge, after.LengthMetres = gauge, model.Known(pick(random, []float64{0.5, 2, 20}))
		}
		edit.Changes = append(edit.Changes, model.Change{Before: wire, After: after})
	}
	bonds := map[string]bool{}
	for range random.IntN(4) {
		bond := model.Bond{From: pick(random, m.Terminals).Ref(), To: pick(random, m.Terminals).Ref(), Reason: "drawn"}
		if bond.From != bond.To && !bonds[bond.ID()] {
			bonds[bond.ID()] = true
			edit.Changes = append(edit.Changes, model.Change{After: bond})
		}
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return NewCircuit(m, nil)
}

func TestALossEqualsTheMachineWorkedOutAnew(outer *testing.T) {
	var compared, changed, anew, diodes, resting, shifted, otherwise int
	law := func(t *rapid.T) {
		c := drawRunning(t)
		k := c.Contingencies()
		if k.shift.net != nil && len(k.r.diodes) > 0 {
			return // which way a diode between volts that nobody knows conducts is anybody's guess
		}
		lose := func(elements, supplies []int) {
			want, unknown := lossAnew(c, elements, supplies)
			if !slices.Equal(unknown, k.r.unknownRails()) {
				return // another rail is not known any more: see Lose
			}
			got := k.Lose(elements, supplies)
			if got.anew != nil {
				anew++
			}
			for i, load := range k.r.parts.Loads {
				for _, back := range load.Returns {
					before, beforeKnown := k.Whole().Between(load.Feed, back)
					volts, known := got.Between(load.Feed, back)
					right, rightKnown := want.Between(load.Feed, back)
					if k.shift.net != nil {
						shifted++
						if known != rightKnown {
							otherwise++ // one of them lies on the border of a step: see partByUnknown
							continue
						}
					}
					if known != rightKnown && len(k.r.diodes) > 0 && math.Abs(volts) < 1e-9 != (math.Abs(right) < 1e-9) {
						continue // a diode without a current: whether it joins nobody can say
					}
					if known != rightKnown || known && math.Abs(volts-right) > 2*quiet+1e-6*math.Abs(right) {
						t.Log(storyOf(c))
						t.Fatalf("without %v and supplies %v: %s sees %v V (%v), anew %v V (%v)",
							elementNames(c, elements), supplies, c.Ref(load.Feed), volts, known, right, rightKnown)
					}
					compared++
					if beforeKnown != known || known && math.Abs(before-volts) > 4*quiet {
						changed++
						if len(k.r.diodes) > 0 {
							diodes++
						}
						if len(k.r.resting) > 0 {
							resting++
						}
						if !slices.Contains(got.Touched(), i) {
							t.Fatalf("without %v: %s is not touched, it saw %v V and sees %v", elementNames(c, elements), c.Ref(load.Feed), before, volts)
						}
					}
				}
			}
		}
		var metal []int
		for id, e := range c.Elements {
			if e.Joins() {
				metal = append(metal, id)
				lose([]int{id}, nil)
			}
		}
		for at := range k.r.parts.Supplies {
			lose(nil, []int{at})
			if len(metal) > 1 {
				pair := []int{rapid.SampledFrom(metal).Draw(t, "one"), rapid.SampledFrom(metal).Draw(t, "other")}
				lose(pair, []int{at})
			}
		}
	}
	for round := 0; round == 0 || !testing.Short() && round < 4 && (diodes == 0 || shifted == 0); round++ { // a hundred draws may have none
		rapid.Check(outer, law)
	}
	outer.Logf("%d compared, %d of them changed, %d of those with diodes, %d with supplies that rest; %d losses worked out anew", compared, changed, diodes, resting, anew)
	outer.Logf("%d beside rails of unknown volts, %d of those known or not otherwise than anew", shifted, otherwise)
	if !testing.Short() && (changed == 0 || diodes == 0 || shifted == 0) {
		outer.Error("nothing changed: nothing was tested")
	}
	if 100*otherwise > shifted {
		outer.Errorf("%d of %d are known or not otherwise than anew", otherwise, shifted)
	}
}

func storyOf(c *Circuit) (text string) {
	m := c.Machine
	for _, d := range m.Devices {
		text += "\n" + d.Ref + " load " + d.LoadAmps.String() + ":"
		for _, x := range m.Terminals {
			if x.Device == d.Ref {
				text += " " + x.Mark + " " + string(x.Role) + " " + x.Volts.String() + x.Section + ","
			}
		}
	}
	for _, l := range m.Links {
		text += "\n" + l.ID() + " " + l.Value.String() + " " + string(l.State)
	}
	for _, w := range m.Wires {
		if !w.Removed {
			text += "\n" + w.Name + " " + w.From.String() + " " + w.To.String() + " " + w.LengthMetres.String()
		}
	}
	return text
}
