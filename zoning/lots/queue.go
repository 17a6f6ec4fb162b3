package lots

import "sync"

// queue deals out the order of work: each worker gets a stretch of it, so that its
// lots share blocks, and one that is through takes half of the longest rest.
type queue struct {
	mu    sync.Mutex
	rests [][2]int // of each worker: from and to in the order
	shut  bool
}

func newQueue(n, workers int) *queue {
	q := &queue{rests: make([][2]int, workers)}
	for i := range workers {
		q.rests[i][0], q.rests[i][1] = Shard{i + 1, workers}.part(n)
	}
	return q
}

// next is the next lot for a worker; false where there is none left for it.
func (q *queue) next(worker int) (int, bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.shut {
		return 0, false
	}
	mine := &q.rests[worker]
	if mine[0] == mine[1] {
		longest := worker
		for i, r := range q.rests {
			if r[1]-r[0] > q.rests[longest][1]-q.rests[longest][0] {
				longest = i
			}
		}
		r := &q.rests[longest]
		middle := r[0] + (r[1]-r[0])/2
		*mine, r[1] = [2]int{middle, r[1]}, middle
	}
	if mine[0] == mine[1] {
		return 0, false
	}
	mine[0]++
	return mine[0] - 1, true
}

// close leaves what is not dealt out.
func (q *queue) close() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.shut = true
}
