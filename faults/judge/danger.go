package judge

import (
	"math"

	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

// Volts from which on a part can hurt. Each is a row of testdata/voltage_limits.csv.
const (
	// ExtraLowAC and ExtraLowDC end extra-low voltage: SELV after IEC 61140.
	ExtraLowAC = 50.0
	ExtraLowDC = 120.0
	// LiveProbeAC and LiveProbeDC bound what a probe is proposed for on a machine
	// that is on: below them bare parts may be touched in dry places, after
	// IEC 61140, and as PELV of IEC 60204-1. Nothing at or above them is proposed.
	LiveProbeAC = 25.0
	LiveProbeDC = 60.0
)

// earthDropVolts is more than two points of one protective earth have between
// them while it is whole: through 0.3 ohm, the most that DIN VDE 0701-0702 allows
// a conductor of up to 5 m, it takes 33 A, and the fuse of a socket goes at once.
// The bound itself is engineering judgement.
const earthDropVolts = 10.0

// healthyEarthShare is the least part of the volts from line to neutral that line
// has against an earth that is one: in TN and TT networks the two are equal but
// for the drop in the neutral. Engineering judgement.
const healthyEarthShare = 0.8

// Danger says in what way a reading shows volts that can hurt where the map
// expects none.
type Danger uint8

// The dangers, the least first.
const (
	NoDanger  Danger = iota
	Ghost            // from LiveProbeAC up to ExtraLowAC on a part that floats: live until it collapses on low impedance
	LivePart         // more than extra-low voltage
	EarthLost        // protective earth does not join what it has to, while the machine is live
)

// Danger returns what a reading of volts by itself shows that can hurt: between
// any two of earth, a 0 V and the extra-low side, or between neutral and one of
// them. Line to anything is what a healthy plug shows, and so are volts that the
// map has there. Cost: nothing below earthDropVolts; else the nets of the tips.
func (j *Judge) Danger(r model.Reading) Danger {
	volts := math.Abs(r.Value.Number)
	if !r.Mode.Volts() || r.Value.Kind != model.ShowsNumber || volts <= earthDropVolts {
		return NoDanger
	}
	red, foundRed := j.Machine.TerminalIndex(r.Red)
	black, foundBlack := j.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return NoDanger
	}
	one, other := j.sideOf(red, r.Mode), j.sideOf(black, r.Mode)
	if one == sideLine || other == sideLine || one == sideHigh || other == sideHigh {
		return NoDanger
	}
	if one == sideEarth && other == sideEarth && j.Rest.Nets().Same(red, black) {
		return EarthLost
	}
	if r.Mode == model.ModeVoltsDC {
		if volts > ExtraLowDC && !j.has(red, black, r.Conditions, ExtraLowDC) {
			return LivePart
		}
		return NoDanger
	}
	switch {
	case volts > ExtraLowAC:
		return LivePart
	case volts >= LiveProbeAC && !j.galvanic().sets.Same(red, black):
		return Ghost
	default:
		return NoDanger
	}
}

// has says whether the map itself has more than some volts between two terminals.
func (j *Judge) has(red, black int, conditions model.Conditions, least float64) bool {
	volts := j.Volts(red, black, conditions)
	return volts.Known && math.Abs(volts.Value) > least
}

// EarthLostBeside says whether the volts from line to an earth show that this
// earth is none, given what line has to neutral in the same machine.
func EarthLostBeside(toEarth, toNeutral float64) bool {
	toEarth, toNeutral = math.Abs(toEarth), math.Abs(toNeutral)
	return toNeutral > ExtraLowAC && toEarth >= LiveProbeAC && toEarth < healthyEarthShare*toNeutral
}

// LineTo returns which of a reading's tips is on line, and the other, where the
// other is on neutral or on protective earth.
func (j *Judge) LineTo(r model.Reading) (line, other int, neutral, earth bool) {
	red, foundRed := j.Machine.TerminalIndex(r.Red)
	black, foundBlack := j.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack || r.Mode != model.ModeVoltsAC {
		return -1, -1, false, false
	}
	line, other = red, black
	if j.sideOf(line, r.Mode) != sideLine {
		line, other = black, red
	}
	if j.sideOf(line, r.Mode) != sideLine {
		return -1, -1, false, false
	}
	side := j.sideOf(other, r.Mode)
	return line, other, side == sideNeutral, side == sideEarth
}

