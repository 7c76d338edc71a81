package changes

import (
	"slices"
	"strconv"
	"strings"

	"bellout/faults"
	"bellout/model"
)

// Telling is a reading by which a finding came or went.
type Telling struct {
	Entry
	// Why says in a few words what it did, as in "brought open at W4".
	Why string
}

// readingGroups are the names of the groups of readings, as in readings_added.
const readingGroups = "readings_"

// Wiring returns the groups that are no readings: what was worked on.
func (r *Report) Wiring() []Group {
	return slices.DeleteFunc(slices.Clone(r.Groups), func(g Group) bool { return strings.HasPrefix(g.Name, readingGroups) })
}

// Readings returns the groups of readings.
func (r *Report) Readings() []Group {
	return slices.DeleteFunc(slices.Clone(r.Groups), func(g Group) bool { return !strings.HasPrefix(g.Name, readingGroups) })
}

// Telling returns the readings that changed a conclusion: one that was taken and
// stands behind a finding that came; one that no longer counts and stood behind a
// finding that went; one that was taken from end to end of what a finding that
// went had blamed. A session can bring or settle a hundred readings, and these
// are the ones to look at. Never nil, in the order of the groups.
func (s *Sides) Telling(r *Report) []Telling {
	list := []Telling{}
	for _, g := range r.Readings() {
		counts := g.Name == "readings_added" || g.Name == "readings_stood"
		for _, e := range g.Entries {
			if why := s.whyTelling(r, e, counts, g.Name == "readings_gone"); why != "" {
				list = append(list, Telling{e, why})
			}
		}
	}
	return list
}

// whyTelling says what a reading did. counts: it is evidence after, and was none
// before; gone: its number is that of before.
func (s *Sides) whyTelling(r *Report, e Entry, counts, gone bool) string {
	number, err := strconv.ParseInt(e.Name, 10, 64)
	if err != nil {
		return ""
	}
	behind := func(f faults.Finding) bool { return slices.Contains(f.Readings, number) }
	if counts {
		if at := slices.IndexFunc(r.New, behind); at >= 0 {
			return "brought " + blamed(r.New[at])
		}
		between := func(f faults.Finding) bool { return s.across(f, e.Terminals) }
		if at := slices.IndexFunc(r.Gone, between); at >= 0 {
			return "settled " + blamed(r.Gone[at])
		}
		return ""
	}
	if !gone {
		number = s.numberBefore(number)
	}
	if at := slices.IndexFunc(r.Gone, behind); at >= 0 {
		return "took " + blamed(r.Gone[at]) + " with it"
	}
	return ""
}

// numberBefore returns the number that a reading of after had before: two files
// number for themselves.
func (s *Sides) numberBefore(number int64) int64 {
	is, there := s.After.Reading(number)
	if !there {
		return number
	}
	if was, there := s.Before.Reading(number); there && was.Key() == is.Key() {
		return number
	}
	for _, was := range s.Before.Readings {
		if was.Key() == is.Key() {
			return was.Number
		}
	}
	return number
}

// across says whether the tips lay on two terminals that a finding of before names,
// or on the two ends of one of its wires.
func (s *Sides) across(f faults.Finding, tips []string) bool {
	if len(tips) != 2 {
		return false
	}
	on := func(places ...string) bool {
		return slices.Contains(places, tips[0]) && slices.Contains(places, tips[1])
	}
	for _, name := range f.Wires {
		for _, m := range []*model.Machine{s.Before, s.After} {
			if w, there := m.Wire(name); there && on(w.From.String(), w.To.String()) {
				return true
			}
		}
	}
	return on(f.Terminals...)
}

// blamed is a finding in a few words: its rule and what it names first.
func blamed(f faults.Finding) string {
	for _, list := range [][]string{f.Wires, f.Terminals, f.Devices} {
		if len(list) > 0 {
			return f.Rule + " at " + list[0]
		}
	}
	return f.Rule
}
