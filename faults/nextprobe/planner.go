package nextprobe

import (
	"slices"

	"bellout/faults"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Options are what the person at the bench wants and has.
type Options struct {
	Goal  Goal   // empty: what the machine calls for
	Looks bool   // whoever asks can be sent to look at a device
	Clips bool   // there are clip leads to join nets with
	Start string // where mapping begins: a device, whose terminals come first; empty: where the tips are, or at a source
}

// Planner proposes one probe after another, from what is known of a machine. It
// keeps what no file holds: what was skipped, where the tips are, and how far a
// search has come. It is not safe for use by several goroutines.
type Planner struct {
	options Options
	skips
	mapping      mapping
	confirming   *confirming
	confirmed    map[string]int  // by repair: touches made to confirm it
	skippedLooks map[string]bool // by device and conditions
	held         *Probe          // where the tips are now
	only         map[int]bool    // elements that verifying is limited to; nil: all
	supposed     supposed        // see Again
	joined       map[[2]int]bool // nets of Bench.Apart that may be joined, which verifying leaves for a search
	*view
}

// New returns a planner that begins with a diagnosis.
func New(d *faults.Diagnosis, options Options) *Planner {
	return &Planner{options: options, skips: newSkips(), confirmed: map[string]int{}, view: newView(d)}
}

// Follow goes on with another diagnosis of the machine, after a reading, an edit,
// or whatever else happened to the file. Where readings were taken back or the map
// was edited, touches can be made again: what was confirmed is forgotten, and
// mapping looks everywhere once more.
func (p *Planner) Follow(d *faults.Diagnosis) {
	before := p.view
	p.view = newView(d)
	edited := !sameMap(before.machine, p.machine)
	if edited || p.standing < before.standing {
		clear(p.confirmed)
		p.mapping.level = 0
	}
}

// sameMap says whether two machines say the same but for readings.
func sameMap(a, b *model.Machine) bool {
	return slices.Equal(a.Wires, b.Wires) && slices.Equal(a.Links, b.Links) && slices.Equal(a.Terminals, b.Terminals) &&
		slices.Equal(a.Devices, b.Devices) && slices.Equal(a.Bonds, b.Bonds) && slices.Equal(a.SettingRows, b.SettingRows)
}

// Next returns the probe worth making now. Cost: a look at the net or the group
// of suspects that it is about.
func (p *Planner) Next() Proposal {
	if live, is := p.known.Report().Live(); is {
		return handsOff(live)
	}
	goals := []Goal{p.options.Goal}
	switch p.options.Goal {
	case "":
		goals = []Goal{Locate, Map, Verify}
		if !p.wantsMap() {
			goals = []Goal{Locate, Verify}
		}
	case Verify: // whoever chose it has it; what it ran into is located when nothing else is left
		if proposal, found := p.verifyAround(); found {
			proposal.Goal = Verify
			return p.timed(proposal).worded()
		}
		goals = []Goal{Locate, Verify}
	}
	for _, goal := range goals {
		if proposal, found := p.propose(goal); found {
			proposal.Goal = goal
			return p.timed(proposal).worded()
		}
	}
	return p.finished(goals)
}

func (p *Planner) propose(goal Goal) (Proposal, bool) {
	switch goal {
	case Locate:
		return p.locate()
	case Map:
		return p.discover()
	default:
		return p.verify()
	}
}

// Skip remembers not to ask a touch again.
func (p *Planner) Skip(probe Probe) { p.skips.add(probe) }

// Took tells the planner where the tips are after a reading, and so whether the
// touch was made that was to confirm a repair.
func (p *Planner) Took(probe Probe) {
	p.held = &probe
	if c := p.confirming; c != nil && c.probe.Red == probe.Red && c.probe.Black == probe.Black && slices.Equal(c.probe.Conditions, probe.Conditions) {
		p.confirmed[c.repair]++
	}
	p.confirming = nil
}

// view is what the planner works out of one diagnosis, when it is first asked for.
type view struct {
	known    *faults.Diagnosis
	bench    *faults.Analysis
	machine  *model.Machine
	judge    *judge.Judge
	explain  *explain.Explainer
	circuit  *graphs.Circuit // at rest
	standing int             // readings that stand

	surveyed  *survey
	links     map[int]bool           // links that readings prove
	bypasses  map[int]judge.Observed // by element: what lies beside it
	beside    map[int]bool           // elements that what lies beside them hides
	provable  map[touch]model.Mode
	predicted map[predictKey]judge.Observed
	bridges   map[touch]map[int]bool
	pulled    map[touch]model.Conditions // by touch: what is pulled to prove its nets apart; nil: nothing does
	tellings  map[int][]int              // by net of Bench.Apart: its terminals, those of sources first
	suspected []ambiguityGroup
}

func newView(d *faults.Diagnosis) *view {
	b := d.Analysis()
	v := &view{
		known: d, bench: b, machine: b.Machine, judge: d.Judge(), explain: d.Explainer(), circuit: b.AsDrawn,
		bypasses: map[int]judge.Observed{}, beside: map[int]bool{}, provable: map[touch]model.Mode{}, predicted: map[predictKey]judge.Observed{},
		bridges: map[touch]map[int]bool{}, pulled: map[touch]model.Conditions{}, tellings: map[int][]int{},
	}
	for i := range v.machine.Readings {
		if v.machine.Readings[i].Stands() {
			v.standing++
		}
	}
	return v
}

// touch names a pair of terminals under conditions, whichever tip is where.
type touch struct {
	a, b       int
	conditions string
}

func touchOf(a, b int, conditions model.Conditions) touch {
	return touch{min(a, b), max(a, b), conditions.String()}
}
