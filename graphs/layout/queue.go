package layout

// add and take keep the queue as a heap; among equal ranks the later comes
// first, which runs straight for the goal.
func (w *window) add(s state) {
	w.queue = append(w.queue, s)
	at := len(w.queue) - 1
	for at > 0 && w.less(at, (at-1)/2) {
		w.queue[at], w.queue[(at-1)/2] = w.queue[(at-1)/2], w.queue[at]
		at = (at - 1) / 2
	}
}

func (w *window) less(i, j int) bool {
	a, b := &w.queue[i], &w.queue[j]
	return a.rank < b.rank || a.rank == b.rank && a.cost > b.cost
}

func (w *window) take() state {
	top := w.queue[0]
	last := len(w.queue) - 1
	w.queue[0] = w.queue[last]
	w.queue = w.queue[:last]
	for at := 0; ; {
		least := at
		for child := 2*at + 1; child <= 2*at+2 && child < last; child++ {
			if w.less(child, least) {
				least = child
			}
		}
		if least == at {
			return top
		}
		w.queue[at], w.queue[least] = w.queue[least], w.queue[at]
		at = least
	}
}
