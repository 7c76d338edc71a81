package book

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bellout/app/drawing"
	"bellout/graphs"
	"bellout/model"
)

// makeTrees prints, for each output of a supply, the way out to its loads and the
// way home: every branch with its wire, every fuse and contact on the way.
func makeTrees(ctx context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Rail and return trees", 24)
	fl.para("Read from the left: each line is a device that the wire named before it leads to. What a device passes on, and by what, stands behind it. "+
		"A line that ends in “see above” closes a second way round. Amperes are those the map says a load draws.", style{size: smallSize, colour: soft})
	outputs := f.outputs()
	if len(outputs) == 0 {
		fl.para("The map holds no rail of a supply.", style{})
	}
	for _, o := range outputs {
		if err := ctx.Err(); err != nil {
			return err
		}
		t := newTree(f, fl)
		fl.heading(fmt.Sprintf("%s  %s, out", f.called(o.device), volts(o.volts)), 16)
		t.draw(o.device, o.rails)
		if len(o.returns) == 0 {
			continue
		}
		t = newTree(f, fl)
		fl.heading(fmt.Sprintf("%s  0 V of %s, home", f.called(o.device), volts(o.volts)), 16)
		t.draw(o.device, o.returns)
	}
	return nil
}

// tree is one tree that is being set.
type tree struct {
	*facts
	fl     *flow
	seen   map[int]bool    // terminals
	open   []bool          // by depth: more branches follow at that depth
	walked map[string]bool // wires
}

func newTree(f *facts, fl *flow) *tree {
	return &tree{facts: f, fl: fl, seen: map[int]bool{}, walked: map[string]bool{}}
}

// branch is one wire that leads on.
type branch struct {
	from, to int // terminals
	wire     model.Wire
	by       string // what leads to from inside the device
}

const (
	treeStep = 4.6
	treeLine = smallSize * 1.42
)

func (t *tree) draw(device string, from []int) {
	t.line(0, true, device, strings.Join(t.refs(from), ", "), "")
	for _, r := range from {
		t.seen[r] = true
	}
	t.below(1, t.branches(device, from))
}

// below sets branches at a depth.
func (t *tree) below(depth int, list []branch) {
	for i, b := range list {
		last := i == len(list)-1
		t.open = append(t.open[:depth-1], !last)
		device := t.machine().Terminals[b.to].Device
		words := t.ref(b.to).String()
		if title := t.title(device); title != "" {
			words += "  " + title
		}
		looks := strings.TrimSpace(string(b.wire.Colour) + " " + b.wire.Gauge.String())
		lead := b.wire.Name
		if looks != "" {
			lead += " " + looks
		}
		if b.by != "" {
			lead = b.by + ", " + lead
		}
		lead = t.ref(b.from).Mark + ": " + lead
		if t.seen[b.to] {
			t.line(depth, last, lead, words, "see above")
			continue
		}
		t.seen[b.to] = true
		note, ends := t.ending(b.to)
		if b.wire.Colour == model.GreenYellow { // 0 V is joined to earth here: that is no way home
			note, ends = "earth", true
		}
		t.line(depth, last, lead, words, note)
		if !ends && depth < 40 {
			t.below(depth+1, t.branches(device, []int{b.to}))
		}
	}
}

// ending says what a terminal is where a tree ends: a load, another supply, earth.
func (t *tree) ending(terminal int) (string, bool) {
	m := t.machine()
	of := m.Terminals[terminal]
	device, _ := m.Device(of.Device)
	supply := slices.ContainsFunc(t.parts.Supplies, func(s graphs.Supply) bool { return s.Device == of.Device })
	switch {
	case of.Role == model.RoleFeed:
		for _, l := range t.parts.Loads {
			if l.Feed == terminal {
				return strings.TrimSpace(amount(l.Volts, "V") + " " + amount(l.Amps, "A")), !t.passes(of)
			}
		}
		return "", !t.passes(of)
	case of.Role == model.RoleEarth:
		return "earth", true
	case of.Role == model.RoleRail:
		return "rail of another output", true
	case of.Role == model.RoleReturn && supply:
		return "0 V of " + device.Ref, true
	case of.Role == model.RoleReturn:
		return "", !t.passes(of)
	}
	return "", false
}

