package schema

import "sort"

// Nearest returns the word of the list most like the one written, or "" when
// none is close enough to be what was meant: of a word up to three letters one
// may differ, of others two or a third of them. Letters changed, added, left out or swapped count
// one each.
func Nearest(written string, known []string) string {
	sorted := append([]string(nil), known...)
	sort.Strings(sorted)
	most := max(2, len(written)/3)
	if len(written) <= 3 {
		most = 1
	}
	best, bestAt := "", most+1
	for _, word := range sorted {
		if d := editDistance(written, word, bestAt); d < bestAt {
			best, bestAt = word, d
		}
	}
	return best
}

// editDistance is the optimal-string-alignment distance, given up at limit.
func editDistance(a, b string, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	before := make([]int, len(b)+1)
	last := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
