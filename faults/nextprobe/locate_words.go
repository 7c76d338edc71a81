package nextprobe

import (
	"fmt"
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/graphs"
	"bellout/model"
)

// suspectProposal puts a choice into words.
func (p *Planner) suspectProposal(s *ambiguityGroup, t tried) Proposal {
	made := p.proposal(t.red, t.black, t.mode, t.conditions)
	made.GainBits = bits(t.test.information(s.chances, s.repairs))
	made.Asked = slices.Clone(s.Surprising)
	_, share := s.leading()
	made.Reason = fmt.Sprintf("%s may explain %s; this touch splits the suspicion. About %s more to settle it.",
		p.mostLikely(s.shares, s.texts, 3), readingsText(s.Surprising), counted(math.Ceil(HuffmanLength(s.shares)), "reading"))
	if share >= knownBroken {
		repair, _ := s.leading()
		made.Reason = fmt.Sprintf("%s is the likeliest (%s) to explain %s; this touch weighs most for it or against it.", s.texts[repair], model.PercentText(share), readingsText(s.Surprising))
	}
	if t.again {
		made.Reason = "The same touch again, with firm tips: it tells a slip of the tip from a fault. " + made.Reason
	}
	for outcome, shown := range t.shown {
		chance, posterior := t.test.after(s.chances, outcome)
		if chance < 0.005 {
			continue
		}
		after := make([]float64, len(s.texts))
		for at, repair := range s.repairs {
			after[repair] += posterior[at]
		}
		made.Answers = append(made.Answers, Answer{shown.word, "then it is " + p.mostLikely(after, s.texts, 2)})
	}
	if proves := p.provenBy(t); len(proves) > 0 {
		made.Proves = proves
	}
	return made
}

// Leaves says what a touch that was proposed to search leaves likeliest, now that
// its answer is among the readings; empty for any other touch.
func (p *Planner) Leaves(asked Proposal) string {
	if asked.Goal != Locate || len(asked.Asked) == 0 {
		return ""
	}
	for _, s := range p.suspects() {
		if slices.ContainsFunc(s.Surprising, func(number int64) bool { return slices.Contains(asked.Asked, number) }) {
			return "It leaves " + p.mostLikely(s.shares, s.texts, 2) + "."
		}
	}
	return "It leaves nothing to explain: a slip of the tip, or a joint that moves."
}

// provenBy returns the wires that a good answer would prove.
func (p *Planner) provenBy(t tried) []string {
	sight := p.sight(t.red, t.black, t.conditions)
	if !sight.Metal || len(t.conditions) > 0 {
		return nil
	}
	var names []string
	good := p.goodReading(t.mode, sight)
	way := p.judge.Metal().BridgesBetween(t.red, t.black)
	for _, id := range way[:min(len(way), mostProofs)] {
		if p.circuit.Elements[id].Kind == graphs.Wire && p.tells(good, sight, p.without(t.red, t.black, nil, id)) {
			names = append(names, p.machine.Wires[id].Name)
		}
	}
	slices.SortFunc(names, model.Compare)
	return names
}

// mostLikely names the likeliest of some things with their shares.
func (p *Planner) mostLikely(shares []float64, texts []string, most int) string {
	order := make([]int, len(shares))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return explain.CompareChances(shares[b], shares[a]) })
	var names []string
	for _, at := range order[:min(most, len(order))] {
		if shares[at] >= 0.05 || len(names) == 0 {
			names = append(names, fmt.Sprintf("%s (%s)", texts[at], model.PercentText(shares[at])))
		}
	}
	if len(names) == 1 {
		return names[0]
	}
	text := names[0]
	for _, name := range names[1:] {
		text += ", or " + name
	}
	return text
}

func counted(count float64, noun string) string {
	if count <= 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%.0f %ss", count, noun)
}

func readingsText(numbers []int64) string {
	if len(numbers) == 1 {
		return fmt.Sprintf("reading %d", numbers[0])
	}
	list := make([]string, len(numbers))
	for i, number := range numbers {
		list[i] = fmt.Sprint(number)
	}
	return "readings " + listed(list, 6)
}
