package graphs

import (
	"cmp"
	"slices"

	"bellout/model"
)

// Supply is one output of a source: a rail terminal and the returns of the same
// section, against which its volts count; first the one whose mark is most like the
// rail's, as 2- is like 2+. A device with two rails is two supplies.
type Supply struct {
	Device    string
	Rail      int
	Returns   []int
	Volts     model.Optional
	LimitAmps model.Optional // of the device
}

// Load is one feed of a device and the returns of the same section. A device
// with two feeds is two loads.
type Load struct {
	Device  string
	Feed    int
	Returns []int // may be empty: no return is mapped
	Volts   model.Optional
	// MinVolts and MaxVolts are the feed's limits, by default 0.9 and 1.1 of
	// Volts.
	MinVolts, MaxVolts model.Optional
	// Amps is what this feed draws: the device's load_a in equal parts over its
	// feeds that a wire reaches, or over all where no wire reaches any.
	Amps model.Optional
}

// Driver is one switched output and what it may switch to: the returns of the
// same section when it sinks, its feeds when it sources.
type Driver struct {
	Device  string
	Drive   int
	Returns []int
	Feeds   []int
}

// Parts are the supplies, loads and drivers of a machine, each in the order of
// Machine.Terminals.
type Parts struct {
	Supplies []Supply
	Loads    []Load
	Drivers  []Driver
}

// section names the galvanically separate part of a device.
type section struct{ device, name string }

// FindParts reads the supplies, loads and drivers off the terminals' roles.
// Cost: linear.
func FindParts(m *model.Machine) *Parts {
	returns := map[section][]int{}
	feeds := map[section][]int{}
	for t := range m.Terminals {
		switch terminal := &m.Terminals[t]; terminal.Role {
		case model.RoleReturn:
			key := section{terminal.Device, terminal.Section}
			returns[key] = append(returns[key], t)
		case model.RoleFeed:
			key := section{terminal.Device, terminal.Section}
			feeds[key] = append(feeds[key], t)
		}
	}
	amps := loadShares(m)
	parts := &Parts{}
	for t := range m.Terminals {
		terminal := &m.Terminals[t]
		key := section{terminal.Device, terminal.Section}
		switch terminal.Role {
		case model.RoleRail:
			device, _ := m.Device(terminal.Device)
			parts.Supplies = append(parts.Supplies, Supply{
				Device: terminal.Device, Rail: t, Returns: likestFirst(m, t, returns[key]), Volts: terminal.Volts, LimitAmps: device.LimitAmps,
			})
		case model.RoleFeed:
			load := Load{Device: terminal.Device, Feed: t, Returns: likestFirst(m, t, returns[key]), Volts: terminal.Volts, Amps: amps[t]}
			load.MinVolts, load.MaxVolts = terminal.Limits()
			parts.Loads = append(parts.Loads, load)
		case model.RoleDrive:
			parts.Drivers = append(parts.Drivers, Driver{
				Device: terminal.Device, Drive: t, Returns: likestFirst(m, t, returns[key]), Feeds: feeds[key],
			})
		}
	}
	return parts
}

// likestFirst orders the returns of a section for one of its terminals: what belongs
// together is marked alike.
func likestFirst(m *model.Machine, t int, returns []int) []int {
	if len(returns) < 2 {
		return returns
	}
	mark := m.Terminals[t].Mark
	returns = slices.Clone(returns)
	slices.SortFunc(returns, func(a, b int) int {
		x, y := m.Terminals[a], m.Terminals[b]
		return cmp.Or(cmp.Compare(marksAlike(y.Mark, mark), marksAlike(x.Mark, mark)), model.CompareRefs(x.Ref(), y.Ref()))
	})
	return returns
}

// marksAlike counts the letters that two marks have in common at their beginnings
// and at their ends.
func marksAlike(a, b string) int {
	begin, end := 0, 0
	for begin < min(len(a), len(b)) && a[begin] == b[begin] {
		begin++
	}
	for end < min(len(a), len(b))-begin && a[len(a)-1-end] == b[len(b)-1-end] {
		end++
	}
	return begin + end
}

// loadShares divides each device's load_a over its feeds: those that a wire
// reaches, or all where no wire reaches any.
func loadShares(m *model.Machine) map[int]model.Optional {
	type drawn struct {
		amps  float64
		feeds []int
		wired int
	}
	devices := map[string]*drawn{}
	feeds := map[model.TerminalRef]int{}
	for t := range m.Terminals {
		terminal := &m.Terminals[t]
		if terminal.Role != model.RoleFeed {
			continue
		}
		known, found := devices[terminal.Device]
		if !found {
			if device, _ := m.Device(terminal.Device); device.LoadAmps.Known {
				known = &drawn{amps: device.LoadAmps.Value}
			}
			devices[terminal.Device] = known // nil: what it draws is not known
		}
		if known != nil {
			known.feeds = append(known.feeds, t)
			feeds[terminal.Ref()] = t
		}
	}
	wired := map[int]bool{}
	for row := range m.Wires {
		wire := &m.Wires[row]
		if wire.Removed {
			continue
		}
		for _, end := range [2]model.TerminalRef{wire.From, wire.To} {
			if t, isFeed := feeds[end]; isFeed && !wired[t] {
				wired[t] = true
				devices[end.Device].wired++
			}
		}
	}
	shares := make(map[int]model.Optional, len(feeds))
	for _, device := range devices {
		if device == nil {
			continue
		}
		for _, t := range device.feeds {
			switch {
			case device.wired == 0:
				shares[t] = model.Known(device.amps / float64(len(device.feeds)))
			case wired[t]:
				shares[t] = model.Known(device.amps / float64(device.wired))
			default:
				shares[t] = model.Known(0)
			}
		}
	}
	return shares
}
