package causes

import (
	"slices"

	"bellout/faults"
	"bellout/faults/explain"
	"bellout/model"
)

// Probe is a touch of the meter that is worth making.
type Probe struct {
	Red        model.TerminalRef `json:"red"`
	Black      model.TerminalRef `json:"black"`
	Mode       model.Mode        `json:"mode"`
	Conditions []string          `json:"conditions"`

	stays string // what stays live with the plug out and could feed it, see Caution
}

// settle returns the probe that would decide on a candidate; nil where no probe
// can. None of them is on the mains side: a surge is asked for at the outputs
// that it must have passed. None is live above the bound of live probes, and none
// is asked for while volts that can hurt stand somewhere.
func (s *scene) settle(c Scored) *Probe {
	report := faults.Report{Findings: s.findings}
	if _, is := report.Live(); is {
		return nil
	}
	probe := s.deciding(c)
	if probe == nil || !probe.Mode.Volts() {
		return probe
	}
	red, _ := s.bench.Machine.TerminalIndex(probe.Red)
	black, _ := s.bench.Machine.TerminalIndex(probe.Black)
	if !report.MayBeLive() || !s.bench.MayProbeLive(red, black) {
		return nil
	}
	return probe
}

func (s *scene) deciding(c Scored) *Probe {
	switch c.Mechanism {
	case Overvoltage, Undervoltage, MainsSurge:
		return s.atOutput(s.supplyBehind(c), model.ModeVoltsDC)
	case Ripple:
		return s.atOutput(s.supplyBehind(c), model.ModeVoltsAC)
	case LostReturn:
		return s.alongReturn(c, model.ModeOhms)
	case GroundShift:
		return s.alongReturn(c, model.ModeVoltsDC)
	case Transient:
		return s.atDriver(c)
	case Leakage:
		return s.toEarth(c)
	case BackFeed:
		return s.offRail(c)
	}
	return nil
}

// probe asks for a reading under conditions, and, where the machine is dead for it,
// with what stays live taken out; nil where nothing may take that out.
func (s *scene) probe(red, black int, mode model.Mode, conditions ...model.Condition) *Probe {
	under, may := model.NewConditions(conditions...), true
	if !mode.Volts() {
		under, may = s.bench.Staying().TakeOut(red, black, under, false)
	}
	if !may {
		return nil
	}
	c := s.bench.Apart
	probe := &Probe{Red: c.Ref(red), Black: c.Ref(black), Mode: mode, Conditions: []string{}, stays: s.bench.Staying().Caution(red, black, under, false)}
	if mode.Volts() {
		probe.stays = s.bench.Staying().LiveCaution(red, black)
	}
	for _, condition := range under {
		probe.Conditions = append(probe.Conditions, condition.String())
	}
	return probe
}

// supplyBehind returns a supply of the suspect device that reaches a failed
// one, or the one that feeds what the suspect place exposes; -1 if there is
// none.
func (s *scene) supplyBehind(c Scored) int {
	for at, supply := range s.bench.Parts.Supplies {
		if supply.Device == c.Place.Device {
			return at
		}
	}
	for _, exposure := range c.Exposed {
		if feeding := s.feeding[s.lives[exposure.Witness].place]; len(feeding) > 0 && s.lives[exposure.Witness].Health == model.HealthFailed {
			return feeding[0]
		}
	}
	return -1
}

func (s *scene) atOutput(supply int, mode model.Mode) *Probe {
	if supply < 0 || len(s.bench.Parts.Supplies[supply].Returns) == 0 {
		return nil
	}
	return s.probe(s.bench.Parts.Supplies[supply].Rail, s.bench.Parts.Supplies[supply].Returns[0], mode)
}

// alongReturn measures from a failed device's 0 V to that of its supply.
func (s *scene) alongReturn(c Scored, mode model.Mode) *Probe {
	for _, exposure := range c.Exposed {
		if s.lives[exposure.Witness].Health != model.HealthFailed {
			continue
		}
		for _, load := range s.loads[s.lives[exposure.Witness].place] {
			for _, supply := range s.bench.Feeding(load) {
				returns := s.bench.Parts.Supplies[supply].Returns
				if own := s.bench.Parts.Loads[load].Returns; len(own) > 0 && len(returns) > 0 && own[0] != returns[0] {
					return s.probe(own[0], returns[0], mode)
				}
			}
		}
	}
	return nil
}

// atDriver asks whether the output that drives the coil has died shorted, with
// the coil out of the way. The diode itself cannot be seen past its coil.
func (s *scene) atDriver(c Scored) *Probe {
	for _, k := range s.coils() {
		if k.device != c.Place.Device {
			continue
		}
		for _, driver := range s.bench.Parts.Drivers {
			if driver.Drive == k.drive && len(driver.Returns) > 0 {
				return s.atOutputOf(k.device, k.drive, driver.Returns[0])
			}
		}
	}
	return nil
}

// atOutputOf reads an output with its coil out of the way: unplugged, or, where a
// protective conductor ends at the coil, with the output's one wire lifted.
func (s *scene) atOutputOf(coil string, drive, back int) *Probe {
	kept := s.bench.LeftInPlace()
	if !kept.Device(coil) {
		return s.probe(drive, back, model.ModeOhms, model.Condition{Kind: model.Unplugged, Device: coil})
	}
	wires := explain.WiresAt(s.bench.Drawn, drive)
	if len(wires) != 1 || kept.Element(wires[0]) {
		return nil
	}
	return s.probe(drive, back, model.ModeOhms, model.Condition{Kind: model.Lifted, Wire: s.bench.Machine.Wires[wires[0]].Name})
}

// toEarth asks whether a 0 V floats against earth at all: dead, in ohms. The AC
// between the two that leakage makes may be more than anybody is sent to probe.
func (s *scene) toEarth(c Scored) *Probe {
	supply := s.supplyBehind(c)
	if supply < 0 || len(s.bench.Parts.Supplies[supply].Returns) == 0 {
		return nil
	}
	earths := []int{}
	for t, terminal := range s.bench.Machine.Terminals {
		if terminal.Role == model.RoleEarth {
			earths = append(earths, t)
		}
	}
	if len(earths) == 0 {
		return nil
	}
	slices.SortFunc(earths, func(x, y int) int { return model.CompareRefs(s.bench.Apart.Ref(x), s.bench.Apart.Ref(y)) })
	return s.probe(s.bench.Parts.Supplies[supply].Returns[0], earths[0], model.ModeOhms)
}

// offRail measures the rail of a failed device, its own supply off.
func (s *scene) offRail(c Scored) *Probe {
	for _, exposure := range c.Exposed {
		if feeding := s.feeding[s.lives[exposure.Witness].place]; s.lives[exposure.Witness].Health == model.HealthFailed && len(feeding) > 0 {
			return s.atOutput(feeding[0], model.ModeVoltsDC)
		}
	}
	return nil
}
