package graphs

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"bellout/model"
	"bellout/model/sample"

	"pgregory.net/rapid"
)

// build makes a machine of rows; a row that the model refuses is a mistake in
// the test.
func build(t interface{ Fatal(...any) }, rows ...model.Row) *model.Machine {
	m := model.NewMachine()
	edit := model.Edit{What: "test machine"}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

// ref reads a reference that the test wrote.
func ref(text string) model.TerminalRef {
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		panic(err)
	}
	return r
}

// at returns the place of a terminal.
func at(t testing.TB, c *Circuit, text string) int {
	t.Helper()
	index, found := c.Machine.TerminalIndex(ref(text))
	if !found {
		t.Fatalf("no terminal %s in the test machine", text)
	}
	return index
}

// texts prints terminals.
func texts(c *Circuit, terminals []int) []string {
	out := make([]string, len(terminals))
	for i, t := range terminals {
		out[i] = c.Ref(t).String()
	}
	return out
}

// wireNames prints elements: a wire by name, a link by ID.
func elementNames(c *Circuit, elements []int) []string {
	out := make([]string, len(elements))
	for i, id := range elements {
		switch e := c.Elements[id]; e.Kind {
		case Wire:
			out[i] = c.Machine.Wires[e.Row].Name
		case Clip:
			out[i] = fmt.Sprintf("clip %s %s", c.Ref(e.A), c.Ref(e.B))
		default:
			out[i] = c.Machine.Links[e.Row].ID()
		}
	}
	return out
}

var drawnRoles = append([]model.Role{model.RolePass, model.RolePass, model.RoleUnknown}, model.Roles...)

var drawnKinds = []model.DeviceKind{
	model.KindSupply, model.KindConverter, model.KindMainsInlet, model.KindFuse, model.KindConnector,
	model.KindController, model.KindDriver, model.KindLamp, "",
}

// drawMachine draws a small machine with every kind of role, link and state,
// parallel wires, links beside wires and removed wires.
func drawMachine(maxDevices, maxWires int) *rapid.Generator[*model.Machine] {
	return drawMachineOf(maxDevices, maxWires, drawnRoles, []string{"", "", "b"})
}

// drawDriven draws a machine in which loads hang on drivers that hang on
// drivers.
func drawDriven(maxDevices, maxWires int) *rapid.Generator[*model.Machine] {
	roles := []model.Role{model.RoleReturn, model.RoleReturn, model.RoleDrive, model.RoleDrive, model.RoleFeed, model.RoleRail, model.RolePass}
	return drawMachineOf(maxDevices, maxWires, roles, []string{"", "", "", "", "", "b"})
}

// drawMachineOf fills a machine evenly from a drawn seed: rapid itself prefers
// small numbers and the first of a list, and few of its machines would have a
// way through them.
func drawMachineOf(maxDevices, maxWires int, roles []model.Role, sections []string) *rapid.Generator[*model.Machine] {
	return rapid.Custom(func(t *rapid.T) *model.Machine {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
		devices := 1 + random.IntN(maxDevices)
		wires := random.IntN(maxWires + 1)
		if !rapid.Bool().Draw(t, "sparse") {
			devices, wires = (devices+maxDevices)/2, (wires+maxWires)/2
		}
		var rows []model.Row
		var refs []model.TerminalRef
		links := map[string]bool{}
		for d := range devices {
			name := fmt.Sprintf("D%d", d+1)
			rows = append(rows, model.Device{Ref: name, Kind: pick(random, drawnKinds), Health: model.HealthUnknown})
			count := 1 + random.IntN(4)
			for mark := range count {
				terminal := model.Terminal{Device: name, Mark: fmt.Sprint(mark + 1), Role: pick(random, roles), Section: pick(random, sections)}
				if terminal.Role == model.RoleRail || terminal.Role == model.RoleFeed {
					if volts := pick(random, []float64{-12, 0, 5, 12, 99}); volts != 99 {
						terminal.Volts = model.Known(volts)
					}
				}
				rows = append(rows, terminal)
				refs = append(refs, terminal.Ref())
			}
			for range random.IntN(count + 1) {
				from, to := 1+random.IntN(count), 1+random.IntN(count)
				link := randomLink(random, name, fmt.Sprint(from), fmt.Sprint(to))
				if from != to && !links[link.ID()] {
					links[link.ID()] = true
					rows = append(rows, link)
				}
			}
		}
		for w := range wires {
			if from, to := pick(random, refs), pick(random, refs); from != to {
				rows = append(rows, model.Wire{
					Name: fmt.Sprintf("W%d", w+1), From: from, To: to, Basis: model.BasisSeen, Removed: random.IntN(6) == 0,
				})
			}
		}
		return build(t, rows...)
	})
}

func pick[T any](random *rand.Rand, list []T) T { return list[random.IntN(len(list))] }

func randomLink(random *rand.Rand, device, from, to string) model.Link {
	link := model.Link{Device: device, From: from, To: to, Kind: pick(random, model.LinkKinds)}
	switch link.Kind {
	case model.LinkFuse, model.LinkContact:
		link.State = pick(random, []model.LinkState{"", model.StateOpen, model.StateClosed})
	case model.LinkResistance:
		link.Value = model.Known(float64(1 + random.IntN(100)))
	}
	return link
}

// drawConditions draws what a reading may say of how the machine was.
func drawConditions(t *rapid.T, m *model.Machine) model.Conditions {
	var list []model.Condition
	for range rapid.IntRange(0, 4).Draw(t, "conditions") {
		kind := rapid.SampledFrom(model.ConditionKinds).Draw(t, "condition")
		switch kind {
		case model.Lifted:
			if len(m.Wires) > 0 {
				list = append(list, model.Condition{Kind: kind, Wire: rapid.SampledFrom(m.Wires).Draw(t, "wire").Name})
			}
		case model.Unplugged:
			list = append(list, model.Condition{Kind: kind, Device: rapid.SampledFrom(m.Devices).Draw(t, "device").Ref})
		case model.Clipped:
			a := rapid.SampledFrom(m.Terminals).Draw(t, "clip").Ref()
			b := rapid.SampledFrom(m.Terminals).Draw(t, "clip").Ref()
			list = append(list, model.Condition{Kind: kind, Terminals: a.String() + " " + b.String()})
		default:
			if len(m.Links) > 0 {
				link := rapid.SampledFrom(m.Links).Draw(t, "contact")
				list = append(list, model.Condition{Kind: kind, Device: link.Device, From: link.From, To: link.To})
			}
		}
	}
	return model.NewConditions(list...)
}

// largeMachine is the sound machine of 100,000 terminals that benchmarks share.
var largeMachine = sync.OnceValue(func() *model.Machine { return sample.Machine(1, 100_000) })

// shuffled returns the same machine with its rows in another order.
func shuffled(m *model.Machine, random *rand.Rand) *model.Machine {
	rows := m.Rows()
	random.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	slices.SortStableFunc(rows, func(a, b model.Row) int {
		return slices.Index(model.Tables, a.Table()) - slices.Index(model.Tables, b.Table())
	})
	other := model.NewMachine()
	edit := model.Edit{}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := other.Apply(edit); err != nil {
		panic(err)
	}
	return other
}
