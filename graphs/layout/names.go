package layout

// tag is a stub of wire at a port that carries names of wires: it runs level
// from the box outward, and no upright run comes near it.
type tag struct {
	terminal int
	side     Side
}

// tagged deals the names of wires out to stubs. Where ends are shared, as in a
// daisy chain, each stub takes one wire as long as that works out: stubs with a
// single wire left choose first.
func (w *multigraph) tagged() (tags map[tag][]int, of []tag) {
	tags = map[tag][]int{}
	of = make([]tag, len(w.wires))
	at := map[tag][]int{} // the wires at each stub
	ends := make([][2]tag, len(w.wires))
	for i := range w.wires {
		path := w.path[i]
		if len(path) == 0 {
			continue
		}
		a, b := w.pieces[path[0]].a, w.pieces[path[len(path)-1]].b
		ends[i] = [2]tag{{a.terminal, a.side}, {b.terminal, b.side}}
		at[ends[i][0]] = append(at[ends[i][0]], i)
		at[ends[i][1]] = append(at[ends[i][1]], i)
	}
	left := map[tag]int{}
	var queue []tag
	note := func(t tag) {
		if left[t] == 1 && len(tags[t]) == 0 {
			queue = append(queue, t)
		}
	}
	for t, list := range at {
		left[t] = len(list)
	}
	done := make([]bool, len(w.wires))
	for i := range w.wires { // right of a box, where reading begins, if nobody else wants the stub
		if len(w.path[i]) == 0 {
			continue
		}
		for _, t := range ends[i] {
			if t.side == Right && len(at[t]) == 1 && !done[i] {
				done[i] = true
				tags[t] = append(tags[t], i)
				of[i] = t
				for _, end := range ends[i] {
					left[end]--
				}
			}
		}
	}
	give := func(i int, t tag) {
		done[i] = true
		tags[t] = append(tags[t], i)
		of[i] = t
		for _, end := range ends[i] {
			left[end]--
			note(end)
		}
	}
	for i := range w.wires {
		if len(w.path[i]) > 0 && !done[i] {
			note(ends[i][0])
			note(ends[i][1])
		}
	}
	for next := 0; next < len(w.wires); {
		if len(queue) == 0 { // a ring, or ends that others share too: the emptier end
			if i := next; !done[i] && len(w.path[i]) > 0 {
				t := ends[i][0]
				if len(tags[ends[i][1]]) < len(tags[t]) {
					t = ends[i][1]
				}
				give(i, t)
			}
			next++
			continue
		}
		t := queue[0]
		queue = queue[1:]
		for _, i := range at[t] {
			if !done[i] && len(tags[t]) == 0 {
				give(i, t)
			}
		}
	}
	return tags, of
}

// wireText is what stands at a wire: its name and the letters of its colour.
func (s *sheet) wireText(i int) string {
	row := s.wires[i].row
	if row.Colour == "" {
		return clean(row.Name)
	}
	return clean(row.Name) + " " + string(row.Colour)
}

// tagRoom is the room that the names at a stub take.
func (w *multigraph) tagRoom(wires []int) float64 {
	sum := 0.0
	for _, i := range wires {
		sum += w.measure(w.wireText(i), wireSize, false) + 6
	}
	return sum
}
