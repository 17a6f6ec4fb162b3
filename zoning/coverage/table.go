package coverage

import "math/bits"

// table maps keys to numbers by open addressing with linear probing. A cut asks some
// ten thousand times for things it numbered itself; a map of the language takes four
// times as long.
type table[K comparable] struct {
	slots []slot[K]
	shift int
	used  int
	hash  func(K) uint64
}

type slot[K comparable] struct {
	key   K
	value int32 // 1 more than it is; 0 where the slot is free
}

// newTable makes a table that holds n keys before it grows.
func newTable[K comparable](n int, hash func(K) uint64) *table[K] {
	t := &table[K]{hash: hash}
	t.makeRoom(n)
	return t
}

// leastSlots leaves room for a few keys.
const leastSlots = 16

// makeRoom makes slots for n keys, a third of them free.
func (t *table[K]) makeRoom(n int) {
	size := leastSlots
	for 2*size < 3*n {
		size *= 2
	}
	t.slots, t.shift = make([]slot[K], size), 64-bits.TrailingZeros(uint(size))
}

// empty forgets all keys, and makes room for n others unless there is.
func (t *table[K]) empty(n int) {
	t.used = 0
	if 2*len(t.slots) < 3*n {
		t.makeRoom(n)
		return
	}
	clear(t.slots)
}

// find is the slot of a key, or the free one where it would go.
func (t *table[K]) find(key K) *slot[K] {
	for i := int(t.hash(key) >> t.shift); ; i++ {
		if i == len(t.slots) {
			i = 0
		}
		if s := &t.slots[i]; s.value == 0 || s.key == key {
			return s
		}
	}
}

// at is the number of a key.
func (t *table[K]) at(key K) (value int32, ok bool) {
	s := t.find(key)
	return s.value - 1, s.value != 0
}

// put gives a key a number unless it has one, and tells which it has.
func (t *table[K]) put(key K, value int32) (has int32, isNew bool) {
	s := t.find(key)
	if s.value != 0 {
		return s.value - 1, false
	}
	*s = slot[K]{key, value + 1}
	if t.used++; 3*t.used > 2*len(t.slots) {
		t.grow()
	}
	return value, true
}

func (t *table[K]) grow() {
	old := t.slots
	t.makeRoom(len(old) * 4 / 3)
	for _, s := range old {
		if s.value != 0 {
			*t.find(s.key) = s
		}
	}
}

// places numbers the cells of a mesh, or its nodes, by their place: in an array where there are few
// enough, which is looked up in a fraction of the time of a table, else in one.
type places struct {
	all   []int32 // 1 more than the number of each; nil where they are too many
	room  []int32 // of all, from one cut to the next
	table *table[int32]
}

// mostInArray is how many places an array is made for, and cleared away after each cut.
const mostInArray = 1 << 16

func newPlaces() places { return places{table: newTable(0, hashInt)} }

// empty forgets all numbers, and makes room for n of so many places.
func (p *places) empty(n, places int) {
	if places > mostInArray {
		p.all = nil
		p.table.empty(n)
		return
	}
	if len(p.room) < places {
		p.room = make([]int32, places)
	}
	p.all = p.room[:places]
	clear(p.all)
}

// at is the number of a place.
func (p *places) at(place int32) (number int32, ok bool) {
	if p.all == nil {
		return p.table.at(place)
	}
	if uint(place) >= uint(len(p.all)) {
		return none, false
	}
	number = p.all[place] - 1
	return number, number >= 0
}

// put gives a place a number unless it has one, and tells which it has.
func (p *places) put(place, number int32) (has int32, isNew bool) {
	if p.all == nil {
		return p.table.put(place, number)
	}
	if has := p.all[place]; has != 0 {
		return has - 1, false
	}
	p.all[place] = number + 1
	return number, true
}

// golden spreads keys over the upper bits (Knuth, The Art of Computer Programming,
// volume 3, section 6.4: multiplicative hashing by the golden ratio).
const golden = 0x9E3779B97F4A7C15

func hashInt(key int32) uint64 { return uint64(key) * golden }

func hashPair(key uint64) uint64 {
	h := key * golden
	return (h ^ h>>32) * golden
}

func hashVertex(v Vertex) uint64 { return hashPair(uint64(v.X)*golden ^ uint64(v.Y)) }

// arena is memory for what is built on segments, used again for the next cut.
type arena struct {
	numbers pool[int32]
	masks   pool[Mask]
	flags   pool[bool]
	runs    []run
	turns   []turn
}

func (a *arena) make(n int) []int32     { return a.numbers.make(n) }
func (a *arena) makeMasks(n int) []Mask { return a.masks.make(n) }
func (a *arena) makeFlags(n int) []bool { return a.flags.make(n) }

// reset takes back all that was handed out.
func (a *arena) reset() {
	a.numbers.reset()
	a.masks.reset()
	a.flags.reset()
	a.runs, a.turns = a.runs[:0], a.turns[:0]
}

// pool hands out slices of one large one.
type pool[T any] struct {
	buf  []T
	used int // of buf, and what it could not hold
}

// make makes a slice of zeros.
func (p *pool[T]) make(n int) []T {
	from := p.used
	p.used += n
	if p.used > len(p.buf) {
		return make([]T, n)
	}
	out := p.buf[from:p.used:p.used]
	clear(out)
	return out
}

func (p *pool[T]) reset() {
	if p.used > len(p.buf) {
		p.buf = make([]T, p.used)
	}
	p.used = 0
}

// lists are lists of numbers, read in the order in which they came.
type lists struct {
	first, last []int32 // of each list, where in items; none where it is empty
	items       []listed
}

type listed struct{ value, next int32 }

func (l *lists) reset() { l.first, l.last, l.items = l.first[:0], l.last[:0], l.items[:0] }

func (l *lists) begin() {
	l.first, l.last = append(l.first, none), append(l.last, none)
}

func (l *lists) add(k, value int32) {
	i := int32(len(l.items))
	l.items = append(l.items, listed{value, none})
	if l.first[k] == none {
		l.first[k] = i
	} else {
		l.items[l.last[k]].next = i
	}
	l.last[k] = i
}

// endsWith reports whether a value was the last to be added to a list.
func (l *lists) endsWith(k, value int32) bool {
	return l.last[k] != none && l.items[l.last[k]].value == value
}
