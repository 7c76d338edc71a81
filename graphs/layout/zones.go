package layout

import (
	"cmp"
	"slices"

	"bellout/model"
)

// zonePad is the room about the boxes of an area: half of what two boxes of a
// column keep between them, so that areas of two zones may touch.
const zonePad = Grid

// zones marks areas that hold boxes of one zone and of no other. A zone may
// have several; a box by itself gets none.
func (b *builder) zones() {
	p := b.plan
	of := map[string][]int{}
	var names []string
	for i := range p.Boxes {
		if name := p.Boxes[i].Zone; name != "" {
			if len(of[name]) == 0 {
				names = append(names, name)
			}
			of[name] = append(of[name], i)
		}
	}
	if len(names) < 2 { // all of one zone, or none known: no area tells anybody anything
		return
	}
	slices.SortFunc(names, model.Compare)
	g := b.survey()
	var areas bucket
	for _, name := range names {
		for _, area := range b.areas(name, of[name], g, &areas) {
			areas.add(area)
			p.Zones = append(p.Zones, Zone{Name: name, Rect: area, Label: -1})
		}
	}
	named := p.Zones[:0]
	for _, zone := range p.Zones { // an area that cannot say what it is says nothing
		if b.zoneName(&zone, len(named), g, &areas) {
			named = append(named, zone)
		}
	}
	p.Zones = named
}

// areas joins boxes of a zone, the nearest first, as long as what they span
// holds nothing of another zone.
func (b *builder) areas(name string, boxes []int, g *ground, others *bucket) []Rect {
	type area struct {
		Rect
		boxes int
	}
	var list []area
	for _, i := range boxes {
		r := b.plan.Boxes[i].Rect
		r = Rect{Point{r.Min.X - zonePad, r.Min.Y - zonePad}, Point{r.Max.X + zonePad, r.Max.Y + zonePad}}
		if others.meets(r) {
			continue
		}
		list = append(list, area{r, 1})
	}
	alone := func(r Rect) bool {
		if others.meets(r) {
			return false
		}
		free := true
		g.boxes.reach(r, func(n int) bool {
			free = b.plan.Boxes[n].Zone == name || !share(b.plan.Boxes[n].Rect, r)
			return free
		})
		return free
	}
	// Pairs worth a try, the tightest first. Far ones are left out: an area that
	// is mostly empty says nothing.
	type pair struct {
		a, b  int
		waste float64
	}
	gone := make([]bool, len(list))
	size := func(r Rect) float64 { return (r.Max.X - r.Min.X) * (r.Max.Y - r.Min.Y) }
	var pairs []pair
	consider := func(i, j int) {
		all := list[i].with(list[j].Rect)
		if own := size(list[i].Rect) + size(list[j].Rect); size(all) < 3.2*own {
			pairs = append(pairs, pair{i, j, size(all) - own})
		}
	}
	for i := range list {
		for j := range i {
			consider(j, i)
		}
	}
	for len(pairs) > 0 {
		slices.SortStableFunc(pairs, func(p, q pair) int { return cmp.Compare(p.waste, q.waste) })
		joined := false
		left := pairs[:0]
		for _, p := range pairs {
			if gone[p.a] || gone[p.b] {
				continue
			}
			all := list[p.a].with(list[p.b].Rect)
			if joined || !alone(all) {
				if joined {
					left = append(left, p)
				}
				continue
			}
			joined = true
			gone[p.a], gone[p.b] = true, true
			list = append(list, area{all, list[p.a].boxes + list[p.b].boxes})
			gone = append(gone, false)
		}
		pairs = left
		if joined {
			for i := range len(list) - 1 {
				if !gone[i] {
					consider(i, len(list)-1)
				}
			}
		}
	}
	var found []Rect
	for i, a := range list {
		if gone[i] || a.boxes < 2 {
			continue
		}
		clash := slices.ContainsFunc(found, func(r Rect) bool { return share(r, a.Rect) })
		if !clash {
			found = append(found, a.Rect)
		}
	}
	return found
}

// zoneName writes a zone's name at the edge of its area where nothing else is,
// and says whether there was room.
func (b *builder) zoneName(zone *Zone, number int, g *ground, areas *bucket) bool {
	text := clean(zone.Name)
	wide := b.measure(text, zoneSize, true)
	for _, y := range []float64{zone.Min.Y - 5, zone.Max.Y + zoneSize, zone.Min.Y + zoneSize, zone.Max.Y - 5} {
		for x := zone.Min.X + 4; x+wide < zone.Max.X-4; x += Grid {
			r := Rect{Point{x, y - 0.95*zoneSize}, Point{x + wide, y + 0.25*zoneSize}}
			if g.boxes.meets(r) || g.labels.meets(r) || g.runs.meets(r) {
				continue
			}
			elsewhere := false
			areas.reach(r, func(n int) bool {
				elsewhere = areas.rects[n] != zone.Rect && share(areas.rects[n], r)
				return !elsewhere
			})
			if elsewhere {
				continue
			}
			g.labels.add(r)
			zone.Label = b.label(Label{Text: text, Kind: ZoneName, Size: zoneSize, Bold: true, Box: -1, Port: -1, Wire: -1, Zone: number}, x, y)
			return true
		}
	}
	return false
}

// survey notes all that lies on the finished chart.
func (b *builder) survey() *ground {
	p := b.plan
	bounds := Rect{}
	for i := range p.Boxes {
		bounds = bounds.with(p.Boxes[i].Rect)
	}
	made := newGround(bounds)
	g := &made
	for i := range p.Boxes {
		g.boxes.add(p.Boxes[i].Rect)
	}
	for i := range p.Labels {
		if p.Labels[i].Box < 0 {
			g.labels.add(p.Labels[i].Rect)
		}
	}
	for i := range p.Wires {
		g.lay(i, p.Wires[i].Net, p.Wires[i].Points)
	}
	return g
}