// passes says whether metal leads on from a terminal inside its device.
func (t *tree) passes(of model.Terminal) bool {
	return slices.ContainsFunc(t.links[of.Device], func(l model.Link) bool {
		return (l.From == of.Mark || l.To == of.Mark) && l.Kind.Metal()
	}) || len(t.ends[of.Ref()]) > 1
}

// branches lists the wires that leave a device from the terminals that some of its
// terminals reach inside, by metal.
func (t *tree) branches(device string, from []int) []branch {
	m := t.machine()
	by := map[int]string{}
	queue := slices.Clone(from)
	for _, r := range from {
		by[r] = ""
	}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for _, id := range t.bench.AsDrawn.Incident(at) {
			e := t.bench.AsDrawn.Elements[id]
			far := t.bench.AsDrawn.Far(int(id), at)
			if !e.Kind.MetalInside() || !e.Walks() {
				continue
			}
			if _, known := by[far]; known {
				continue
			}
			by[far] = by[at]
			if l := m.Links[e.Row]; e.Kind == graphs.Fuse || e.Kind == graphs.Contact {
				word := string(l.Kind)
				if l.Value.Known && e.Kind == graphs.Fuse {
					word += " " + amount(l.Value, "A")
				}
				if l.State != "" && l.State != model.StateClosed {
					word += " (" + string(l.State) + ")"
				}
				by[far] = strings.TrimPrefix(by[far]+" "+word, " ")
			}
			t.seen[far] = true
			queue = append(queue, far)
		}
	}
	terminals := make([]int, 0, len(by))
	for at := range by {
		terminals = append(terminals, at)
	}
	slices.SortFunc(terminals, t.compareTerminals)
	var list []branch
	for _, at := range terminals {
		for _, w := range t.ends[t.ref(at)] {
			to, there := m.TerminalIndex(other(w, t.ref(at)))
			if !there || t.walked[w.Name] {
				continue
			}
			t.walked[w.Name] = true // not walked back
			list = append(list, branch{from: at, to: to, wire: w.Wire, by: by[at]})
		}
	}
	return list
}

// line sets one line of a tree with its guides.
func (t *tree) line(depth int, last bool, lead, words, note string) {
	fl := t.fl
	fl.room(treeLine)
	p := fl.page
	step := treeStep
	if depth > 12 {
		step = treeStep * 12 / float64(depth)
	}
	x := fl.left() + float64(depth)*step
	middle := fl.y + treeLine*0.55
	for d := 1; d < depth; d++ {
		if t.open[d-1] {
			gx := fl.left() + (float64(d)-0.6)*step
			p.line(gx, fl.y, gx, fl.y+treeLine, 0.15, soft)
		}
	}
	if depth > 0 {
		gx := fl.left() + (float64(depth)-0.6)*step
		end := fl.y + treeLine
		if last {
			end = middle
		}
		p.line(gx, fl.y, gx, end, 0.15, soft)
		p.line(gx, middle, x-0.5, middle, 0.15, soft)
	}
	base := middle + smallSize*0.34
	right := fl.right()
	if note != "" {
		width := min(drawing.Measure(note, smallSize, drawing.Regular), 45)
		p.write(drawing.Text{At: at(right-width, base), Text: drawing.Fit(note, smallSize, drawing.Regular, width+0.02), Size: smallSize})
		right -= width + 2
	}
	lead = drawing.Fit(lead, smallSize, drawing.Regular, (right-x)*0.55)
	p.write(drawing.Text{At: at(x, base), Text: lead, Size: smallSize, Colour: soft})
	x += drawing.Measure(lead, smallSize, drawing.Regular) + 1.5
	if depth > 0 {
		p.line(x, middle, x+3, middle, 0.2, ink)
		x += 4
	}
	p.write(drawing.Text{At: at(x, base), Text: drawing.Fit(words, smallSize, drawing.Bold, right-x), Size: smallSize, Face: drawing.Bold})
	fl.used(treeLine)
}
