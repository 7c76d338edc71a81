package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/app/session"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// doubt asks about a reading that was probably not meant so; empty if there is
// no doubt.
func (b *Bench) doubt(entry session.Entry) string {
	var list []string
	for _, ask := range []string{b.liveDoubt(entry), b.deadDoubt(entry), b.placeDoubt(entry), b.lastDoubt()} {
		if ask != "" {
			list = append(list, ask)
		}
	}
	return strings.Join(list, " ")
}

// deadDoubt asks about next to nothing where volts belong, or where some stood that
// can hurt, while nothing is noted as unplugged: it counts as read with the machine
// on then, a supply that died or an alarm that is over.
func (b *Bench) deadDoubt(entry session.Entry) string {
	if !entry.Mode.Volts() || entry.Live() || slices.ContainsFunc(b.desk.Conditions(), func(c model.Condition) bool { return c.Kind == model.Unplugged }) {
		return ""
	}
	here := model.Reading{Red: b.desk.Tip(session.Red), Black: b.desk.Tip(session.Black), Mode: entry.Mode}
	if live, is := b.desk.View().Report.Live(); is {
		for _, number := range live.Readings {
			if r, there := b.desk.Machine().Reading(number); there && faults.SamePair(r, here) {
				return "Not stored yet: this ends the alarm, as read with the plug in. If the plug is out, note it as unplugged first (F9). Enter again stores it all the same."
			}
		}
	}
	if entry.Mode != model.ModeVoltsDC || b.expectedFor == "" || b.expectErr != nil || math.Abs(b.expected.Volts.Or(0)) < 1 {
		return ""
	}
	return fmt.Sprintf("Not stored yet: next to nothing where the map has %s V. If the plug is out, note it as unplugged first (F9): it counts as read with the machine on. Enter again stores it all the same.",
		model.MeterFigures(b.expected.Volts.Value))
}

// lastDoubt asks about what held when the file was open last.
func (b *Bench) lastDoubt() string {
	var list []string
	for _, condition := range b.desk.HeldIn(session.HeldLast) {
		list = append(list, conditionWords(condition))
	}
	if len(list) == 0 {
		return ""
	}
	return "Not stored yet: from last time " + judge.ListText(list, 3) + ". Enter again if it is still so; F11 clears what is from last time."
}

// placeDoubt asks where the reading was probably taken elsewhere.
func (b *Bench) placeDoubt(entry session.Entry) string {
	now := b.touch()
	if now.stage == proposed {
		probe := now.proposal.Probe
		where := fmt.Sprintf("still noted on %s and %s", b.desk.Tip(session.Red), b.desk.Tip(session.Black))
		if b.desk.Tip(session.Red) == (model.TerminalRef{}) {
			return fmt.Sprintf("Not saved: where are the tips? F6 puts them at %s and %s, as suggested; then Enter.", probe.Red, probe.Black)
		}
		return fmt.Sprintf("Not stored yet: the tips are %s. F6 notes them on %s and %s, as proposed; Enter again stores one more reading of the old place.",
			where, probe.Red, probe.Black)
	}
	volts := entry.Mode == model.ModeVoltsDC || entry.Mode == model.ModeVoltsAC
	if volts && b.onMains(now) {
		return judge.MainsCaution + " Not stored yet: Enter again only keeps what was read already."
	}
	return ""
}

// onMains is true where a tip is on the mains side.
func (b *Bench) onMains(now touch) bool {
	return b.place(now.tips[session.Red]).Mains || b.place(now.tips[session.Black]).Mains
}
