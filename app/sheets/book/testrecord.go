package book

import (
	"context"
	"fmt"
	"strings"

	"bellout/faults/judge"
	"bellout/model"
)

// makeTestRecord prints every reading with what was to be expected and how it
// stands, and lines to fill in by hand.
func makeTestRecord(ctx context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Test record", 30)
	fl.caution(strings.TrimSpace("Ohms and continuity only with the plug out, capacitors discharged, 0 V measured on the same two points and the meter proven. Volts only on extra-low voltage. Mains and earth tests are for licensed people. " + f.bench.Staying().Everything()))
	f.instruments(fl)
	fl.para(fmt.Sprintf("Leads: %s Ω, counted in every value of ohms. A meter beeps below %s Ω. Pass: the reading agrees with the map under what was unplugged; a joint is bad that lies %s Ω above what the wires explain. "+
		"As mapped: it agrees only with a map that has a fault there. Undecided: electronics or a capacitor lie between. Verdicts are about the map, not about safety.",
		model.FormatNumber(f.settings.LeadOhms), model.FormatNumber(f.settings.BeepBelowOhms), model.FormatNumber(f.settings.JointLimitOhms)), style{size: smallSize, colour: soft})
	t := &table{size: 2.3, columns: []column{
		{title: "no.", right: true, bold: true}, {title: "when"}, {title: "red", mono: true, most: 36}, {title: "black", mono: true, most: 36}, {title: "how"}, {title: "unplugged, lifted, switched", most: 50},
		{title: "limit", most: 34}, {title: "showed", right: true, bold: true}, {title: "drift"}, {title: "verdict", most: 40}, {title: "note", most: 60},
	}}
	stale := map[int64]bool{}
	for _, n := range f.stale() {
		stale[n] = true
	}
	for i, r := range f.m.Readings {
		if i%256 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			f.progress("Test record", i, len(f.m.Readings))
		}
		t.add(say(fmt.Sprint(r.Number)), say(minute(r.At)), say(r.Red.String()), say(r.Black.String()), say(string(r.Mode)), say(r.Conditions.String()),
			say(f.limit(r)), say(shown(r)), say(string(r.Drift)), f.verdict(r, stale[r.Number]), say(r.Note))
	}
	fl.table(t)
	fl.heading("Further tests", 40)
	blank := &table{grid: true, columns: []column{{title: "when", fixed: 24}, {title: "red", fixed: 26}, {title: "black", fixed: 26}, {title: "how", fixed: 20}, {title: "unplugged, lifted, switched", fixed: 54}, {title: "limit", fixed: 24}, {title: "showed", fixed: 22}, {title: "the other way round", fixed: 28}, {title: "pass", fixed: 12}, {title: "who", fixed: 16}}}
	for range 10 {
		blank.add(make([]cell, 10)...)
		blank.rows[len(blank.rows)-1].least = 7.5
	}
	fl.table(blank)
	return nil
}

// instruments lists the meters that readings name, and what is filled in by hand.
func (f *facts) instruments(fl *flow) {
	count := map[string]int{}
	var names []string
	for _, r := range f.m.Readings {
		if r.Meter == "" {
			continue
		}
		if count[r.Meter] == 0 {
			names = append(names, r.Meter)
		}
		count[r.Meter]++
	}
	t := &table{grid: true, columns: []column{{title: "instrument", bold: true, most: 60}, {title: "readings", right: true}, {title: "serial number", fixed: 45}, {title: "lead zero, Ω", fixed: 25}, {title: "proven before", fixed: 28}, {title: "proven after", fixed: 28}, {title: "who", fixed: 25}}}
	for _, name := range append(names, "") {
		words := ""
		if name != "" {
			words = digits(count[name])
		}
		t.add(say(name), say(words), cell{}, cell{}, cell{}, cell{}, cell{})
		t.rows[len(t.rows)-1].least = 6
	}
	fl.table(t)
}

// verdict says how a reading stands.
func (f *facts) verdict(r model.Reading, stale bool) cell {
	switch {
	case !r.Stands():
		return cell{text: "struck: " + r.Struck, colour: soft}
	case stale:
		return cell{text: "stale: its path was edited since", colour: soft}
	}
	switch f.known.OutcomeOf(r.Number) {
	case judge.Agrees:
		if f.known.AsMapped(r) {
			return cell{text: "as mapped", bold: true}
		}
		return say("pass")
	case judge.Contradicts:
		return cell{text: "FAIL", bold: true, colour: alarm}
	case judge.Discovery:
		return say("new wire found")
	case judge.Undecided:
		return say("undecided")
	}
	return say("kept, not judged")
}

// limit is what the reading may show by the map.
func (f *facts) limit(r model.Reading) string {
	limits, known := f.known.Limits(r)
	if !known {
		return ""
	}
	if r.Mode == model.ModeVoltsDC {
		return limits.Text("V", r.Value)
	}
	return limits.Text("Ω", r.Value)
}

// mains says whether a terminal's net holds line or neutral.
func (f *facts) mains(terminal int) bool {
	for _, t := range f.nets.Net(terminal).Terminals {
		if role := f.machine().Terminals[t].Role; role == model.RoleLine || role == model.RoleNeutral {
			return true
		}
	}
	return false
}
