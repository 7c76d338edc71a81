package changes

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/graphs"
	"bellout/model"
)

// Check is one probe that verifies something again.
type Check struct {
	Probe  nextprobe.Probe `json:"probe"`
	Proves []string        `json:"proves"` // wires; never nil
	// Because says what the change has to do with it, never empty.
	Because []string `json:"because"`
	Why     string   `json:"why"` // the whole of it: what for, what each answer means, what to mind
	// Proposal is the same for the bench.
	Proposal nextprobe.Proposal `json:"-"`
}

// Again is what has to be verified again after a change. Lists are never nil.
type Again struct {
	Checks []Check `json:"checks"`
	// Left are wires, and pairs of terminals, that have to be verified and that no
	// touch which may be asked for proves.
	Left []Left `json:"left"`
	// Live says why there are no checks: volts that can hurt stand somewhere.
	Live string `json:"live,omitempty"`
}

// Left is one of them, and why it has to be verified.
type Left struct {
	What string `json:"what"` // the wire, or the two terminals
	Why  string `json:"why"`
}

// Empty says whether nothing has to be verified again.
func (a *Again) Empty() bool { return len(a.Checks)+len(a.Left) == 0 }

// Again lists what has to be verified again after the change from one side to
// the other, and by which probes, one after another: every wire that is new, moved
// or of other copper, every wire at a device that was replaced or at a link that
// changed, every wire that was proven and no longer is; the ends of wires that were
// taken out, which must be apart now; and nets that were proven apart, or that
// something new joined, against those that they must not meet. Mains-side wires are
// probed in ohms only, the plug out. Error: that of ctx.
func (s *Sides) Again(ctx context.Context) (*Again, error) {
	t := newTouched(s)
	again := &Again{Checks: []Check{}, Left: []Left{}}
	if len(t.wires)+len(t.apart) == 0 {
		return again, nil
	}
	trial, err := s.trial(t)
	if err != nil {
		return nil, err
	}
	known, err := faults.DiagnoseInSteps(ctx, trial, nil)
	if err != nil {
		return nil, err
	}
	if live, is := known.Report().Live(); is {
		again.Live = live.Headline + ". " + live.Advice
	}
	for _, pair := range nextprobe.Separable(known, t.mustStayApart) {
		t.addApart(pair, t.whyApart(pair))
	}
	result, err := nextprobe.Again(ctx, known, nextprobe.Scope{Wires: t.names(), Apart: t.apartPairs})
	if err != nil {
		return nil, err
	}
	for _, proposal := range result.Proposals {
		again.Checks = append(again.Checks, t.check(proposal))
	}
	for _, wire := range result.Wires {
		again.Left = append(again.Left, Left{What: wire, Why: strings.Join(t.wires[wire], "; ")})
	}
	for _, pair := range result.Apart {
		again.Left = append(again.Left, Left{What: fmt.Sprintf("%s apart from %s", pair[0], pair[1]), Why: strings.Join(t.apart[pair], "; ")})
	}
	return again, nil
}

// trial is the machine after the change, in which readings from before it prove
// nothing that the change touched.
func (s *Sides) trial(t *touched) (*model.Machine, error) {
	trial := s.After.Clone()
	since := map[int64]bool{}
	for _, r := range s.rows.Readings.Added {
		since[r.Number] = true
	}
	strike := map[int64]bool{}
	for name := range t.wires {
		for _, number := range s.is.ProvenBy(name) {
			if !since[number] {
				strike[number] = true
			}
		}
	}
	var changes []model.Change
	for _, r := range trial.Readings {
		if strike[r.Number] {
			struck := r
			struck.Struck = "from before the change"
			changes = append(changes, model.Change{Before: r, After: struck})
		}
	}
	return trial, trial.Apply(model.Edit{What: "trial", Changes: changes})
}

