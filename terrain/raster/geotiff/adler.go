package geotiff

import "encoding/binary"

// adler32 is the checksum of RFC 1950, eight bytes at a time: their sums, and the sums of those,
// are kept in lanes of 16 bits, the even bytes' and the odd ones' apart.
func adler32(data []byte) uint32 {
	const mod = 65521
	const lanes = 0x00ff00ff00ff00ff
	const mostWords = 23 // the sum of sums, 255·(0 + 1 + … + 22), fits a lane
	sum, sums := uint64(1), uint64(0)
	for len(data) >= 8 {
		words := min(len(data)/8, mostWords)
		var even, odd, evens, odds uint64
		for block := data[:8*words]; len(block) >= 8; block = block[8:] {
			w := binary.LittleEndian.Uint64(block)
			evens, odds = evens+even, odds+odd
			even, odd = even+w&lanes, odd+w>>8&lanes
		}
		data = data[8*words:]
		// A byte counts once for itself and once for each behind it.
		sums += 8*uint64(words)*sum + 8*(laneSum(evens)+laneSum(odds))
		for k := uint64(8); k > 0; k -= 2 {
			sums += k*(even&0xffff) + (k-1)*(odd&0xffff)
			sum += even&0xffff + odd&0xffff
			even, odd = even>>16, odd>>16
		}
		sum, sums = sum%mod, sums%mod
	}
	for _, b := range data {
		sum += uint64(b)
		sums += sum
	}
	return uint32(sums%mod)<<16 | uint32(sum%mod)
}

// laneSum adds the four lanes of a word.
func laneSum(w uint64) uint64 {
	const lanes = 0x0000ffff0000ffff
	w = w&lanes + w>>16&lanes
	return w>>32 + w&0xffffffff
}
