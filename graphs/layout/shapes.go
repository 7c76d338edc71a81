package layout

import (
	"math"
	"strings"

	"bellout/model"
)

// Sizes of type, and room about it, in units.
const (
	referenceSize = 12.0
	titleSize     = 10.0
	markSize      = 10.0
	wireSize      = 9.0
	zoneSize      = 14.0

	titleWidth = 120.0 // where a title breaks
	inlineMax  = 144.0 // the widest header of a small part
	insideFrom = 24    // that many terminals without a wire stand inside

	headerLine = 16.0
	titleLine  = 12.0
)

// form is a box before it has a place: everything counts from its upper left
// corner.
type form struct {
	shape         Shape
	width, height float64
	header        float64
	seam          float64
	lines         []string // of the title
	beside        bool     // the title stands beside the reference
	rows          int
	free          bool      // ports of a side may stand in any order
	drops         []float64 // of a rail, whose rows may stand wide apart: how far each lies below the upper edge; else nil

	left, right []int // terminals from top to bottom; Strip: left only
	inside      []int
}

// spot is where a terminal's port stands on its form.
type spot struct {
	side    Side
	through bool
	row     int // of the side; for Inside the place in the grid
}

// shapeOf says how a device is drawn.
func (s *sheet) shapeOf(d int) Shape {
	switch s.devices[d].Kind.Known() {
	case model.KindFuse, model.KindBreaker, model.KindSwitch:
		return Inline
	case model.KindConnector:
		if s.mated(d) {
			return Plug
		}
		return Strip
	case model.KindTerminalBlock, model.KindSplice:
		return Strip
	case model.KindSupply, model.KindBattery, model.KindConverter, model.KindMainsInlet:
		return Source
	case model.KindSolenoid, model.KindMotor, model.KindLamp, model.KindLEDStrip, model.KindSpeaker, model.KindDisplay, model.KindSensor:
		return Load
	default:
		return Plain
	}
}

// mated says that a connector's solid links join its terminals in pairs.
func (s *sheet) mated(d int) bool {
	pairs := 0
	mate := s.mates(d)
	for t := s.first[d]; t < s.first[d+1]; t++ {
		if mate[t-s.first[d]] >= 0 {
			pairs++
		}
	}
	return pairs > 0
}

// mates returns, for each terminal of a device, the one that a link joins it
// with, as long as each has one only; -1 for the others.
func (s *sheet) mates(d int) []int {
	mate := make([]int, s.first[d+1]-s.first[d])
	for i := range mate {
		mate[i] = -1
	}
	for _, l := range s.linksOf(d) {
		a, b := l.from-s.first[d], l.to-s.first[d]
		if a == b {
			continue
		}
		for _, pair := range [][2]int{{a, l.to}, {b, l.from}} {
			if now := mate[pair[0]]; now >= 0 && now != pair[1] {
				mate[pair[0]] = -2
			} else if now == -1 {
				mate[pair[0]] = pair[1]
			}
		}
	}
	for i, m := range mate {
		if m >= 0 && mate[m-s.first[d]] != i+s.first[d] {
			mate[i] = -2
		}
	}
	for i := range mate {
		mate[i] = max(mate[i], -1)
	}
	return mate
}

// linksOf returns the links of a device; they are sorted by their terminals.
func (s *sheet) linksOf(d int) []link {
	low, high := 0, len(s.links)
	for low < high {
		if mid := (low + high) / 2; s.links[mid].from < s.first[d] {
			low = mid + 1
		} else {
			high = mid
		}
	}
	end := low
	for end < len(s.links) && s.links[end].from < s.first[d+1] {
		end++
	}
	return s.links[low:end]
}

// shape gives a device its form. votes[t] says where the wires of a terminal
// lead: below 0 to the left, above 0 to the right.
func (s *sheet) shape(d int, votes []int) *form {
	f := &form{shape: s.shapeOf(d)}
	unwired := 0
	for t := s.first[d]; t < s.first[d+1]; t++ {
		if s.degree[t] == 0 {
			unwired++
		}
	}
	hide := unwired > insideFrom
	switch f.shape {
	case Strip:
		for t := s.first[d]; t < s.first[d+1]; t++ {
			if s.degree[t] == 0 && hide {
				f.inside = append(f.inside, t)
			} else {
				f.left = append(f.left, t)
			}
		}
	case Plug, Inline:
		s.facing(d, f, votes, hide)
	default:
		f.free = true
		s.sides(d, f, votes, hide)
	}
	f.rows = max(len(f.left), len(f.right))
	s.size(d, f)
	if s.isRail(d, f) {
		f.drops = make([]float64, f.rows)
		for row := range f.drops {
			f.drops[row] = f.header + Row/2 + Row*float64(row)
		}
	}
	return f
}

// isRail says that a block is one bar, whose strips may stand where their wires
// want them.
func (s *sheet) isRail(d int, f *form) bool {
	if s.devices[d].Kind != model.KindTerminalBlock || f.rows < 2 || len(f.inside) > 0 {
		return false
	}
	for _, t := range f.left {
		if s.bar[t] != s.bar[f.left[0]] {
			return false
		}
	}
	return true
}

