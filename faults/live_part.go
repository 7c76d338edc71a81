package faults

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

const nameLivePart = "live-part"

var ruleLivePart = Rule{
	Name:  nameLivePart,
	Title: "Volts that can hurt where the map expects none",
	Why: "Above 50 V AC or 120 V DC a part is no longer extra-low voltage (IEC 61140). Such volts between any two of earth, the 0 Vs and the " +
		"extra-low side, or between neutral and one of these, mean that the mains got in, that earth or neutral is lost, or that line and neutral " +
		"are exchanged. Line to earth is what a healthy plug shows and is none, unless it is far less than line to neutral: then that earth is lost. " +
		"More than 10 V between two points of one protective earth say so too. From 25 to 50 V AC on a part that floats may be a ghost, and counts as " +
		"live until it collapses on low impedance. The finding stands until a later reading of the same two points in the same range is below 25 V AC " +
		"or 60 V DC with nothing more taken out of the machine, or the reading is struck out or its path is edited. A dead reading with the plug out " +
		"only shows that it is dead now.",
	Check: checkLivePart,
}

func checkLivePart(b *Analysis) []Finding { return b.explained[nameLivePart] }

// danger is a reading that shows volts that can hurt.
type danger struct {
	w      *weighed
	kind   judge.Danger
	beside int64 // the reading without which it would show nothing; 0
	dead   int64 // a later one that shows it dead with the plug out; 0
}

// livePartFindings makes one finding of all that is live against something in
// common: it has one cause.
func (e *evidence) livePartFindings() []Finding {
	var list []danger
	for _, number := range sortedKeys(e.volts) {
		if d, stands := e.dangerOf(e.volts[number]); stands {
			list = append(list, d)
		}
	}
	var findings []Finding
	for len(list) > 0 {
		group := e.connected(list)
		list = slices.DeleteFunc(list, func(d danger) bool { return slices.ContainsFunc(group, func(g danger) bool { return g.w == d.w }) })
		findings = append(findings, e.livePart(group))
	}
	return findings
}

// dangerOf says what a reading shows that can hurt and that no later one shows as
// gone.
func (e *evidence) dangerOf(w *weighed) (d danger, stands bool) {
	d = danger{w: w, kind: w.judgement.Danger}
	healthy := 0.0 // volts to earth from which on it is one
	if d.kind == judge.NoDanger {
		line, _, _, earth := e.judge.LineTo(w.reading)
		if !earth {
			return d, false
		}
		if d.beside, healthy = e.lineToNeutral(line, w.reading); !judge.EarthLostBeside(w.reading.Value.Number, healthy) {
			return d, false
		}
		d.kind = judge.EarthLost
	}
	for _, number := range sortedKeys(e.volts) {
		later := e.volts[number].reading
		if !SamePair(later, w.reading) || !after(later, w.reading) || later.Drift == model.DriftRising {
			continue
		}
		low := math.Abs(later.Value.Number) < e.judge.GoneBelow(d.kind, later.Mode)
		switch {
		case d.beside > 0: // line to earth: it is well where it is as high as line to neutral
			if math.Abs(later.Value.Number) > math.Abs(w.reading.Value.Number) && !judge.EarthLostBeside(later.Value.Number, healthy) {
				return d, false
			}
		case low && asWhole(later.Conditions, w.reading.Conditions):
			return d, false
		}
		switch {
		case low && e.plugOut(later.Conditions, w.reading.Conditions):
			d.dead = number
		case !low:
			d.dead = 0 // it was live again
		}
	}
	return d, true
}

// lineToNeutral returns the last reading from a line to a neutral of the same
// plug, taken in the same conditions as another one.
func (e *evidence) lineToNeutral(line int, beside model.Reading) (number int64, volts float64) {
	for _, n := range sortedKeys(e.volts) {
		r := e.volts[n].reading
		at, _, neutral, _ := e.judge.LineTo(r)
		if neutral && e.b.AsDrawn.Nets().Same(at, line) && r.Conditions.String() == beside.Conditions.String() && (number == 0 || after(r, e.volts[number].reading)) {
			number, volts = n, r.Value.Number
		}
	}
	return number, volts
}

// plugOut says whether conditions take out what brings power into the machine,
// and others do not.
func (e *evidence) plugOut(conditions, before model.Conditions) bool {
	return slices.ContainsFunc(conditions, func(c model.Condition) bool {
		return c.Kind == model.Unplugged && !slices.Contains(before, c) && e.b.bringsPower(c.Device)
	})
}