// GoneBelow returns the volts under which a later reading of the same two shows
// that a danger is gone.
func (j *Judge) GoneBelow(danger Danger, mode model.Mode) float64 {
	switch {
	case danger == EarthLost:
		return earthDropVolts
	case mode == model.ModeVoltsDC:
		return LiveProbeDC
	default:
		return LiveProbeAC
	}
}

// side is what a terminal belongs to when volts are judged.
type side uint8

const (
	sideExtraLow side = iota // 0 V included, and what the map does not say
	sideEarth
	sideNeutral
	sideLine
	sideHigh // the map itself has more than extra-low voltage there
)

// sideOf goes by the terminal's own role; of a way through, by its net.
func (j *Judge) sideOf(t int, mode model.Mode) side {
	switch j.Machine.Terminals[t].Role {
	case model.RoleLine:
		return sideLine
	case model.RoleNeutral:
		return sideNeutral
	case model.RoleEarth:
		return sideEarth
	}
	limit := ExtraLowDC
	if mode == model.ModeVoltsAC {
		limit = ExtraLowAC
	}
	var line, neutral, earth, low bool
	for _, other := range j.Rest.Nets().Net(t).Terminals {
		switch terminal := &j.Machine.Terminals[other]; terminal.Role {
		case model.RoleLine:
			line = true
		case model.RoleNeutral:
			neutral = true
		case model.RoleEarth:
			earth = true
		case model.RoleRail, model.RoleFeed, model.RoleReturn:
			if j.nominalAt(other) > limit {
				return sideHigh
			}
			low = true
		case model.RoleDrive, model.RoleSignal:
			low = true
		}
	}
	switch {
	case low:
		return sideExtraLow
	case line:
		return sideLine
	case neutral:
		return sideNeutral
	case earth:
		return sideEarth
	default:
		return sideExtraLow
	}
}

// nominalAt returns the volts that a rail or a feed is made for; of a return,
// those of the rails and feeds of its section.
func (j *Judge) nominalAt(t int) float64 {
	terminal := &j.Machine.Terminals[t]
	if terminal.Role != model.RoleReturn {
		return math.Abs(terminal.Volts.Or(0))
	}
	return j.galvanic().nominal[t]
}

// galvanic tells which terminals hang together by anything that conducts, the
// inside of devices included: line, neutral and earth stand alone there.
type galvanic struct {
	sets    kit.Sets[int]
	nominal map[int]float64 // by return: the most volts in its section
}

// galvanic is worked out once. Cost: about linear.
func (j *Judge) galvanic() *galvanic {
	if j.island != nil {
		return j.island
	}
	m := j.Machine
	g := &galvanic{sets: kit.NewSets[int](len(m.Terminals)), nominal: map[int]float64{}}
	for _, e := range j.Rest.Elements {
		if e.Present || e.Kind == graphs.Fuse || e.Kind == graphs.Contact {
			g.sets.Union(e.A, e.B)
		}
	}
	type section struct{ device, name string }
	first, most, returns := map[section]int{}, map[section]float64{}, map[section][]int{}
	for t, terminal := range m.Terminals {
		key := section{terminal.Device, terminal.Section}
		switch terminal.Role {
		case model.RoleLine, model.RoleNeutral, model.RoleEarth:
			continue
		case model.RoleReturn:
			returns[key] = append(returns[key], t)
		case model.RolePass: // the ways through a plug, a block or a switch are apart but for its links
			if !j.conductsInside(terminal.Device) {
				continue
			}
		}
		most[key] = math.Max(most[key], math.Abs(terminal.Volts.Or(0)))
		if before, there := first[key]; there {
			g.sets.Union(before, t)
		} else {
			first[key] = t
		}
	}
	for key, list := range returns {
		for _, t := range list {
			g.nominal[t] = most[key]
		}
	}
	j.island = g
	return g
}

// conductsInside says whether a device with terminals that only lead through is
// one whose inside conducts all the same: a winding, a filter, a part of no kind.
func (j *Judge) conductsInside(ref string) bool {
	device, _ := j.Machine.Device(ref)
	switch device.Kind.Known() {
	case model.KindConnector, model.KindTerminalBlock, model.KindSplice, model.KindFuse, model.KindBreaker, model.KindSwitch, model.KindRelay, model.KindMainsInlet:
		return false
	default:
		return true
	}
}