// facing puts mates into one row, the half whose wires lead left on the left.
func (s *sheet) facing(d int, f *form, votes []int, hide bool) {
	mate := s.mates(d)
	first, second := 0, 0
	for i, m := range mate {
		if t := s.first[d] + i; m > t {
			first += votes[t]
			second += votes[m]
		}
	}
	for i, m := range mate {
		t := s.first[d] + i
		switch {
		case m > t:
			a, b := t, m
			if first > second {
				a, b = b, a
			}
			f.left = append(f.left, a)
			f.right = append(f.right, b)
		case m >= 0:
		case s.degree[t] == 0 && hide:
			f.inside = append(f.inside, t)
		}
	}
	for i, m := range mate { // pins without a mate stand below
		t := s.first[d] + i
		if m >= 0 || s.degree[t] == 0 && hide {
			continue
		}
		if votes[t] > 0 {
			f.left, f.right = append(f.left, -1), append(f.right, t)
		} else {
			f.left, f.right = append(f.left, t), append(f.right, -1)
		}
	}
}

// sides deals terminals out by where their wires lead.
func (s *sheet) sides(d int, f *form, votes []int, hide bool) {
	for t := s.first[d]; t < s.first[d+1]; t++ {
		if s.degree[t] == 0 {
			if hide {
				f.inside = append(f.inside, t)
				continue
			}
		}
		right := votes[t] > 0
		if votes[t] == 0 {
			switch s.terminals[t].Role {
			case model.RoleRail, model.RoleDrive:
				right = true
			case model.RoleReturn:
				right = f.shape == Source
			case model.RoleSignal:
				right = s.degree[t] == 0 && len(f.left) > len(f.right)
			}
		}
		if right {
			f.right = append(f.right, t)
		} else {
			f.left = append(f.left, t)
		}
	}
}

// size measures a form.
func (s *sheet) size(d int, f *form) {
	widest := func(terminals []int) float64 {
		most := 0.0
		for _, t := range terminals {
			if t >= 0 {
				most = max(most, s.measure(clean(s.terminals[t].Mark), markSize, false))
			}
		}
		return most
	}
	body := 0.0
	switch f.shape {
	case Strip:
		body = max(32, widest(f.left)+24)
	case Inline:
		body = max(64, widest(f.left)+widest(f.right)+44)
	case Plug:
		left, right := widest(f.left)+12, widest(f.right)+12
		half := math.Ceil(max(left, right, 20)/Grid) * Grid
		body = 2 * half
	default:
		body = max(48, widest(f.left)+widest(f.right)+28)
	}
	if len(f.inside) > 0 {
		cell := s.cell(f)
		columns := max(1, math.Floor((body-Grid)/cell), math.Floor(math.Sqrt(float64(len(f.inside)))*Row/cell))
		columns = min(columns, float64(len(f.inside)))
		body = max(body, columns*cell+Grid)
	}
	device := &s.devices[d]
	reference := s.measure(clean(device.Ref), referenceSize, true)
	title := strings.Join(strings.Fields(clean(device.Title)), " ")
	switch {
	case title == "":
		f.header = headerLine
	case f.shape == Inline:
		f.beside = true
		f.lines = []string{s.cut(title, inlineMax-reference-6)}
		f.header = headerLine
	default:
		wide := s.measure(title, titleSize, false)
		if reference+6+wide <= max(body, titleWidth) {
			f.beside = true
			f.lines = []string{title}
			f.header = headerLine
		} else {
			f.lines = s.wrap(title, max(body, titleWidth), 2)
			f.header = headerLine + titleLine*float64(len(f.lines))
		}
	}
	f.header = math.Ceil(f.header/Grid) * Grid
	width := max(body, reference)
	for _, line := range f.lines {
		wide := s.measure(line, titleSize, false)
		if f.beside {
			wide += reference + 6
		}
		width = max(width, wide)
	}
	f.width = math.Ceil((width+2)/(2*Grid)) * 2 * Grid
	f.seam = f.width / 2
	f.height = f.header + float64(f.rows)*Row
	if f.rows == 0 && len(f.inside) == 0 {
		f.height += Row
	}
	if len(f.inside) > 0 {
		columns, _ := s.insideGrid(f)
		f.height += math.Ceil(float64(len(f.inside))/float64(columns)) * Row
	}
}

// cell is the width that a terminal inside takes, its mark included.
func (s *sheet) cell(f *form) float64 {
	most := 0.0
	for _, t := range f.inside {
		most = max(most, s.measure(clean(s.terminals[t].Mark), markSize, false))
	}
	return math.Ceil((most+14)/Grid) * Grid
}

func (s *sheet) insideGrid(f *form) (columns int, cell float64) {
	cell = s.cell(f)
	return max(1, int((f.width-Grid)/cell)), cell
}

// spots returns where the ports of a form stand.
func (f *form) spots(set func(t int, at spot)) {
	for row, t := range f.left {
		if t >= 0 {
			set(t, spot{side: Left, row: row, through: f.shape == Strip})
		}
	}
	for row, t := range f.right {
		if t >= 0 {
			set(t, spot{side: Right, row: row})
		}
	}
	for i, t := range f.inside {
		set(t, spot{side: Inside, row: i})
	}
}

// rowAt is the height of a row below the upper edge of the form.
func (f *form) rowAt(row int) float64 {
	if f.drops != nil {
		return f.drops[row]
	}
	return f.header + Row/2 + Row*float64(row)
}