// bringsPower says whether the mains come in by a device, or a battery's volts.
func (b *Analysis) bringsPower(device string) bool {
	switch b.kindOf(device) {
	case model.KindMainsInlet, model.KindBattery:
		return true
	}
	return slices.ContainsFunc(b.Machine.Terminals, func(t model.Terminal) bool { return t.Device == device && t.Role == model.RoleLine })
}

// connected takes the first of a list and all that share a net with it, or with
// one that does.
func (e *evidence) connected(list []danger) []danger {
	nets := map[int]bool{}
	group := []danger{}
	for grew := true; grew; {
		grew = false
		for _, d := range list {
			in := slices.ContainsFunc(group, func(g danger) bool { return g.w == d.w })
			red, black := e.tips(d.w)
			if in || len(group) > 0 && !nets[e.b.NetOf(red)] && !nets[e.b.NetOf(black)] {
				continue
			}
			nets[e.b.NetOf(red)], nets[e.b.NetOf(black)] = true, true
			group = append(group, d)
			grew = true
		}
	}
	return group
}

func (e *evidence) tips(w *weighed) (red, black int) {
	red, _ = e.b.Machine.TerminalIndex(w.reading.Red)
	black, _ = e.b.Machine.TerminalIndex(w.reading.Black)
	return red, black
}

// Confidence of what volts show. Engineering judgement: a display that shows much
// is seldom a slip, and most of what floats is a ghost.
const (
	sureLive  = 0.98
	sureGhost = 0.5
)

// HandsOff is what a person does about volts that can hurt, before anything else.
const HandsOff = "Hands off, plug out, an electrician before the plug goes in again."

func (e *evidence) livePart(group []danger) Finding {
	worst := slices.MaxFunc(group, func(x, y danger) int { return int(x.kind) - int(y.kind) })
	red, black := e.liveSide(group, worst)
	d := e.b.draft(nameLivePart, Fault).blameTerminals(red, black).nets(red, black)
	dead := []int64{}
	var numbers []int64
	for _, one := range group {
		r, k := e.tips(one.w)
		d.terminals(r, k).nets(r, k)
		numbers = append(numbers, one.w.reading.Number)
		if one.beside > 0 {
			numbers = append(numbers, one.beside)
		}
		if one.dead > 0 {
			dead = append(dead, one.dead)
		}
	}
	shown := len(dead) == len(group)
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)

	part, against := e.b.Net(red).Name, e.b.Net(black).Name
	if part == against {
		part, against = e.b.name(red), e.b.name(black)
	}
	line := headline("%s is live against %s", part, against)
	var message strings.Builder
	sure := sureLive
	switch worst.kind {
	case judge.EarthLost:
		line = headline("Protective earth is lost at %s", e.b.name(red))
		fmt.Fprintf(&message, "Protective earth is lost at %s while the machine is live: whatever metal hangs on it can be live too.", e.b.name(red))
	case judge.Ghost:
		line = headline("%s may be live against %s", part, against)
		sure = sureGhost
		fmt.Fprintf(&message, "%s floats at AC volts against %s. It may be a ghost, coupled in, or the leakage of filters; it is taken as live until it collapses on low impedance.", part, against)
	default:
		fmt.Fprintf(&message, "Volts that can hurt stand between %s and %s, where the map expects none.%s", part, against, e.likelyCause(red, black))
	}
	message.WriteString(" " + e.readingsText(numbers))
	if shown {
		line = headline("%s was live against %s: the plug stays out", part, against)
		if worst.kind == judge.EarthLost {
			line = headline("Protective earth is lost at %s: the plug stays out", e.b.name(red))
		}
		message.WriteString(" It reads dead with the plug out: " + e.readingsText(dead))
	}
	finding := d.say(sure, message.String(), e.livePartAdvice(worst, shown))
	finding.Headline, finding.ShownDead = line, shown
	finding.Readings = append(numbers, dead...)
	slices.Sort(finding.Readings)
	finding.Readings = slices.Compact(finding.Readings)
	return finding
}

// liveSide returns the tips of the worst reading, what is live first: not earth,
// if one of the two is; what the others have in common.
func (e *evidence) liveSide(group []danger, worst danger) (live, against int) {
	red, black := e.tips(worst.w)
	count := map[int]int{}
	for _, one := range group {
		r, k := e.tips(one.w)
		count[e.b.NetOf(r)]++
		if e.b.NetOf(r) != e.b.NetOf(k) {
			count[e.b.NetOf(k)]++
		}
	}
	weight := func(t int) int {
		n := 2 * count[e.b.NetOf(t)]
		if e.b.role(t) == model.RoleEarth || e.b.Net(t).Kind == graphs.NetEarth {
			n-- // what is live is measured against earth, as a rule
		}
		if e.b.kindOf(e.b.device(t)) == model.KindMainsInlet {
			n-- // the plug's own end is the last to be lost
		}
		return n
	}
	if weight(black) > weight(red) || weight(black) == weight(red) && e.b.compareTerminals(black, red) < 0 {
		red, black = black, red
	}
	return red, black
}

