package nextprobe

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bellout/model"
)

// rows are terminals in the order in which people count them: the pins of a
// connector (A1, A2, A3), and the same mark of devices that are numbered one
// after another (F1:1, F2:1, F3:1).
type rows struct {
	list [][]int
	of   [][2]place // by terminal: in its device, and across devices; row -1: in none
}

type place struct{ row, at int }

// findRows lays the rows of a machine out.
func findRows(m *model.Machine) rows {
	type member struct{ terminal, number int }
	found := rows{of: make([][2]place, len(m.Terminals))}
	for which := range 2 {
		byKey := map[string][]member{}
		for t := range m.Terminals {
			found.of[t][which] = place{-1, 0}
			terminal := &m.Terminals[t]
			key, number, ok := rowKey(terminal, which)
			if ok {
				byKey[key] = append(byKey[key], member{t, number})
			}
		}
		keys := make([]string, 0, len(byKey))
		for key, list := range byKey {
			if len(list) > 1 {
				keys = append(keys, key)
			}
		}
		slices.Sort(keys)
		for _, key := range keys {
			list := byKey[key]
			slices.SortFunc(list, func(a, b member) int { return cmp.Compare(a.number, b.number) })
			row := make([]int, len(list))
			for at, one := range list {
				row[at] = one.terminal
				found.of[one.terminal][which] = place{len(found.list), at}
			}
			found.list = append(found.list, row)
		}
	}
	return found
}

// rowKey names the row of a terminal and its number in it: that of its mark in
// its device (0), or that of its device's reference (1).
func rowKey(t *model.Terminal, which int) (key string, number int, ok bool) {
	if which == 0 {
		before, number, after, ok := splitNumber(t.Mark)
		return t.Device + ":" + before + "#" + after, number, ok
	}
	before, number, after, ok := splitNumber(t.Device)
	return before + "#" + after + ":" + t.Mark, number, ok
}

// splitNumber parts a mark at its first number: A12b into A, 12 and b.
func splitNumber(mark string) (before string, number int, after string, ok bool) {
	first := strings.IndexAny(mark, "0123456789")
	if first < 0 {
		return "", 0, "", false
	}
	end := first
	for end < len(mark) && mark[end] >= '0' && mark[end] <= '9' {
		end++
	}
	number, err := strconv.Atoi(mark[first:end])
	return mark[:first], number, mark[end:], err == nil && end-first < 9
}

// numbered is a mark in letters and number; -1: it has none.
type numbered struct {
	letters string
	number  int
}

func numberMarks(m *model.Machine) []numbered {
	list := make([]numbered, len(m.Terminals))
	for t := range m.Terminals {
		before, number, after, ok := splitNumber(m.Terminals[t].Mark)
		if !ok {
			before, number, after = m.Terminals[t].Mark, -1, ""
		}
		list[t] = numbered{before + after, number}
	}
	return list
}

// at returns the terminal that many places from a place; -1 if the row ends
// before.
func (r *rows) at(from place, steps int) int {
	if from.row < 0 || from.at+steps < 0 || from.at+steps >= len(r.list[from.row]) {
		return -1
	}
	return r.list[from.row][from.at+steps]
}

const (
	mostLag  = 4  // pins from one to the next of the same net that are looked for: feed, return, signal, shield
	rowSight = 12 // places each way from which the rhythm of a row is learnt
)

// guess is what the order of pins says of a class: so much likelier, and so
// much less likely.
type guess struct {
	class       *cluster
	votes, step float64
	against     float64
}

func (g guess) factor() float64 { return math.Max(1+g.votes, 1+g.step) * g.against }

// inOrder returns what the order of pins says of a class: by the rhythm of its
// rows, and by those beside it whose partners are known.
func (s *survey) inOrder(c *cluster) []guess {
	var list []guess
	find := func(target *cluster) *guess {
		for i := range list {
			if list[i].class == target {
				return &list[i]
			}
		}
		list = append(list, guess{class: target, against: 1})
		return &list[len(list)-1]
	}
	const most = 8
	looked := 0
	for _, t := range c.terminals {
		if s.wired[t] > 0 {
			continue
		}
		if looked++; looked > most {
			break
		}
		for which, from := range s.rows.of[t] {
			if from.row >= 0 {
				s.byRhythm(c, which, from, find)
				s.byStep(c, from, find)
			}
		}
	}
	return list
}