// touched is what a change has to do with: by wire, and by pair of terminals,
// the reasons.
type touched struct {
	s          *Sides
	wires      map[string][]string
	apart      map[[2]model.TerminalRef][]string
	apartPairs [][2]model.TerminalRef       // in order
	joined     map[model.TerminalRef]string // terminals at which something new joins, and what
	wasNets    *graphs.Nets
}

func newTouched(s *Sides) *touched {
	t := &touched{s: s, wires: map[string][]string{}, apart: map[[2]model.TerminalRef][]string{}, joined: map[model.TerminalRef]string{}, wasNets: s.was.Analysis().AsIntended.Nets()}
	rows := s.rows
	for _, w := range rows.Wires.Added {
		t.add(w.Name, w.Name+" is new")
		t.joins(w.Name+" is new", w.From, w.To)
	}
	for _, p := range rows.Wires.Moved {
		why := fmt.Sprintf("%s was moved, from %s to %s", p.After.Name, ends(p.Before), ends(p.After))
		t.add(p.After.Name, why)
		t.joins(why, p.After.From, p.After.To)
		t.addApart([2]model.TerminalRef{p.Before.From, p.Before.To}, why+": where it was, nothing may join any more")
	}
	for _, p := range rows.Wires.Changed {
		if p.Before.Gauge != p.After.Gauge || p.Before.LengthMetres != p.After.LengthMetres {
			t.add(p.After.Name, p.After.Name+" is another piece: "+fields(p.Fields))
		}
	}
	for _, w := range rows.Wires.Removed {
		if w.Basis == model.BasisJoined {
			continue // no wire went: somebody has seen now how the two are joined, or it was a slip
		}
		t.addApart([2]model.TerminalRef{w.From, w.To}, w.Name+" was taken out")
	}
	for _, l := range rows.Links.Added {
		t.link(l, fmt.Sprintf("the link %s of %s is new", l.Place(), l.Device))
	}
	for _, p := range rows.Links.Changed {
		t.link(p.After, fmt.Sprintf("the link %s changed: %s", p.After.Place(), fields(p.Fields)))
	}
	for _, l := range rows.Links.Removed {
		if l.Joins() && l.Kind != model.LinkContact {
			t.addApart([2]model.TerminalRef{l.FromRef(), l.ToRef()}, fmt.Sprintf("the link %s was taken out", l.Place()))
		}
	}
	for _, p := range rows.Devices.Replaced {
		t.device(p.After.Ref, called(p.After)+" was replaced or put right: its joints were undone")
	}
	for _, p := range rows.Devices.Changed {
		if wasReplaced(p.Before, p.After) {
			t.device(p.After.Ref, called(p.After)+" was replaced: its joints were undone")
		}
	}
	t.noLongerProven()
	return t
}

func (t *touched) names() []string {
	names := make([]string, 0, len(t.wires))
	for name := range t.wires {
		names = append(names, name)
	}
	slices.SortFunc(names, model.Compare)
	return names
}

// add notes a wire that is in the machine.
func (t *touched) add(wire, why string) {
	if w, there := t.s.After.Wire(wire); there && w.Runs() && !slices.Contains(t.wires[wire], why) {
		t.wires[wire] = append(t.wires[wire], why)
	}
}

func (t *touched) joins(why string, at ...model.TerminalRef) {
	for _, ref := range at {
		if t.joined[ref] == "" {
			t.joined[ref] = why
		}
	}
}

// addApart notes two terminals that must not be joined any more.
func (t *touched) addApart(pair [2]model.TerminalRef, why string) {
	if model.CompareRefs(pair[0], pair[1]) > 0 {
		pair[0], pair[1] = pair[1], pair[0]
	}
	if len(t.apart[pair]) == 0 {
		t.apartPairs = append(t.apartPairs, pair)
	}
	if !slices.Contains(t.apart[pair], why) {
		t.apart[pair] = append(t.apart[pair], why)
	}
}

