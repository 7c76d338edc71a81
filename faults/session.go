package faults

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bellout/faults/judge"
	"bellout/model"
)

// Session holds a machine with its circuit, its judged readings and its report,
// for readings that come one after another. A new reading touches only what it
// concerns, and the report equals one made from nothing. It is not safe for use
// by several goroutines.
//
// The order of calls: Log says what a reading means; the caller stores it, with
// the wire of a discovery, in one transaction; Stored takes it into the report.
type Session struct {
	machine *model.Machine
	bench   *Bench
	onMap   []Finding
	report  *Report
	wires   int // rows of Machine.Wires that the bench was made of
	// intended judges by the map without what joins nets by a fault; nil until
	// needed.
	intended *judge.Judge
}

// Logged is what one reading means.
type Logged struct {
	Outcome  judge.Outcome
	Message  string
	Findings []Finding // those that the reading brings; never nil
	// Discovery is the wire that the reading found, nil if none. It is to be
	// stored with the reading; what it brings, Stored returns.
	Discovery *model.Wire
}

// NewSession reads a machine and judges its readings. Cost: that of Check.
func NewSession(m *model.Machine) *Session {
	s := &Session{machine: m}
	s.Refresh()
	return s
}

// Refresh makes the report from nothing, as after an edit of the map.
func (s *Session) Refresh() {
	s.bench = NewBench(s.machine)
	s.show()
}

// show makes the report of a new bench.
func (s *Session) show() {
	s.intended = nil
	s.onMap = s.bench.mapFindings(always)
	s.report = s.bench.report(s.onMap, s.bench.explained)
	s.wires = len(s.machine.Wires)
	s.bench.evidence.explainer.Warm()
}

// Report returns the report as it stands. It is not changed later.
func (s *Session) Report() *Report { return s.report }

// Bench returns what rules look at.
func (s *Session) Bench() *Bench { return s.bench }

// Log says what a reading means, before it is stored. Nothing is changed. Both
// tips must be terminals of the machine.
func (s *Session) Log(r model.Reading) Logged {
	e := s.bench.evidence
	r.Number = s.nextNumber()
	r.Stored = 1<<62 - 1 // it comes after every edit
	w := e.weigh(r)
	logged := Logged{Outcome: w.judgement.Outcome, Message: e.judge.Say(r, w.judgement), Findings: []Finding{}}
	if e.isGap(r, w.judgement) {
		wire := s.discovered(r)
		logged.Outcome, logged.Discovery = judge.Discovery, &wire
		logged.Message = fmt.Sprintf("%s and %s are joined by metal: %s on the map now. Which way the wire runs, nobody has seen yet.", wire.From, wire.To, wire.Name)
		logged.Message = strings.TrimSpace(logged.Message + " " + e.judge.Caution(r))
		return logged
	}
	e.take(w)
	report := s.bench.report(s.onMap, e.findings())
	logged.Findings = newOnes(s.report.Findings, report.Findings)
	if w.judgement.Outcome == judge.Contradicts {
		logged.Message = strings.TrimSpace(logged.Message + " " + s.whatFollows(w, report))
	}
	if w.judgement.Outcome != judge.Contradicts {
		logged.Message = strings.TrimSpace(e.clears(s.report, report, r) + " " + logged.Message)
	}
	e.remove(r.Number)
	return logged
}

// whatFollows says which finding a contradicting reading belongs to, or what
// else to do about it. The reading must be taken in.
func (s *Session) whatFollows(w *weighed, report *Report) string {
	for _, finding := range report.Findings {
		if slices.Contains(finding.Readings, w.reading.Number) {
			return finding.Message
		}
	}
	e := s.bench.evidence
	if w.reading.Mode.Volts() {
		return "" // its own sentence says what to do
	}
	if reason := e.reason(w, e.reasons()); reason != "" {
		return reason + "."
	}
	return "No single fault explains it together with the other readings: repeat it with firm tips, then read the two halves of the way."
}

// Stored takes a reading that was stored into the report, and returns the
// findings that it brought. If its wire came with it the machine has changed: what
// that wire does not bear on is not worked out again.
func (s *Session) Stored(r model.Reading) []Finding {
	before := s.report.Findings
	switch {
	case s.oneWireCame(r):
		s.grow()
	case len(s.machine.Wires) != s.wires:
		s.Refresh()
	default:
		s.bench.evidence.add(r)
		s.update()
	}
	return newOnes(before, s.report.Findings)
}

// Struck takes a reading that was struck out, or whose storing was undone, out
// of the report.
func (s *Session) Struck(number int64) {
	s.bench.evidence.remove(number)
	s.update()
}

func (s *Session) update() {
	s.bench.explained = s.bench.evidence.findings()
	s.report = s.bench.report(s.onMap, s.bench.explained)
}

func (s *Session) nextNumber() int64 {
	next := int64(1)
	for _, r := range s.machine.Readings { // those struck out keep their numbers
		next = max(next, r.Number+1)
	}
	return next
}

// discovered returns the row that says what a reading found: metal joins its two
// terminals, which way nobody has seen. It stands from the end that is wired
// already to the one that is not.
func (s *Session) discovered(r model.Reading) model.Wire {
	from, to := r.Red, r.Black
	if red, _ := s.machine.TerminalIndex(r.Red); !s.bench.Drawn.Wired(red) {
		if black, _ := s.machine.TerminalIndex(r.Black); s.bench.Drawn.Wired(black) {
			from, to = to, from
		}
	}
	return model.Wire{Name: s.freshName(), From: from, To: to, Basis: model.BasisJoined}
}

// freshName returns a wire's name that the map does not have: W and the number
// after the highest.
func (s *Session) freshName() string {
	highest := 0
	for _, wire := range s.machine.Wires {
		if digits, plain := strings.CutPrefix(wire.Name, "W"); plain {
			if number, err := strconv.Atoi(digits); err == nil && number > highest && number < 1<<30 {
				highest = number
			}
		}
	}
	return fmt.Sprintf("W%d", highest+1)
}

// Since returns the findings of after that before does not have.
func Since(before, after []Finding) []Finding { return newOnes(before, after) }

// newOnes returns the findings of after that before does not have: another
// culprit makes a new finding, another reading or another confidence does not.
func newOnes(before, after []Finding) []Finding {
	known := map[string]bool{}
	for _, finding := range before {
		known[culpritOf(finding)] = true
	}
	list := []Finding{}
	for _, finding := range after {
		if !known[culpritOf(finding)] {
			list = append(list, finding)
		}
	}
	return list
}

func culpritOf(f Finding) string {
	first := func(list []string) string {
		if len(list) == 0 {
			return ""
		}
		return list[0]
	}
	nets := slices.Clone(f.Nets)
	slices.Sort(nets)
	return f.Rule + " " + string(f.Mode) + " " + first(f.Wires) + " " + first(f.Terminals) + " " + first(f.Devices) + " " + strings.Join(nets, ",")
}