// byRhythm: every second pin of this connector is 0 V, so this one is too.
func (s *survey) byRhythm(c *cluster, which int, from place, find func(*cluster) *guess) {
	for lag := 1; lag <= mostLag; lag++ {
		same, known := 0.0, 0.0
		for steps := -rowSight; steps+lag <= rowSight; steps++ {
			a, b := s.rows.at(from, steps), s.rows.at(from, steps+lag)
			if a < 0 || b < 0 || s.class[a] == c || s.class[b] == c || s.untouched(a) || s.untouched(b) {
				continue
			}
			known++
			if s.class[a] == s.class[b] {
				same++
			}
		}
		rate := (same + 2*s.rhythm[which][lag].sameNet()) / (known + 2)
		for _, side := range [2]int{-lag, lag} {
			t := s.rows.at(from, side)
			if t < 0 || s.class[t] == c {
				continue
			}
			beside := s.class[t]
			if !s.untouched(t) {
				g := find(beside)
				g.votes = math.Max(g.votes, 0) + 20*rate*rate/float64(lag)
			}
			if len(beside.apart) <= mostApart {
				for other := range beside.apart {
					if other != c {
						g := find(other)
						g.against = math.Min(g.against, 1-0.8*rate)
					}
				}
			}
		}
	}
}

// sameNet is how often two pins so many places apart are on one net.
func (t frequency) sameNet() float64 { return (t.hits + 2) / (t.all + 5) }

// learnRhythm takes in that a terminal found its net.
func (s *survey) learnRhythm(t int) {
	for which, from := range s.rows.of[t] {
		for lag := 1; lag <= mostLag && from.row >= 0; lag++ {
			for _, side := range [2]int{-lag, lag} {
				beside := s.rows.at(from, side)
				if beside < 0 || s.untouched(beside) {
					continue
				}
				b := &s.rhythm[which][lag]
				b.all++
				if s.class[beside] == s.class[t] {
					b.hits++
				}
			}
		}
	}
}

// mostApart is how many classes a pin was found apart from that are looked at.
const mostApart = 6

func (s *survey) untouched(t int) bool { return s.class[t].wires == 0 }

// byStep: pin 3 went to terminal 7, so pin 4 goes to terminal 8.
func (s *survey) byStep(c *cluster, from place, find func(*cluster) *guess) {
	const mostMates = 8
	for _, steps := range [6]int{-1, 1, -2, 2, -3, 3} {
		beside := s.rows.at(from, steps)
		if beside < 0 || s.untouched(beside) || s.class[beside] == c {
			continue
		}
		mates := s.class[beside].terminals
		if len(mates) > mostMates {
			continue // it is a bar
		}
		near := 6.0 / float64(max(steps, -steps))
		for _, mate := range mates {
			if s.deviceOf[mate] == s.deviceOf[beside] {
				continue
			}
			for _, to := range s.rows.of[mate] {
				if to.row < 0 || to.row == from.row {
					continue
				}
				for _, slope := range [4]int{1, 2, 3, -1} {
					factor := near
					if slope != 1 {
						factor /= 3
					}
					if target := s.rows.at(to, -steps*slope); target >= 0 {
						if s.confirmed(from, steps, to, slope) {
							factor = 3 * near
						}
						if s.class[target] != c {
							g := find(s.class[target])
							g.step = math.Max(g.step, factor)
						}
					}
				}
			}
		}
	}
}

// confirmed says whether one more pair beside bears a step out.
func (s *survey) confirmed(from place, steps int, to place, slope int) bool {
	further := steps + 1
	if steps < 0 {
		further = steps - 1
	}
	a, b := s.rows.at(from, further), s.rows.at(to, (further-steps)*slope)
	return a >= 0 && b >= 0 && s.class[a] == s.class[b] && !s.untouched(a)
}
