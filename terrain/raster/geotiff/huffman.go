package geotiff

import "slices"

// codeLengths gives each symbol the length of its code: Huffman's, none longer than most
// bits; 0 for symbols that never occur. A lone symbol has one of 1 bit.
func codeLengths(counts []uint32, most int) []uint8 {
	type leaf struct {
		count  uint32
		symbol int
	}
	lengths := make([]uint8, len(counts))
	var leaves []leaf
	for s, n := range counts {
		if n > 0 {
			leaves = append(leaves, leaf{n, s})
		}
	}
	if len(leaves) < 2 {
		for _, l := range leaves {
			lengths[l.symbol] = 1
		}
		return lengths
	}
	slices.SortFunc(leaves, func(a, b leaf) int {
		if a.count != b.count {
			if a.count < b.count {
				return -1
			}
			return 1
		}
		return a.symbol - b.symbol
	})
	// Two queues, both in rising order: leaves, and the nodes that join two.
	n := len(leaves)
	weight := make([]uint64, 0, 2*n-1) // of leaves, then of nodes
	for _, l := range leaves {
		weight = append(weight, uint64(l.count))
	}
	parent := make([]int, 2*n-1)
	nextLeaf, nextNode := 0, n
	least := func() int {
		if nextLeaf < n && (nextNode == len(weight) || weight[nextLeaf] <= weight[nextNode]) {
			nextLeaf++
			return nextLeaf - 1
		}
		nextNode++
		return nextNode - 1
	}
	for len(weight) < 2*n-1 {
		a, b := least(), least()
		parent[a], parent[b] = len(weight), len(weight)
		weight = append(weight, weight[a]+weight[b])
	}
	depth := make([]int, 2*n-1)
	ofLength := make([]int, most+1) // how many leaves have each
	for i := 2*n - 3; i >= 0; i-- {
		depth[i] = depth[parent[i]] + 1
		if i < n {
			ofLength[min(depth[i], most)]++
		}
	}
	// Codes cut short take more room than there is: others are lengthened until all fit.
	room := 0
	for l := 1; l <= most; l++ {
		room += ofLength[l] << (most - l)
	}
	for ; room > 1<<most; room-- {
		ofLength[most]--
		for l := most - 1; ; l-- {
			if ofLength[l] > 0 {
				ofLength[l]--
				ofLength[l+1] += 2
				break
			}
		}
	}
	i := 0
	for l := most; l >= 1; l-- {
		for range ofLength[l] {
			lengths[leaves[i].symbol] = uint8(l)
			i++
		}
	}
	return lengths
}

// code is bits to be written, the first the lowest.
type code struct {
	bits uint32
	n    uint8
}

// codesOf gives symbols the codes that their lengths stand for (RFC 1951, 3.2.2).
func codesOf(lengths []uint8) []code {
	var ofLength, next [maxBits + 2]uint32
	for _, l := range lengths {
		ofLength[l]++
	}
	ofLength[0] = 0
	for l := 1; l <= maxBits; l++ {
		next[l+1] = (next[l] + ofLength[l]) << 1
	}
	codes := make([]code, len(lengths))
	for s, l := range lengths {
		if l == 0 {
			continue
		}
		at := next[l]
		next[l]++
		for range l {
			codes[s].bits = codes[s].bits<<1 | at&1
			at >>= 1
		}
		codes[s].n = l
	}
	return codes
}

// maxBits is the longest code of DEFLATE.
const maxBits = 15
