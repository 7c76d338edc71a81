package probing

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

// Planner proposes one probe after another. It reads the session's machine and
// readings; after the session took a reading, Next looks at what changed. It is
// not safe for use by several goroutines.
type Planner struct {
	session *faults.Session
	options Options
	skips
	mapping      bool    // mapping began: it goes on until nothing is left to look for
	charting     *survey // what mapping keeps from one answer to the next
	confirming   *confirming
	skippedLooks map[string]bool // by device and conditions
	held         *Probe          // where the tips are now
	only         map[int]bool    // elements that verifying is limited to; nil: all
	joined       map[[2]int]bool // nets of Bench.Apart that may be joined, which verifying leaves for a search
	*view
}

// New returns a planner over a session.
func New(session *faults.Session, options Options) *Planner {
	return &Planner{session: session, options: options, skips: newSkips()}
}

// Next returns the probe worth making now. Cost: a look at the net or the group
// of suspects that it is about.
func (p *Planner) Next() Proposal {
	if live, is := p.session.Report().Live(); is {
		return handsOff(live)
	}
	p.look()
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

// view is what the planner works out of one state of the map. An edit of the
// map makes another.
type view struct {
	bench   *faults.Bench
	machine *model.Machine
	judge   *judge.Judge
	explain *explain.Explainer
	circuit *graphs.Circuit // at rest

	links     coverage
	bypasses  map[int]judge.Sight // by element: what lies beside it
	beside    map[int]bool        // elements that what lies beside them hides
	provable  map[touch]model.Mode
	predicted map[predictKey]judge.Sight
	bridges   map[touch]map[int]bool
	pulled    map[touch]model.Conditions // by touch: what is pulled to prove its nets apart; nil: nothing does
	tellings  map[int][]int              // by net of Bench.Apart: its terminals, those of sources first

	suspected []suspects
	of        *faults.Report        // that suspected was worked out after
	spent     map[*explain.Set]bool // groups, by their first set, that no touch tells apart any more
	confirmed map[string]int        // by repair: touches made to confirm it
	standing  int                   // readings that stood when spent and confirmed were filled
}

// look brings the view up to the session.
func (p *Planner) look() {
	if p.view == nil || p.bench != p.session.Bench() {
		b := p.session.Bench()
		p.view = &view{
			bench: b, machine: b.Machine, judge: p.session.Judge(), explain: p.session.Explainer(), circuit: b.Drawn,
			links: newCoverage(), bypasses: map[int]judge.Sight{}, beside: map[int]bool{}, provable: map[touch]model.Mode{},
			predicted: map[predictKey]judge.Sight{}, bridges: map[touch]map[int]bool{}, pulled: map[touch]model.Conditions{}, tellings: map[int][]int{}, spent: map[*explain.Set]bool{}, confirmed: map[string]int{},
		}
	}
	p.links.update(p.session, p.view)
}

// touch names a pair of terminals under conditions, whichever tip is where.
type touch struct {
	a, b       int
	conditions string
}

func touchOf(a, b int, conditions model.Conditions) touch {
	return touch{min(a, b), max(a, b), conditions.String()}
}
