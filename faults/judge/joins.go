package judge

import (
	"math"
	"slices"

	"bellout/graphs"
)

// Joins says whether metal alone joins two terminals of the circuit at rest if
// some changes held. The blocks of the metal tell; only where two breaks fall
// into one ring the metal is walked.
func (j *Judge) Joins(a, b int, changes []graphs.ElementChange) bool {
	c := j.Rest
	of := c.Nets().Of
	var opened, points []int // points: a, b and the ends of what is added, two by two
	points = append(points, a, b)
	for _, change := range changes {
		switch {
		case change.Element < 0:
			if !math.IsInf(change.Ohms, 1) {
				points = append(points, change.A, change.B)
			}
		case !c.Elements[change.Element].Kind.Metal():
		case math.IsInf(change.Ohms, 1):
			if c.Elements[change.Element].Joins() {
				opened = append(opened, change.Element)
			}
		case !c.Elements[change.Element].Joins():
			points = append(points, c.Elements[change.Element].A, c.Elements[change.Element].B)
		}
	}
	if len(points) == 2 && of[a] != of[b] {
		return false
	}
	if j.breaksRing(opened) {
		return walkJoins(c, a, b, changes)
	}
	return j.meet(points, opened)
}

// breaksRing says whether two of some breaks fall into one ring, which one alone
// does not part.
func (j *Judge) breaksRing(opened []int) bool {
	if len(opened) < 2 {
		return false
	}
	blocks := j.Metal()
	for i, one := range opened {
		for _, other := range opened[i+1:] {
			if one != other && blocks.SameBlock(one, other) {
				return true
			}
		}
	}
	return false
}

// meet says whether the first two points are joined, where the points from the
// third on are joined two by two, and metal that runs through no opened bridge
// joins any two.
func (j *Judge) meet(points, opened []int) bool {
	of, blocks := j.Rest.Nets().Of, j.Metal()
	whole := func(s, t int) bool {
		if of[s] != of[t] {
			return false
		}
		return s == t || !slices.ContainsFunc(opened, func(id int) bool { return blocks.Parts(id, s, t) })
	}
	reached := []int{0} // places in points
	seen := make([]bool, len(points))
	seen[0] = true
	for len(reached) > 0 {
		at := reached[0]
		reached = reached[1:]
		if at == 1 {
			return true
		}
		for next := range points {
			added := at >= 2 && next == at^1
			if !seen[next] && (added || whole(points[at], points[next])) {
				seen[next] = true
				reached = append(reached, next)
			}
		}
	}
	return seen[1]
}
