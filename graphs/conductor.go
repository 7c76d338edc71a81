package graphs

// conductor is a resistor between two nodes of a network, by its conductance.
type conductor struct {
	a, b    int32
	siemens float64
}

// addParallel adds up conductors between the same two nodes and drops loops. into[i]
// is the place of conductor i in the result, or -1 for a loop. Cost: linear.
func addParallel(n int, conductors []conductor) (merged []conductor, into []int32) {
	at := make([]int32, n+1)
	for _, c := range conductors {
		if c.a != c.b {
			at[min(c.a, c.b)+1]++
		}
	}
	for x := range n {
		at[x+1] += at[x]
	}
	sorted := make([]int32, at[n])
	for id, c := range conductors {
		if c.a != c.b {
			low := min(c.a, c.b)
			sorted[at[low]] = int32(id)
			at[low]++
		}
	}
	into = make([]int32, len(conductors))
	for id := range into {
		into[id] = -1
	}
	merged = make([]conductor, 0, len(sorted))
	place := make([]int32, n) // by the higher node: one more than its place in merged, if of this lower node
	from := int32(0)          // places up to here are of other lower nodes
	low := int32(-1)
	for _, id := range sorted {
		c := conductors[id]
		if c.b < c.a {
			c.a, c.b = c.b, c.a
		}
		if c.a != low {
			low, from = c.a, int32(len(merged))
		}
		if place[c.b] > from {
			merged[place[c.b]-1].siemens += c.siemens
		} else {
			merged = append(merged, c)
			place[c.b] = int32(len(merged))
		}
		into[id] = place[c.b] - 1
	}
	return merged, into
}