// link notes the wires at both ends of a link that metal joins now.
func (t *touched) link(l model.Link, why string) {
	if !l.Kind.Metal() {
		return
	}
	for _, w := range t.s.After.Wires {
		if w.From == l.FromRef() || w.To == l.FromRef() || w.From == l.ToRef() || w.To == l.ToRef() {
			t.add(w.Name, why)
		}
	}
	if l.Joins() {
		t.joins(why, l.FromRef(), l.ToRef())
	}
}

func (t *touched) device(ref, why string) {
	for _, w := range t.s.After.Wires {
		if w.From.Device == ref || w.To.Device == ref {
			t.add(w.Name, why)
		}
	}
}

// noLongerProven notes the wires that readings proved before, and none does now.
func (t *touched) noLongerProven() {
	for _, w := range t.s.After.Wires {
		was := t.s.was.ProvenBy(w.Name)
		if w.Removed || len(was) == 0 || len(t.s.is.ProvenBy(w.Name)) > 0 {
			continue
		}
		numbers := make([]string, len(was))
		for i, number := range was {
			numbers[i] = fmt.Sprint(number)
		}
		t.add(w.Name, fmt.Sprintf("%s was proven by reading %s, which no longer holds", w.Name, strings.Join(numbers, ", ")))
	}
}

// mustStayApart says of two nets of the machine after the change, that must be
// apart and are not proven so, whether the change has to do with it.
func (t *touched) mustStayApart(a, b *graphs.Net) bool {
	return t.joinedIn(a) != "" || t.joinedIn(b) != "" || t.wereApart(a, b)
}

func (t *touched) joinedIn(net *graphs.Net) string {
	for _, at := range net.Terminals {
		if why := t.joined[t.s.After.Terminals[at].Ref()]; why != "" {
			return why
		}
	}
	return ""
}

// wereApart says whether readings proved two nets apart before the change.
func (t *touched) wereApart(a, b *graphs.Net) bool {
	one, two := t.before(a), t.before(b)
	if one < 0 || two < 0 || one == two {
		return false
	}
	proven, _ := t.s.was.ApartProven(one, two)
	return proven
}

// before returns the net of before that holds the first terminal of a net which
// was there then; -1 if none was.
func (t *touched) before(net *graphs.Net) int {
	for _, at := range net.Terminals {
		if row, there := t.s.Before.TerminalIndex(t.s.After.Terminals[at].Ref()); there {
			return t.wasNets.Of[row]
		}
	}
	return -1
}

func (t *touched) whyApart(pair [2]model.TerminalRef) string {
	nets := t.s.is.Analysis().AsIntended.Nets()
	var list [2]*graphs.Net
	for i, ref := range pair {
		at, _ := t.s.After.TerminalIndex(ref)
		list[i] = nets.Net(at)
	}
	for _, net := range list {
		if why := t.joinedIn(net); why != "" {
			return why
		}
	}
	return fmt.Sprintf("the reading that proved %s apart from %s no longer holds", list[0].Name, list[1].Name)
}

// check adds to a proposal what the change has to do with it.
func (t *touched) check(proposal nextprobe.Proposal) Check {
	c := Check{Probe: *proposal.Probe, Proves: proposal.Proves, Because: []string{}}
	for _, wire := range proposal.Proves {
		for _, why := range t.wires[wire] {
			if !slices.Contains(c.Because, why) {
				c.Because = append(c.Because, why)
			}
		}
	}
	if len(c.Because) == 0 {
		pair := [2]model.TerminalRef{proposal.Probe.Red, proposal.Probe.Black}
		if model.CompareRefs(pair[0], pair[1]) > 0 {
			pair[0], pair[1] = pair[1], pair[0]
		}
		c.Because = append(c.Because, t.apart[pair]...)
	}
	because := "After the change: " + strings.Join(c.Because, "; ") + "."
	proposal.Reason = because + " " + proposal.Reason
	proposal.Why = because + " " + proposal.Why
	c.Why, c.Proposal = proposal.Why, proposal
	return c
}
