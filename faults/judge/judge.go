package judge

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// Judge holds readings of one machine against the map. It is not safe for use
// by several goroutines: it keeps circuits of the conditions it met.
type Judge struct {
	Machine  *model.Machine
	Settings model.Settings
	Meter    Meter
	// Rest is the circuit at rest, as the map draws it.
	Rest *graphs.Circuit

	least     *graphs.Circuit // see Least
	leastMade bool
	views     map[string]*graphs.Circuit
	viewOrder []string
	linksOf   map[string][]int // places in Machine.Links, by device
	sources   map[string]bool  // devices with a rail
	bonds     *bonds
	kept      *graphs.LeftInPlace // of Rest; nil until needed
	metal     *graphs.Blocks      // of Rest; nil until needed
	running   map[string]*graphs.OperatingPoint
	states    map[string]*graphs.PowerState // the same, by its states; see Volts
	reached   []bool                        // by terminal: see OnMains; nil until needed
	island    *galvanic                     // nil until needed, as the rest
	parts     *graphs.Parts                 // see Parts
	powered   map[poweredKey]bool
}

// New returns a judge over a circuit at rest.
func New(rest *graphs.Circuit) *Judge {
	m := rest.Machine
	j := &Judge{
		Machine: m, Settings: m.Settings(), Rest: rest,
		views: map[string]*graphs.Circuit{}, linksOf: map[string][]int{}, running: map[string]*graphs.OperatingPoint{}, states: map[string]*graphs.PowerState{},
		powered: map[poweredKey]bool{},
	}
	j.Meter = NewMeter(j.Settings)
	for row, link := range m.Links {
		j.linksOf[link.Device] = append(j.linksOf[link.Device], row)
	}
	j.sources = map[string]bool{}
	for _, terminal := range m.Terminals {
		if terminal.Role == model.RoleRail {
			j.sources[terminal.Device] = true
		}
	}
	j.bonds = findBonds(rest)
	return j
}

// Judgement is what one reading says about the map.
type Judgement struct {
	Outcome Outcome
	// Sight is what the map predicts under the reading's conditions; of volts
	// readings it says nothing. Where the reading agrees without what is
	// undecided, that is left out.
	Sight Observed
	// Volts is what the running machine has there, for volts-dc.
	Volts model.Optional
	// Danger and Rail are what a reading of volts says by itself of what can hurt,
	// and of the rail that it was taken across.
	Danger Danger
	Rail   RailVolts
	// ByBond: what joins the tips is a bond that the map has no conductor for.
	ByBond bool
	// Unmapped: the reading may be the inside of devices that the map does not
	// hold; Sight counts it as undecided.
	Unmapped bool
	// ByContact: it depends on a contact whose position is not noted.
	ByContact bool
}

// Judge compares a reading with the map, staleness aside. Both tips must be
// terminals of the machine.
func (j *Judge) Judge(r model.Reading) Judgement {
	red, foundRed := j.Machine.TerminalIndex(r.Red)
	black, foundBlack := j.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return Judgement{Outcome: Undecided}
	}
	if r.Mode.Volts() {
		return j.judgeVolts(r, red, black)
	}
	sight := j.firmSight(red, black, r.Conditions)
	judgement := Judgement{Outcome: j.Meter.Decide(r, sight), Sight: sight}
	if judgement.Outcome != Agrees && !sight.Metal {
		sight = j.Sight(red, black, r.Conditions)
		judgement = Judgement{Outcome: j.Meter.Decide(r, sight), Sight: sight}
	}
	if judgement.Outcome != Contradicts {
		return judgement
	}
	if bridges := j.bonds.changes(j.Rest); len(bridges) > 0 {
		bonded := j.SightIf(red, black, r.Conditions, bridges)
		if bonded.Ohms < sight.Ohms && j.Meter.Decide(r, bonded) == Agrees {
			return Judgement{Outcome: Agrees, Sight: sight, ByBond: true}
		}
	}
	if contacts := j.unknownContacts(); len(contacts) > 0 {
		if j.Meter.Decide(r, j.SightIf(red, black, r.Conditions, contacts)) != Contradicts {
			judgement.Outcome, judgement.ByContact = Undecided, true
			return judgement
		}
	}
	if j.unmappedPart(r, sight, red, black) {
		judgement.Outcome, judgement.Unmapped = Undecided, true
		judgement.Sight.LeastOhms = 0
	}
	return judgement
}

