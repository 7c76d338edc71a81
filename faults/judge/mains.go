package judge

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// MainsCaution goes with every reading that has a tip on the mains side.
const MainsCaution = "Mains side: plug out, proven dead, ohms only, never a live probe. Work there is for licensed people, and local codes come first."

// OnMains says whether line or neutral gets to a terminal, through contacts in any
// position. Nobody is told what a meter shows there on a machine that is on.
func (j *Judge) OnMains(terminal int) bool {
	if j.reached == nil {
		j.reached = j.Rest.MainsReach()
	}
	return j.reached[terminal]
}

const mainsVolts = "Kept, not judged: volts of the mains side are for licensed people; Bellout asks for none and does not judge the wiring by them."

// Caution returns what to heed where a reading was taken: MainsCaution, or
// nothing.
func (j *Judge) Caution(r model.Reading) string {
	nets := j.Rest.Nets()
	for _, ref := range [2]model.TerminalRef{r.Red, r.Black} {
		t, found := j.Machine.TerminalIndex(ref)
		if found && (nets.Kind(t) == graphs.NetEarth || j.onMains(t)) {
			return MainsCaution
		}
	}
	return ""
}

// onEarth says whether a terminal is one of protective earth, or joined to nothing
// but earth.
func (j *Judge) onEarth(terminal int) bool {
	return j.Machine.Terminals[terminal].Protective() || j.Rest.Nets().Kind(terminal) == graphs.NetEarth
}

// onMains says whether the net of a terminal holds line or neutral, whatever it
// holds besides: a pole that met a rail makes the rail part of the mains.
func (j *Judge) onMains(terminal int) bool {
	return slices.ContainsFunc(j.Rest.Nets().Net(terminal).Terminals, func(t int) bool {
		role := j.Machine.Terminals[t].Role
		return role == model.RoleLine || role == model.RoleNeutral
	})
}