// likelyCause says what mostly makes such volts between two sides.
func (e *evidence) likelyCause(red, black int) string {
	if e.b.NetOf(red) == e.b.NetOf(black) {
		return " The map joins the two: that join is lost, and the mains got into one side."
	}
	kinds := [2]graphs.NetKind{e.b.Net(red).Kind, e.b.Net(black).Kind}
	neutral, earth := slices.Contains(kinds[:], graphs.NetNeutral), slices.Contains(kinds[:], graphs.NetEarth)
	switch {
	case neutral && earth:
		return " Line and neutral are exchanged (a plug that goes in both ways does it), or the neutral is open before the machine."
	case neutral:
		return " The mains got into the extra-low side, or line and neutral are exchanged."
	case earth:
		return " The mains got into one of them, earth is lost, or a filter lifts what floats."
	default:
		return " The mains, or another machine, got into one of them."
	}
}

func (e *evidence) livePartAdvice(worst danger, shown bool) string {
	r := worst.w.reading
	limit := fmt.Sprintf("%s V", model.MeterFigures(e.judge.GoneBelow(worst.kind, r.Mode)))
	clear := fmt.Sprintf("It ends when someone qualified reads %s to %s below %s in the same range, everything plugged in; strike the reading out if it was a slip of the tips.", r.Red, r.Black, limit)
	if worst.beside > 0 {
		clear = fmt.Sprintf("It ends when someone qualified reads %s to %s as high as line to neutral; strike the reading out if it was a slip of the tips.", r.Red, r.Black)
	}
	if shown {
		return "The plug stays out until an electrician has found why. Dead tests go on meanwhile, live ones do not. " + clear
	}
	text := HandsOff + " Touch no metal on the way to the plug; if it cannot be reached, switch off at the breaker. Batteries and other plugs off too."
	if worst.kind == judge.Ghost {
		text += " A two-pole tester or a low-impedance range shows whether it is a ghost: it collapses then."
	}
	return text + " " + e.deadTestText(r) + " " + clear
}

// clears says what a reading does to the alarm about the same two points; empty
// where there is none.
func (e *evidence) clears(before, after *Report, r model.Reading) string {
	about := func(f Finding) (number int64, is bool) {
		for _, n := range f.Readings {
			w, known := e.weighed[n]
			if known && f.Rule == nameLivePart && n != r.Number && SamePair(w.reading, r) {
				return n, true
			}
		}
		return 0, false
	}
	was := slices.IndexFunc(before.Findings, func(f Finding) bool { _, is := about(f); return is })
	if was < 0 {
		return ""
	}
	number, _ := about(before.Findings[was])
	for _, f := range after.Findings {
		if _, is := about(f); !is {
			continue
		}
		if f.ShownDead {
			return "It is dead with the plug out. The plug stays out until an electrician has found why."
		}
		return fmt.Sprintf("Reading %d still stands: hands off, plug out.", number)
	}
	return fmt.Sprintf("That ends the alarm of reading %d, as read with the plug in.%s", number, e.elseUnplugged())
}

// elseUnplugged says what to do where a reading was taken with the plug out and
// nobody noted it.
func (e *evidence) elseUnplugged() string {
	for _, device := range sortedRefs(e.b.Machine.Devices) {
		if e.b.kindOf(device) == model.KindMainsInlet {
			return fmt.Sprintf(" If it was out, strike this one out and note it with \"unplugged %s\": nothing is mended by it.", device)
		}
	}
	return ""
}

// deadTestText says how the reading that shows it dead is noted.
func (e *evidence) deadTestText(r model.Reading) string {
	for _, device := range sortedRefs(e.b.Machine.Devices) {
		if e.b.kindOf(device) == model.KindMainsInlet {
			return fmt.Sprintf("What reads dead with the plug out is noted with \"unplugged %s\".", device)
		}
	}
	return ""
}

func sortedRefs(devices []model.Device) []string {
	refs := make([]string, len(devices))
	for i, device := range devices {
		refs[i] = device.Ref
	}
	slices.SortFunc(refs, model.Compare)
	return refs
}
