package explain

import (
	"slices"
	"strconv"

	"bellout/graphs"
	"bellout/model"
)

// row is the pins of one device that are counted together: their marks are the
// same but for a number, as 1, 2, 3 or 1a, 2a, 3a or OUT1, OUT2.
type row struct {
	pins    map[int]int // by number: the terminal
	numbers []int       // rising
}

// mostPins is how long a row may be.
const mostPins = 200

// rowOf returns the row that a terminal stands in, and its number there; false
// where its mark has no number.
func rowOf(c *graphs.Circuit, terminal int) (r row, number int, found bool) {
	m := c.Machine
	t := m.Terminals[terminal]
	stem, number, found := numbered(t.Mark)
	if !found {
		return row{}, 0, false
	}
	r.pins = map[int]int{}
	for _, mark := range m.Marks(t.Device) {
		other, n, counted := numbered(mark)
		if !counted || other != stem {
			continue
		}
		if pin, known := m.TerminalIndex(model.TerminalRef{Device: t.Device, Mark: mark}); known {
			if _, twice := r.pins[n]; !twice { // 1 and 01
				r.numbers = append(r.numbers, n)
			}
			r.pins[n] = pin
		}
	}
	slices.Sort(r.numbers)
	return r, number, len(r.numbers) <= mostPins
}

// numbered cuts a mark at its last number; the stem is what stands before and
// after it.
func numbered(mark string) (stem string, number int, found bool) {
	end := len(mark)
	for end > 0 && !digit(mark[end-1]) {
		end--
	}
	start := end
	for start > 0 && digit(mark[start-1]) {
		start--
	}
	number, err := strconv.Atoi(mark[start:end])
	return mark[:start] + "#" + mark[end:], number, err == nil && number < 1<<20
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

func (r row) first() int { return r.numbers[0] }
func (r row) last() int  { return r.numbers[len(r.numbers)-1] }

// neighbours returns the terminals next to one on its device: the numbers before
// and after; where marks are no numbers and there are few, all others.
func neighbours(c *graphs.Circuit, terminal int) []int {
	m := c.Machine
	var list []int
	if r, number, found := rowOf(c, terminal); found && len(r.numbers) > 1 {
		at, _ := slices.BinarySearch(r.numbers, number)
		for _, beside := range [2]int{at - 1, at + 1} {
			if beside >= 0 && beside < len(r.numbers) {
				list = append(list, r.pins[r.numbers[beside]])
			}
		}
		return list
	}
	t := m.Terminals[terminal]
	marks := m.Marks(t.Device)
	if len(marks) > fewMarks {
		return nil
	}
	for _, mark := range marks {
		if other, known := m.TerminalIndex(model.TerminalRef{Device: t.Device, Mark: mark}); known && other != terminal {
			list = append(list, other)
		}
	}
	return list
}

// fewMarks: on a device of so few terminals each is beside each.
const fewMarks = 4

// RowPins returns the pins of the row that a terminal stands in, by number; none
// where its mark has no number.
func RowPins(c *graphs.Circuit, terminal int) []int {
	r, _, found := rowOf(c, terminal)
	if !found {
		return nil
	}
	list := make([]int, len(r.numbers))
	for i, number := range r.numbers {
		list[i] = r.pins[number]
	}
	return list
}