// mostContacts is how many contacts of unknown position are looked at.
const mostContacts = 64

// unknownContacts closes every contact whose position the map does not note;
// those that a reading's conditions note stay as these say.
func (j *Judge) unknownContacts() []graphs.ElementChange {
	var changes []graphs.ElementChange
	for row, link := range j.Machine.Links {
		if link.Kind == model.LinkContact && link.State == model.StateUnknown && len(changes) < mostContacts {
			changes = append(changes, graphs.ElementChange{Element: j.Rest.LinkElement(row)})
		}
	}
	return changes
}

// OpenContacts returns the contacts, by element, whose position says open under
// conditions, and one of which would join two terminals if it were closed; rising.
func (j *Judge) OpenContacts(red, black int, conditions model.Conditions) []int {
	c := j.View(conditions)
	nets := c.Nets()
	var list []int
	for _, t := range nets.Net(red).Terminals {
		for _, id := range c.Incident(t) {
			e := c.Elements[id]
			if e.Kind != graphs.Contact || e.Present || nets.Of[c.Far(int(id), t)] != nets.Of[black] || len(list) >= mostContacts {
				continue
			}
			link := j.Machine.Links[e.Row]
			if slices.Contains(conditions, model.Condition{Kind: model.Unplugged, Device: link.Device}) {
				continue
			}
			held := slices.Contains(conditions, model.Condition{Kind: model.ContactOpen, Device: link.Device, From: link.From, To: link.To})
			if link.State == model.StateOpen || held {
				list = append(list, int(id))
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// unmappedPart says whether a reading that the map does not explain may be the
// inside of a device that the map does not hold: the output stage of a supply,
// the inputs of a controller. Such a reading is a part's or electronics', never
// that of a join. Where the map has no wire at a tip the part may be one that it
// knows, behind a wire that it does not.
func (j *Judge) unmappedPart(r model.Reading, sight Observed, red, black int) bool {
	if r.Mode != model.ModeOhms || r.Value.Kind != model.ShowsNumber || sight.Metal {
		return false
	}
	x := r.Value.Number - j.Meter.LeadOhms
	switch {
	case x < MetalBelowOhms || x > sight.Ohms:
		return false
	case j.WireMayLack(red, black):
		return true
	}
	return x >= partAboveOhms && j.hasUnmappedInside(red) && j.hasUnmappedInside(black)
}

// WireMayLack says whether a map that grows from readings alone is not that far
// yet: no wire at all at the metal of one tip, and none that the meter did not
// find at the other's; or nobody has seen a wire of either, so that what else ends
// there is not known.
func (j *Judge) WireMayLack(red, black int) bool {
	nets := j.Rest.Nets()
	bare, unseen := false, true
	for _, t := range [2]int{red, black} {
		wires := nets.List[nets.Of[t]].Wires
		bare = bare || len(wires) == 0
		for _, row := range wires {
			if !j.Machine.Wires[row].Basis.ByMeter() {
				return false
			}
			unseen = unseen && j.Machine.Wires[row].Basis == model.BasisJoined
		}
	}
	return bare || unseen
}

// hasUnmappedInside says whether the net of a terminal ends at a device that is
// more than metal and that has no link there, or at a supply's output, which is
// always more than the bleeder that the map may hold.
func (j *Judge) hasUnmappedInside(terminal int) bool {
	nets := j.Rest.Nets()
	for _, t := range nets.List[nets.Of[terminal]].Terminals {
		row := j.Machine.Terminals[t]
		switch row.Role {
		case model.RolePass, model.RoleEarth, model.RoleUnknown:
			continue
		case model.RoleRail:
			return true
		case model.RoleReturn:
			if j.sources[row.Device] {
				return true
			}
		}
		linked := false
		for _, id := range j.Rest.Incident(t) {
			if e := j.Rest.Elements[id]; e.Kind != graphs.Wire && e.Kind != graphs.Joined {
				linked = true
				break
			}
		}
		if !linked {
			return true
		}
	}
	return false
}

// Decide says how a reading of continuity, ohms or the diode range stands to
// what its tips face.
func (m Meter) Decide(r model.Reading, s Observed) Outcome {
	if !r.Drift.Final() {
		return Undecided
	}
	switch r.Mode {
	case model.ModeContinuity:
		return m.decideBeep(r, s)
	case model.ModeOhms:
		return m.decideOhms(r, s)
	case model.ModeDiode:
		return m.decideDiode(r, s)
	default:
		return Undecided
	}
}

func (m Meter) decideBeep(r model.Reading, s Observed) Outcome {
	expected, other := m.beepsAt(s.Ohms), m.beepsAt(s.LeastOhms)
	if r.Value.Kind == model.ShowsSilent {
		expected, other = 1-expected, 1-other
	}
	switch {
	case expected >= 0.3:
		return Agrees
	case expected >= likelyEnough || other >= likelyEnough:
		return Undecided
	default:
		return Contradicts
	}
}

func (m Meter) decideOhms(r model.Reading, s Observed) Outcome {
	if r.Value.Kind == model.ShowsOL {
		if m.overRange(s.Ohms) >= likelyEnough {
			return Agrees
		}
		return Contradicts
	}
	if r.Value.Number < 0 {
		return Undecided // residual volts
	}
	x := math.Max(r.Value.Number-m.LeadOhms, 0)
	if s.Metal {
		if x > s.Ohms+m.JointLimit {
			return Contradicts
		}
		return Agrees
	}
	if m.near(x, s.Ohms) {
		return Agrees
	}
	if math.IsInf(s.Ohms, 1) && x >= leakAboveOhms {
		return Agrees
	}
	if x > s.Ohms {
		return Contradicts
	}
	if !s.Decided() && x >= MetalBelowOhms && (x >= s.LeastOhms || m.near(x, s.LeastOhms)) {
		return Undecided
	}
	return Contradicts
}

// near says whether x may be what a part of that many ohms reads.
func (m Meter) near(x, ohms float64) bool {
	if math.IsInf(ohms, 1) {
		return false
	}
	if math.Abs(x-ohms) <= 2*m.MetalOhms {
		return true
	}
	if x <= 0 || ohms <= 0 {
		return false
	}
	return math.Abs(math.Log(x/ohms)) <= partTooFar*m.PartSpread
}

func (m Meter) decideDiode(r model.Reading, s Observed) Outcome {
	volts := s.Ohms * diodeMilliamps / 1000
	if r.Value.Kind == model.ShowsOL {
		switch {
		case volts < diodeOpenVolts*0.6:
			return Contradicts
		case s.Decided():
			return Agrees
		default:
			return Undecided
		}
	}
	shown := r.Value.Number
	switch {
	case shown < 0:
		return Undecided
	case volts <= diodeHiddenVolts && shown >= diodeLowVolts:
		return Contradicts // what lies beside such a coil never gets its forward volts
	case volts <= diodeOpenVolts && math.Abs(shown-volts) <= math.Max(0.05, partTooFar*m.PartSpread*volts):
		return Agrees
	case !s.Decided() && shown >= diodeLowVolts:
		return Agrees
	case shown >= diodeLowVolts:
		return Undecided // a junction that the map does not hold
	case !s.Decided() && shown > MetalBelowOhms*diodeMilliamps/1000*10:
		return Undecided
	default:
		return Contradicts
	}
}
