package faults

import (
	"fmt"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

// Unexplained are standing, fresh readings that contradict the map and that no
// finding covers, with what to do about them.
type Unexplained struct {
	Readings []int64 // rising
	Words    string
}

// unexplained returns them by what is to be done, those with the lowest number
// first and those that nothing explains last. Never nil.
func (e *evidence) unexplained(findings []Finding) []Unexplained {
	covered := map[int64]bool{}
	for _, finding := range findings {
		for _, number := range finding.Readings {
			covered[number] = true
		}
	}
	var numbers []int64
	for number := range e.odd {
		if w := e.odd[number]; !covered[number] && !(w.reading.Mode.Volts() && e.replaced(w)) {
			numbers = append(numbers, number)
		}
	}
	if len(numbers) == 0 {
		return []Unexplained{}
	}
	slices.Sort(numbers)
	reasons := e.reasons()
	byReason := map[string][]int64{}
	var order []string
	for _, number := range numbers {
		reason := e.reason(e.odd[number], reasons)
		if byReason[reason] == nil && reason != "" {
			order = append(order, reason)
		}
		byReason[reason] = append(byReason[reason], number)
	}
	if byReason[""] != nil {
		order = append(order, "")
	}
	list := make([]Unexplained, 0, len(order))
	for _, reason := range order {
		list = append(list, Unexplained{Readings: byReason[reason], Words: e.unexplainedWords(byReason[reason], reason)})
	}
	return list
}

func (e *evidence) unexplainedWords(numbers []int64, reason string) string {
	texts := make([]string, len(numbers))
	for i, number := range numbers {
		texts[i] = e.readingText(number)
	}
	contradict, them := "1 reading contradicts the map", "it"
	if len(numbers) > 1 {
		contradict, them = fmt.Sprintf("%d readings contradict the map", len(numbers)), "them"
	}
	if reason != "" {
		return fmt.Sprintf("%s: %s. %s.", contradict, judge.ListText(texts, 5), reason)
	}
	return fmt.Sprintf("%s and no fault explains %s: %s. Repeat %s with firm tips, and strike out what was a slip.", contradict, them, judge.ListText(texts, 5), them)
}

// reasons returns, by reading, what the explanations say of it that is no fault
// of the wiring.
func (e *evidence) reasons() map[int64]string {
	reasons := map[int64]string{}
	for _, explanation := range e.explainer.Explain() {
		for _, cause := range explanation.Causes {
			reason := e.noFault(cause)
			if reason == "" {
				continue
			}
			for _, number := range cause.Readings {
				if reasons[number] == "" {
					reasons[number] = reason
				}
			}
		}
	}
	return reasons
}

// noFault says what an explanation's cause means that calls for no finding: a
// contact in another position, a part of another value.
func (e *evidence) noFault(cause explain.Cause) string {
	switch cause.Fault {
	case explain.LinkClosed:
		return e.closedOnce(cause)
	case explain.PartValue:
		return sentence(fmt.Sprintf("%s has about %s where the map says %s: correct the map, or look for shorted turns", e.placeText(cause.Place),
			judge.OhmsText(cause.Ohms), judge.OhmsText(e.b.AsDrawn.Elements[cause.Element].Ohms)))
	}
	return ""
}

// reason says what to do about one reading that contradicts the map and is in no
// finding; empty where nothing but a repetition helps.
func (e *evidence) reason(w *weighed, reasons map[int64]string) string {
	r := w.reading
	red, _ := e.b.Machine.TerminalIndex(r.Red)
	black, _ := e.b.Machine.TerminalIndex(r.Black)
	if r.Mode.Volts() {
		return upperFirst(judge.VoltsMend)
	}
	if reason := reasons[r.Number]; reason != "" {
		return reason
	}
	if e.isGap(r, w.judgement) {
		return fmt.Sprintf("A wire that the map does not have may run from %s to %s: add it, or correct where one ends", r.Red, r.Black)
	}
	if free := freeOf(r.Conditions); len(free) > 0 && e.joins(r) && e.b.NetOf(red) == e.b.NetOf(black) {
		return fmt.Sprintf("There is another way round that the map lacks, or %s is not what was taken off", judge.ListText(free, 3))
	}
	return ""
}

// freeOf names what conditions take out of the way: wires that were lifted,
// devices that were unplugged.
func freeOf(conditions model.Conditions) []string {
	var names []string
	for _, condition := range conditions {
		switch condition.Kind {
		case model.Lifted:
			names = append(names, condition.Wire)
		case model.Unplugged:
			names = append(names, condition.Device)
		}
	}
	return names
}
