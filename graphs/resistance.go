package graphs

import "math"

// ElementChange is one thing that could be otherwise in a circuit. With
// Element >= 0 that element has Ohms instead (+Inf: it is open; a finite value
// also makes an absent one conduct). With Element < 0 a path of Ohms joins
// terminals A and B.
type ElementChange struct {
	Element int
	A, B    int
	Ohms    float64
}

// Prediction is what an ideal meter with ideal leads would show between two
// terminals of the de-energised circuit.
type Prediction struct {
	// Ohms counts every undecided element as open; +Inf if nothing joins them.
	Ohms float64
	// LeastOhms counts every undecided element (electronic, capacitance, a diode
	// in its forward way) as metal: the meter shows something from LeastOhms to
	// Ohms. Where they are equal, nothing undecided can matter.
	LeastOhms float64
}

// Ohms returns the resistance in ohms that an ideal meter shows between
// terminals a and b of the de-energised circuit; 0 for a == b, +Inf if nothing
// joins them.
func (c *Circuit) Ohms(a, b int) float64 { return c.network(decided).ohms(a, b) }

// OhmsIf returns the resistance between a and b if the changes held.
func (c *Circuit) OhmsIf(a, b int, changes []ElementChange) float64 {
	return plainOhms(c, a, b, changes, func(e Element) bool { return false })
}

// Predict returns what the meter would show with red and black on two
// terminals. Red is positive: a diode conducts when red is on its anode's side.
func (c *Circuit) Predict(red, black int) Prediction {
	return Prediction{
		Ohms: c.Ohms(red, black),
		LeastOhms: plainOhms(c, red, black, nil, func(e Element) bool {
			return e.Kind == Electronic || e.Kind == Capacitance || e.Kind == Diode
		}),
	}
}

// Through returns the terminals from a to b along the path that carries most of
// a meter's current, both ends included; nil if nothing joins them.
func (c *Circuit) Through(a, b int) []int {
	from := map[int]int{a: a}
	for queue := []int{a}; len(queue) > 0; queue = queue[1:] {
		t := queue[0]
		if t == b {
			var path []int
			for ; t != a; t = from[t] {
				path = append([]int{t}, path...)
			}
			return append([]int{a}, path...)
		}
		for _, id := range c.Incident(t) {
			e := c.Elements[id]
			if !e.Joins() && !(e.Present && e.Kind == Resistance) {
				continue
			}
			if far := c.Far(int(id), t); far != t {
				if _, seen := from[far]; !seen {
					from[far] = t
					queue = append(queue, far)
				}
			}
		}
	}
	return nil
}

// plainOhms eliminates everything but a and b, the smallest degree first.
func plainOhms(c *Circuit, a, b int, changes []ElementChange, asMetal func(Element) bool) float64 {
	group := make([]int, len(c.Machine.Terminals))
	for t := range group {
		group[t] = t
	}
	find := func(t int) int {
		for group[t] != t {
			group[t] = group[group[t]]
			t = group[t]
		}
		return t
	}
	changed := map[int]bool{}
	var paths []ElementChange
	for _, change := range changes {
		if change.Element >= 0 {
			changed[change.Element] = true
			change.A, change.B = c.Elements[change.Element].A, c.Elements[change.Element].B
		}
		paths = append(paths, change)
	}
	for id, e := range c.Elements {
		switch {
		case changed[id] || !e.Present:
		case asMetal(e):
			paths = append(paths, ElementChange{A: e.A, B: e.B})
		case e.Kind.Metal() || e.Kind == Resistance:
			paths = append(paths, ElementChange{A: e.A, B: e.B, Ohms: e.Ohms})
		}
	}
	for _, p := range paths {
		if p.Ohms == 0 {
			group[find(p.A)] = find(p.B)
		}
	}
	a, b = find(a), find(b)
	if a == b {
		return 0
	}
	net := map[int]map[int]float64{}
	join := func(x, y int, siemens float64) {
		for range 2 {
			if net[x] == nil {
				net[x] = map[int]float64{}
			}
			net[x][y] += siemens
			x, y = y, x
		}
	}
	for _, p := range paths {
		if x, y := find(p.A), find(p.B); x != y && !math.IsInf(p.Ohms, 1) {
			join(x, y, 1/p.Ohms)
		}
	}
	byDegree := make([][]int, 3)
	for x := range net {
		byDegree[min(len(net[x])-1, 2)] = append(byDegree[min(len(net[x])-1, 2)], x)
	}
	for len(byDegree[0])+len(byDegree[1])+len(byDegree[2]) > 0 {
		at := 0
		for len(byDegree[at]) == 0 {
			at++
		}
		x := byDegree[at][len(byDegree[at])-1]
		byDegree[at] = byDegree[at][:len(byDegree[at])-1]
		near := net[x]
		if near == nil || x == a || x == b {
			continue
		}
		delete(net, x)
		sum := 0.0
		for _, siemens := range near {
			sum += siemens
		}
		for y, gy := range near {
			delete(net[y], x)
			for z, gz := range near {
				if y < z {
					join(y, z, gy*gz/sum)
				}
			}
		}
		for y := range near {
			if degree := len(net[y]); degree > 0 && degree < 3 {
				byDegree[degree-1] = append(byDegree[degree-1], y)
			}
		}
	}
	if net[a][b] == 0 {
		return math.Inf(1)
	}
	return 1 / net[a][b]
}
