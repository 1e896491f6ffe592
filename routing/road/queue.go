package road

// queue is a binary heap of nodes by cost, of equal ones by number, so that
// what comes first never depends on what went in when.
type queue []queued

type queued struct {
	cost float64
	node int32
}

func (a queued) before(b queued) bool {
	return a.cost < b.cost || (a.cost == b.cost && a.node < b.node)
}

// order makes a heap of what was appended in any order.
func (q queue) order() {
	for i := len(q)/2 - 1; i >= 0; i-- {
		q.down(i)
	}
}

func (q *queue) push(n queued) {
	*q = append(*q, n)
	h := *q
	for i := len(h) - 1; i > 0; {
		parent := (i - 1) / 2
		if !h[i].before(h[parent]) {
			return
		}
		h[i], h[parent] = h[parent], h[i]
		i = parent
	}
}

func (q *queue) pop() queued {
	h := *q
	top, last := h[0], len(h)-1
	h[0] = h[last]
	*q = h[:last]
	q.down(0)
	return top
}

func (q queue) down(i int) {
	for {
		child := 2*i + 1
		if child >= len(q) {
			return
		}
		if child+1 < len(q) && q[child+1].before(q[child]) {
			child++
		}
		if !q[child].before(q[i]) {
			return
		}
		q[i], q[child] = q[child], q[i]
		i = child
	}
}
