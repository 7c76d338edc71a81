package graphs

import "bellout/model"

// Supply is one output of a source: a rail terminal and the returns of the same
// section, against which its volts count. A device with two rails is two
// supplies.
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
	for t, terminal := range m.Terminals {
		key := section{terminal.Device, terminal.Section}
		switch terminal.Role {
		case model.RoleReturn:
			returns[key] = append(returns[key], t)
		case model.RoleFeed:
			feeds[key] = append(feeds[key], t)
		}
	}
	amps := loadShares(m)
	parts := &Parts{}
	for t, terminal := range m.Terminals {
		key := section{terminal.Device, terminal.Section}
		device, _ := m.Device(terminal.Device)
		switch terminal.Role {
		case model.RoleRail:
			parts.Supplies = append(parts.Supplies, Supply{
				Device: terminal.Device, Rail: t, Returns: returns[key], Volts: terminal.Volts, LimitAmps: device.LimitAmps,
			})
		case model.RoleFeed:
			load := Load{Device: terminal.Device, Feed: t, Returns: returns[key], Volts: terminal.Volts, Amps: amps[t]}
			load.MinVolts, load.MaxVolts = terminal.Limits()
			parts.Loads = append(parts.Loads, load)
		case model.RoleDrive:
			parts.Drivers = append(parts.Drivers, Driver{
				Device: terminal.Device, Drive: t, Returns: returns[key], Feeds: feeds[key],
			})
		}
	}
	return parts
}

// loadShares divides each device's load_a over its feeds.
func loadShares(m *model.Machine) map[int]model.Optional {
	wired := map[model.TerminalRef]bool{}
	for _, wire := range m.Wires {
		if !wire.Removed {
			wired[wire.From], wired[wire.To] = true, true
		}
	}
	feeds := map[string][]int{}
	reached := map[string][]int{}
	for t, terminal := range m.Terminals {
		if terminal.Role != model.RoleFeed {
			continue
		}
		feeds[terminal.Device] = append(feeds[terminal.Device], t)
		if wired[terminal.Ref()] {
			reached[terminal.Device] = append(reached[terminal.Device], t)
		}
	}
	shares := map[int]model.Optional{}
	for ref, all := range feeds {
		device, _ := m.Device(ref)
		if !device.LoadAmps.Known {
			continue
		}
		drawing := reached[ref]
		if len(drawing) == 0 {
			drawing = all
		}
		for _, t := range all {
			shares[t] = model.Known(0)
		}
		for _, t := range drawing {
			shares[t] = model.Known(device.LoadAmps.Value / float64(len(drawing)))
		}
	}
	return shares
}
