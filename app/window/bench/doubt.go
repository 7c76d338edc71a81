package bench

import (
	"fmt"
	"strings"

	"bellout/app/desk"
	"bellout/faults/judge"
	"bellout/model"
)

// doubt asks about a reading that was probably not meant so; empty if there is
// no doubt.
func (b *Bench) doubt(entry desk.Entry) string {
	var list []string
	for _, ask := range []string{b.liveDoubt(entry), b.placeDoubt(entry), b.lastDoubt()} {
		if ask != "" {
			list = append(list, ask)
		}
	}
	return strings.Join(list, " ")
}

// lastDoubt asks about what held when the file was open last.
func (b *Bench) lastDoubt() string {
	var list []string
	for _, condition := range b.desk.HeldIn(desk.HeldLast) {
		list = append(list, conditionWords(condition))
	}
	if len(list) == 0 {
		return ""
	}
	return "Not stored yet: from last time " + judge.ListText(list, 3) + ". Enter again if it is still so; F11 clears what is from last time."
}

// placeDoubt asks where the reading was probably taken elsewhere.
func (b *Bench) placeDoubt(entry desk.Entry) string {
	now := b.touch()
	if now.stage == proposed {
		probe := now.proposal.Probe
		where := fmt.Sprintf("still noted on %s and %s", b.desk.Tip(desk.Red), b.desk.Tip(desk.Black))
		if b.desk.Tip(desk.Red) == (model.TerminalRef{}) {
			return fmt.Sprintf("Not stored yet: the tips are noted nowhere. F6 notes them on %s and %s, as proposed; then Enter.", probe.Red, probe.Black)
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
	return b.place(now.tips[desk.Red]).Mains || b.place(now.tips[desk.Black]).Mains
}
