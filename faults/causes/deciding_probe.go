package causes

import (
	"fmt"
	"math"
	"slices"

	"bellout/faults"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Probe is a touch of the meter that is worth making.
type Probe struct {
	Red        model.TerminalRef `json:"red"`
	Black      model.TerminalRef `json:"black"`
	Mode       model.Mode        `json:"mode"`
	Conditions []string          `json:"conditions"`

	// Innocent and Guilty are what the meter shows, and what that means for the
	// suspect.
	Innocent, Guilty Answer `json:"-"`

	stays string // what stays live with the plug out and could feed it, see Caution
}

// Answer is one outcome of a probe, in words.
type Answer struct{ Shows, Means string }

// question is what a reading can ask of a candidate: it runs over the suspect place,
// and what was read there before, or is read there afterwards, counts.
type question struct {
	red, black       int
	mode             model.Mode
	conditions       []model.Condition
	innocent, guilty Answer
	// told is what a reading says, by its word in points.csv; empty: nothing.
	told func(r model.Reading, red, black int) (evidence, text string)
}

// ask gives a candidate its question; nil where no reading can decide. None is on the
// mains side: what a surge leaves behind no meter shows.
func (s *scene) ask(c *Candidate) *question {
	switch c.Mechanism {
	case Overvoltage:
		if c.meeting[0] != c.meeting[1] {
			return s.askMeeting(c)
		}
		return s.askVolts(c)
	case Undervoltage:
		return s.askVolts(c)
	case Ripple:
		return s.askRipple(c)
	case LostReturn:
		return s.askReturn(c)
	case GroundShift:
		return s.askShift(c)
	case Transient:
		return s.askOutput(c)
	case Leakage:
		return s.askEarth(c)
	case BackFeed:
		return s.askOffRail(c)
	case ReversePolarity:
		return s.askPlug(c)
	}
	return nil
}

// askAll gives every candidate its question, and counts what readings tell of it.
func (s *scene) askAll(candidates []Candidate) {
	for at := range candidates {
		c := &candidates[at]
		if c.asks = s.ask(c); c.asks == nil || c.asks.told == nil {
			continue
		}
		s.eachReading(func(r model.Reading, red, black int) {
			if evidence, text := c.asks.told(r, red, black); evidence != "" {
				before := len(c.Lines)
				s.addLine(c, evidence, fmt.Sprintf("%s (reading %d)", text, r.Number))
				c.Decided = c.Decided || len(c.Lines) > before && c.Lines[before].Points > 0
			}
		})
	}
}

// eachReading yields the readings that are evidence: the last of each pair, range and
// condition.
func (s *scene) eachReading(yield func(r model.Reading, red, black int)) {
	type touch struct {
		red, black model.TerminalRef
		mode       model.Mode
		when       string
	}
	last := map[touch]int64{}
	of := func(r model.Reading) touch {
		if model.CompareRefs(r.Black, r.Red) < 0 {
			r.Red, r.Black = r.Black, r.Red
		}
		return touch{r.Red, r.Black, r.Mode, r.Conditions.String()}
	}
	counts := func(r model.Reading) bool { return r.Stands() && !s.stale[r.Number] && r.Drift.Final() }
	for _, r := range s.bench.Machine.Readings {
		if counts(r) {
			last[of(r)] = max(last[of(r)], r.Number)
		}
	}
	for _, r := range s.bench.Machine.Readings {
		red, foundRed := s.bench.Machine.TerminalIndex(r.Red)
		black, foundBlack := s.bench.Machine.TerminalIndex(r.Black)
		if counts(r) && last[of(r)] == r.Number && foundRed && foundBlack {
			yield(r, red, black)
		}
	}
}

// settle returns the probe that would decide on a candidate; nil where no probe can.
// None is live above the bound of live probes, and none is asked for while volts that
// can hurt stand somewhere.
func (s *scene) settle(q *question) *Probe {
	report := faults.Report{Findings: s.findings}
	if _, is := report.Live(); is || q == nil {
		return nil
	}
	if q.mode.Volts() && !(report.MayBeLive() && s.bench.MayProbeLive(q.red, q.black)) {
		return nil
	}
	under, may := model.NewConditions(q.conditions...), true
	if !q.mode.Volts() {
		under, may = s.bench.Staying().TakeOut(q.red, q.black, under, false)
	}
	if !may {
		return nil
	}
	c := s.bench.AsIntended
	probe := &Probe{
		Red: c.Ref(q.red), Black: c.Ref(q.black), Mode: q.mode, Conditions: []string{}, Innocent: q.innocent, Guilty: q.guilty,
		stays: s.bench.Staying().Caution(q.red, q.black, under, false),
	}
	if q.mode.Volts() {
		probe.stays = s.bench.Staying().LiveCaution(q.red, q.black)
	}
	for _, condition := range under {
		probe.Conditions = append(probe.Conditions, condition.String())
	}
	return probe
}

// ownOutput is an output of the suspect supply, one that reaches a failed device
// where there is one; -1 where the map has no return of it.
func (s *scene) ownOutput(c *Candidate) int {
	found := -1
	for at, supply := range s.bench.Parts.Supplies {
		if supply.Device != c.Place.Device || len(supply.Returns) == 0 {
			continue
		}
		if slices.ContainsFunc(s.failed, func(witness int) bool { return slices.Contains(s.feeding[witness], at) }) {
			return at
		}
		if found < 0 {
			found = at
		}
	}
	return found
}

// askVolts reads an output against what its supply keeps.
func (s *scene) askVolts(c *Candidate) *question {
	at := s.ownOutput(c)
	if at < 0 {
		return nil
	}
	supply := s.bench.Parts.Supplies[at]
	low, high, _, known := s.bench.Judge().RailLimits(supply.Rail)
	if !known {
		return nil
	}
	within := fmt.Sprintf("%s to %s V", model.Figures(low), model.Figures(high))
	q := &question{red: supply.Rail, black: supply.Returns[0], mode: model.ModeVoltsDC, told: s.toldVolts(c.Place.Device)}
	if c.Mechanism == Undervoltage {
		q.innocent = Answer{within + ", with everything on", "it holds its volts under load: it does not sag"}
		q.guilty = Answer{"Less, as soon as more is switched on", "it sags: take loads off it, or a larger one in"}
		return q
	}
	q.innocent = Answer{within, "it is as it should be; measure it under load too before it is acquitted"}
	q.guilty = Answer{"Anything else", "it is a bad supply: do not put its loads back on it"}
	return q
}

// toldVolts weighs volts that were read between a rail of a supply and its return, at
// the supply or anywhere on the two nets.
func (s *scene) toldVolts(device string) func(r model.Reading, red, black int) (evidence, text string) {
	return func(r model.Reading, red, black int) (evidence, text string) {
		if r.Mode != model.ModeVoltsDC {
			return "", ""
		}
		supply, sign := s.outputAt(device, red, black)
		if sign == 0 {
			return "", ""
		}
		low, high, _, known := s.bench.Judge().RailLimits(supply.Rail)
		if !known {
			return "", ""
		}
		volts := sign * r.Value.Number
		text = fmt.Sprintf("%s reads %s V DC at %s", device, model.NotedFigures(volts), s.bench.AsIntended.Ref(supply.Rail))
		switch {
		case math.Abs(volts) > math.Max(math.Abs(low), math.Abs(high)):
			return "volts-high", text
		case volts >= low && volts <= high:
			return "volts-right", text
		case math.Abs(volts) < math.Min(math.Abs(low), math.Abs(high)):
			return "volts-low", text
		}
		return "", "" // the other way round: no supply that gives too much or too little
	}
}

// outputAt is the output of a device between whose rail and return two terminals lie,
// and 1, or -1 where red is on the return; 0 where they lie elsewhere.
func (s *scene) outputAt(device string, red, black int) (supply graphs.Supply, sign float64) {
	nets := s.bench.AsIntended.Nets()
	for _, supply := range s.bench.Parts.Supplies {
		if supply.Device != device || !supply.Volts.Known || supply.Volts.Value == 0 {
			continue
		}
		for _, zero := range supply.Returns {
			switch {
			case nets.Same(red, supply.Rail) && nets.Same(black, zero):
				return supply, 1
			case nets.Same(black, supply.Rail) && nets.Same(red, zero):
				return supply, -1
			}
		}
	}
	return graphs.Supply{}, 0
}

// askMeeting reads between two rails that cross.
func (s *scene) askMeeting(c *Candidate) *question {
	return &question{
		red: c.meeting[0], black: c.meeting[1], mode: model.ModeOhms,
		innocent: Answer{"OL, or some hundred ohms and more", "the rails do not meet now: look for what joined them"},
		guilty:   Answer{"Under about 0.5 ohm, steady", "the rails do meet: take the join out before power comes back"},
	}
}

// askRipple reads the AC of an output.
func (s *scene) askRipple(c *Candidate) *question {
	at := s.ownOutput(c)
	if at < 0 {
		return nil
	}
	supply := s.bench.Parts.Supplies[at]
	percent := s.weights.Bound("ripple-percent")
	q := &question{
		red: supply.Rail, black: supply.Returns[0], mode: model.ModeVoltsAC,
		innocent: Answer{"A few tens of millivolts", "ordinary ripple: this side is as it should be"},
		guilty:   Answer{"More", "it carries ripple: it has lost its capacitors, or its return"},
	}
	if bound := percent / 100 * math.Abs(supply.Volts.Or(0)); bound > 0 {
		q.innocent.Shows = fmt.Sprintf("Up to %s V (%s %% of its volts)", model.Figures(bound), model.FormatNumber(percent))
	}
	q.told = func(r model.Reading, red, black int) (evidence, text string) {
		if r.Mode != model.ModeVoltsAC {
			return "", ""
		}
		supply, sign := s.outputAt(c.Place.Device, red, black)
		if sign == 0 {
			return "", ""
		}
		share := 100 * math.Abs(r.Value.Number/supply.Volts.Value)
		text = fmt.Sprintf("%s carries %s V AC, %.1f %% of its volts", supply.Device, model.NotedFigures(r.Value.Number), share)
		if share > percent {
			return "ripple-high", text
		}
		return "ripple-low", text
	}
	return q
}

// across are two terminals between which every way of metal runs over a piece of
// return: from the 0 V of a device beyond it, a failed one first, to its supply.
func (s *scene) across(piece int, beyond []int) (from, to int, found bool) {
	for _, wantFailed := range []bool{true, false} {
		for _, at := range beyond {
			if (s.witnesses[at].Health == model.HealthFailed) != wantFailed {
				continue
			}
			for _, load := range s.loads[at] {
				for _, supply := range s.bench.Feeding(load) {
					for _, way := range s.waysHome(load, supply) {
						if s.runsOver(way[0], way[1], piece) {
							return way[0], way[1], true
						}
					}
				}
			}
		}
	}
	return 0, 0, false
}

// waysHome are the stretches of metal by which a load returns to a supply: one, or
// one on each side of a driver that sinks it.
func (s *scene) waysHome(load, supply int) (ways [][2]int) {
	for _, from := range s.bench.Parts.Loads[load].Returns {
		for _, to := range s.bench.Parts.Supplies[supply].Returns {
			ways = append(ways, s.stretches(from, to)...)
		}
	}
	return ways
}

// askReturn reads a return from end to end.
func (s *scene) askReturn(c *Candidate) *question {
	from, to, found := s.across(c.pieces[0], c.beyond)
	if !found {
		return nil
	}
	limit := s.mostOhms(from, to)
	return &question{
		red: from, black: to, mode: model.ModeOhms,
		innocent: Answer{fmt.Sprintf("Up to about %s ohm, steady while the wiring is moved", limit), "this return is sound: suspicion moves on"},
		guilty:   Answer{"More, or OL, or it jumps", "this return is bad: remake its joints, and double it"},
	}
}

// mostOhms is what sound metal between two terminals reads at most, the leads with
// it, in words.
func (s *scene) mostOhms(from, to int) string {
	j := s.bench.Judge()
	return model.Figures(j.Meter.Limits(model.ModeOhms, j.Sight(from, to, nil)).High)
}

// askShift reads what a return takes while heavy currents run.
func (s *scene) askShift(c *Candidate) *question {
	from, to, found := s.across(c.pieces[0], c.beyond)
	if !found {
		return nil
	}
	bound := s.weights.Bound("shift-volts")
	shown := model.Figures(bound) + " V"
	return &question{
		red: from, black: to, mode: model.ModeVoltsDC,
		innocent: Answer{"Under " + shown + " with everything on", "the 0 V beyond it stays where it should be"},
		guilty:   Answer{shown + " or more while motors and coils run", "heavy currents move this 0 V: bring them home on a way of their own"},
		told: func(r model.Reading, red, black int) (evidence, text string) {
			if r.Mode != model.ModeVoltsDC || !s.runsOver(red, black, c.pieces[0]) {
				return "", ""
			}
			text = fmt.Sprintf("%s V between %s and %s", model.NotedFigures(r.Value.Number), r.Red, r.Black)
			if math.Abs(r.Value.Number) >= bound {
				return "shift-high", text
			}
			return "shift-low", text
		},
	}
}

// runsOver says whether every way of metal between two terminals runs over an
// element.
func (s *scene) runsOver(red, black, element int) bool {
	return s.metal.Joined(red, black) && s.metal.Parts(element, red, black)
}

// askOutput asks whether the output that drives the coil has died shorted, with the
// coil out of the way. The diode itself cannot be seen past its coil.
func (s *scene) askOutput(c *Candidate) *question {
	for _, k := range s.coils() {
		if k.device != c.Place.Device {
			continue
		}
		side, found := s.switchedSide(k)
		if !found {
			continue
		}
		condition, may := s.coilOut(k)
		if !may {
			continue
		}
		return &question{
			red: k.drive, black: side, mode: model.ModeOhms, conditions: []model.Condition{condition},
			innocent: Answer{"OL, or some ten ohms and more", "the output blocks: no kick of this coil has killed it"},
			guilty:   Answer{"Under about 0.5 ohm", "the output is dead, shorted: a coil that kicks does that; a diode across the coil first, then another driver"},
			told: func(r model.Reading, red, black int) (evidence, text string) {
				return s.toldOutput(r, red, black, k, side)
			},
		}
	}
	return nil
}

// toldOutput weighs ohms of an output that were read with its coil out of the way:
// metal there is a dead output, no sound way.
func (s *scene) toldOutput(r model.Reading, red, black int, k coil, side int) (evidence, text string) {
	nets := s.bench.AsIntended.Nets()
	there := nets.Same(red, k.drive) && nets.Same(black, side) || nets.Same(black, k.drive) && nets.Same(red, side)
	out := slices.ContainsFunc(r.Conditions, func(c model.Condition) bool {
		return c.Kind == model.Unplugged && c.Device == k.device ||
			c.Kind == model.Lifted && slices.ContainsFunc(explain.WiresAt(s.bench.AsDrawn, k.drive), func(w int) bool { return s.bench.Machine.Wires[w].Name == c.Wire })
	})
	if r.Mode != model.ModeOhms || !there || !out {
		return "", ""
	}
	text = fmt.Sprintf("%s to %s: %s", r.Red, r.Black, judge.ValueText(r))
	if r.Value.Kind == model.ShowsNumber && r.Value.Number-s.bench.Settings.LeadOhms < judge.MetalBelowOhms {
		return "output-shorted", text
	}
	return "output-blocks", text
}

// switchedSide is the terminal of the driver that its output joins the coil to: its
// return, or, where the coil's other end is on a return, its feed.
func (s *scene) switchedSide(k coil) (terminal int, found bool) {
	for _, driver := range s.bench.Parts.Drivers {
		if driver.Drive != k.drive {
			continue
		}
		if s.bench.AsIntended.Nets().Kind(k.far) == graphs.NetReturn && len(driver.Feeds) > 0 {
			return driver.Feeds[0], true
		}
		if len(driver.Returns) > 0 {
			return driver.Returns[0], true
		}
	}
	return 0, false
}

// coilOut takes a coil out of the way: unplugged, or, where a protective conductor
// ends at it, with the output's one wire lifted.
func (s *scene) coilOut(k coil) (condition model.Condition, may bool) {
	kept := s.bench.LeftInPlace()
	if !kept.Device(k.device) {
		return model.Condition{Kind: model.Unplugged, Device: k.device}, true
	}
	wires := explain.WiresAt(s.bench.AsDrawn, k.drive)
	if len(wires) != 1 || kept.Element(wires[0]) {
		return model.Condition{}, false
	}
	return model.Condition{Kind: model.Lifted, Wire: s.bench.Machine.Wires[wires[0]].Name}, true
}

// askEarth asks whether a 0 V floats against earth at all: dead, in ohms. The AC
// between the two that leakage makes may be more than anybody is sent to probe.
func (s *scene) askEarth(c *Candidate) *question {
	at := s.ownOutput(c)
	if at < 0 {
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
	slices.SortFunc(earths, func(x, y int) int { return model.CompareRefs(s.bench.AsIntended.Ref(x), s.bench.AsIntended.Ref(y)) })
	zero := s.bench.Parts.Supplies[at].Returns[0]
	return &question{
		red: zero, black: earths[0], mode: model.ModeOhms,
		innocent: Answer{"Under about 0.5 ohm", "the 0 V is bonded to earth: no leakage lifts it"},
		guilty:   Answer{"More, or OL", "it floats, and filters may lift it: bond it as the supply's manual says, 0 V joined before data"},
		told: func(r model.Reading, red, black int) (evidence, text string) {
			nets := s.bench.AsIntended.Nets()
			there := nets.Same(red, zero) && s.meetsEarth(black) || nets.Same(black, zero) && s.meetsEarth(red)
			if r.Mode != model.ModeOhms || !there {
				return "", ""
			}
			text = fmt.Sprintf("%s to %s: %s", r.Red, r.Black, judge.ValueText(r))
			if r.Value.Kind == model.ShowsNumber && r.Value.Number-s.bench.Settings.LeadOhms < judge.MetalBelowOhms {
				return "earthed-read", text
			}
			return "floats-read", text
		},
	}
}

// askOffRail measures the rail of a failed device with its own supply off and the one
// that is suspected on.
func (s *scene) askOffRail(c *Candidate) *question {
	for _, exposure := range c.Exposed {
		if s.witnesses[exposure.Witness].Health != model.HealthFailed {
			continue
		}
		for _, at := range s.feeding[exposure.Witness] {
			supply := s.bench.Parts.Supplies[at]
			off, may := s.switchesOff(supply.Device, c.Place.Device)
			if !may || len(supply.Returns) == 0 {
				continue
			}
			bound := s.weights.Bound("back-feed-volts")
			shown := model.Figures(bound) + " V"
			return &question{
				red: supply.Rail, black: supply.Returns[0], mode: model.ModeVoltsDC, conditions: []model.Condition{off},
				innocent: Answer{"Under " + shown, "nothing feeds it while it is off"},
				guilty:   Answer{shown + " or more", "it is fed over a signal: pull signal and USB leads one at a time, the one that drops it is the way"},
				told: func(r model.Reading, red, black int) (evidence, text string) {
					there, sign := s.outputAt(supply.Device, red, black)
					if r.Mode != model.ModeVoltsDC || sign == 0 || there.Rail != supply.Rail || !slices.Contains(r.Conditions, off) {
						return "", ""
					}
					text = fmt.Sprintf("%s V on the rail of %s with %s", model.NotedFigures(r.Value.Number), supply.Device, off)
					if math.Abs(r.Value.Number) >= bound {
						return "off-rail-high", text
					}
					return "off-rail-low", text
				},
			}
		}
	}
	return nil
}

// switchesOff is what parts one supply from its mains and leaves another one on: a
// contact ahead of the one only, the first by name.
func (s *scene) switchesOff(off, on string) (condition model.Condition, found bool) {
	c := s.bench.AsDrawn
	var best graphs.Element
	for id, e := range c.Elements {
		if e.Kind != graphs.Contact || e.Row < 0 || !s.aheadOf(id, off) || s.aheadOf(id, on) {
			continue
		}
		if !found || model.Compare(s.bench.Machine.Links[e.Row].Place(), s.bench.Machine.Links[best.Row].Place()) < 0 {
			best, found = e, true
		}
	}
	if !found {
		return model.Condition{}, false
	}
	link := s.bench.Machine.Links[best.Row]
	return model.Condition{Kind: model.ContactOpen, Device: link.Device, From: link.From, To: link.To}, true
}

// aheadOf says whether a supply's line hangs on its inlet by one contact.
func (s *scene) aheadOf(contact int, device string) bool {
	m := s.bench.Machine
	for line, terminal := range m.Terminals {
		if terminal.Device != device || terminal.Role != model.RoleLine {
			continue
		}
		for inlet, other := range m.Terminals {
			plug, _ := m.Device(other.Device)
			if other.Role == model.RoleLine && plug.Kind.Known() == model.KindMainsInlet && s.mains().Joined(line, inlet) && s.mains().Parts(contact, line, inlet) {
				return true
			}
		}
	}
	return false
}

// mains are the blocks of everything that a builder follows, contacts in any position.
func (s *scene) mains() *graphs.Blocks {
	if s.mainsWays == nil {
		s.mainsWays = s.bench.AsDrawn.Blocks(graphs.Element.Walks)
	}
	return s.mainsWays
}

// askPlug reads from a failed device's feed through the plug to the pin that its
// supply feeds.
func (s *scene) askPlug(c *Candidate) *question {
	for _, at := range c.beyond {
		for _, load := range s.loads[at] {
			feed := s.bench.Parts.Loads[load].Feed
			for _, supply := range s.bench.Feeding(load) {
				rail := s.bench.Parts.Supplies[supply].Rail
				if !s.metal.Joined(feed, rail) {
					continue
				}
				for _, id := range s.metal.BridgesBetween(feed, rail) {
					e := s.bench.AsIntended.Elements[id]
					if e.Kind == graphs.Wire || s.bench.Machine.Terminals[e.A].Device != c.Place.Device {
						continue
					}
					pin := e.A
					if !s.metal.Parts(id, feed, pin) { // it is the pin on the load's side
						pin = e.B
					}
					return s.plugQuestion(feed, pin, id)
				}
			}
		}
	}
	return nil
}

func (s *scene) plugQuestion(feed, pin, link int) *question {
	limit := s.mostOhms(feed, pin)
	return &question{
		red: feed, black: pin, mode: model.ModeOhms,
		innocent: Answer{fmt.Sprintf("Up to about %s ohm", limit), "plus arrives where it belongs; was the plug mated the other way round once? Key it"},
		guilty:   Answer{"More, or OL", "plus does not arrive on its pin: find where it does, pin by pin, before anything is mated"},
		told: func(r model.Reading, red, black int) (evidence, text string) {
			if r.Mode != model.ModeOhms || len(r.Conditions) > 0 || !s.runsOver(red, black, link) || s.bench.Judge().Judge(r).Outcome != judge.Agrees {
				return "", ""
			}
			return "polarity-right", fmt.Sprintf("%s to %s: %s", r.Red, r.Black, judge.ValueText(r))
		},
	}
}
