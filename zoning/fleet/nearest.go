package fleet

import "strings"

// nearest returns the known key that word was probably meant to be, or "" where
// none is close.
func nearest(word string, known []string) string {
	word = strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(word))
	if len(word) > 40 { // no misspelling is this long; bounds the work
		return ""
	}
	best, bestD := "", max(2, len(word)/3)+1
	for _, k := range known {
		d := editDistance(word, k)
		if len(word) >= 3 && (strings.HasPrefix(k, word) || strings.HasPrefix(word, k)) {
			d = min(d, 1) // "rated" for rated_max, "limit_pct" for limit
		}
		if d < bestD {
			best, bestD = k, d
		}
	}
	return best
}

// editDistance counts the single-byte insertions, deletions and substitutions
// that turn a into b (Levenshtein).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			d := diagonal
			if a[i] != b[j] {
				d = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], d
		}
	}
	return row[len(b)]
}
