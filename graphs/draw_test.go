package graphs

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/model"

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
	return rapid.Custom(func(t *rapid.T) *model.Machine {
		var rows []model.Row
		var refs []model.TerminalRef
		links := map[string]bool{}
		for d := range rapid.IntRange(1, maxDevices).Draw(t, "devices") {
			name := fmt.Sprintf("D%d", d+1)
			rows = append(rows, model.Device{
				Ref: name, Kind: rapid.SampledFrom(drawnKinds).Draw(t, "kind"), Health: model.HealthUnknown,
			})
			count := rapid.IntRange(1, 4).Draw(t, "terminals")
			for mark := range count {
				terminal := drawTerminal(t, name, fmt.Sprint(mark+1))
				rows = append(rows, terminal)
				refs = append(refs, terminal.Ref())
			}
			for range rapid.IntRange(0, count).Draw(t, "links") {
				from := rapid.IntRange(1, count).Draw(t, "from")
				to := rapid.IntRange(1, count).Draw(t, "to")
				link := drawLink(t, name, fmt.Sprint(from), fmt.Sprint(to))
				if from != to && !links[link.ID()] {
					links[link.ID()] = true
					rows = append(rows, link)
				}
			}
		}
		for w := range rapid.IntRange(0, maxWires).Draw(t, "wires") {
			from := rapid.SampledFrom(refs).Draw(t, "from")
			to := rapid.SampledFrom(refs).Draw(t, "to")
			if from != to {
				rows = append(rows, model.Wire{
					Name: fmt.Sprintf("W%d", w+1), From: from, To: to, Basis: model.BasisSeen,
					Removed: rapid.IntRange(0, 5).Draw(t, "removed") == 0,
				})
			}
		}
		return build(t, rows...)
	})
}

func drawTerminal(t *rapid.T, device, mark string) model.Terminal {
	terminal := model.Terminal{Device: device, Mark: mark, Role: rapid.SampledFrom(drawnRoles).Draw(t, "role")}
	if terminal.Role == model.RoleRail || terminal.Role == model.RoleFeed {
		if volts := rapid.SampledFrom([]float64{-12, 0, 5, 12, 99}).Draw(t, "volts"); volts != 99 {
			terminal.Volts = model.Known(volts)
		}
	}
	terminal.Section = rapid.SampledFrom([]string{"", "", "b"}).Draw(t, "section")
	return terminal
}

func drawLink(t *rapid.T, device, from, to string) model.Link {
	link := model.Link{Device: device, From: from, To: to, Kind: rapid.SampledFrom(model.LinkKinds).Draw(t, "link")}
	switch link.Kind {
	case model.LinkFuse, model.LinkContact:
		link.State = rapid.SampledFrom([]model.LinkState{"", model.StateOpen, model.StateClosed}).Draw(t, "state")
	case model.LinkResistance:
		link.Value = model.Known(float64(rapid.IntRange(1, 100).Draw(t, "ohms")))
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

// largeMachine is a seeded machine of so many devices with 50 terminals each:
// chains of wires and pins that end in buses, fuses and closed contacts, a
// supply in every hundred devices.
func largeMachine(devices int) *model.Machine {
	random := rand.New(rand.NewPCG(1, 2))
	var rows []model.Row
	var refs []model.TerminalRef
	for d := range devices {
		name := fmt.Sprintf("D%d", d+1)
		kind := drawnKinds[random.IntN(len(drawnKinds))]
		rows = append(rows, model.Device{Ref: name, Kind: kind, Health: model.HealthUnknown})
		for mark := range 50 {
			terminal := model.Terminal{Device: name, Mark: fmt.Sprint(mark + 1), Role: model.RolePass}
			switch {
			case d%100 == 0 && mark == 0:
				terminal.Role, terminal.Volts = model.RoleRail, model.Known(float64(random.IntN(5)*6+6))
			case d%100 == 0 && mark == 1:
				terminal.Role = model.RoleReturn
			case mark < 2:
				terminal.Role = []model.Role{model.RoleFeed, model.RoleReturn}[mark]
			case random.IntN(20) == 0:
				terminal.Role = model.RoleSignal
			}
			rows = append(rows, terminal)
			refs = append(refs, terminal.Ref())
			if mark%2 == 1 && mark > 2 {
				link := model.Link{Device: name, From: fmt.Sprint(mark), To: fmt.Sprint(mark + 1), Kind: model.LinkSolid}
				switch random.IntN(6) {
				case 0:
					link.Kind, link.Value = model.LinkFuse, model.Known(5)
				case 1:
					link.Kind, link.State = model.LinkContact, model.StateClosed
				case 2:
					link.Kind, link.Value = model.LinkResistance, model.Known(12)
				}
				rows = append(rows, link)
			}
		}
	}
	// Wires: most to a terminal near by, some to one of a few buses.
	for w := range len(refs) * 3 / 4 {
		a := random.IntN(len(refs))
		b := min(len(refs)-1, a+1+random.IntN(200))
		if random.IntN(10) == 0 {
			b = 100 * random.IntN(10)
		}
		if a == b {
			continue
		}
		rows = append(rows, model.Wire{
			Name: fmt.Sprintf("W%d", w+1), From: refs[a], To: refs[b], Basis: model.BasisPlanned, Removed: random.IntN(50) == 0,
		})
	}
	m := model.NewMachine()
	for _, row := range rows { // one edit of all would keep a second copy of each
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: row}}}); err != nil {
			panic(err)
		}
	}
	return m
}

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
