package merge

import (
	"slices"
	"strings"
)

// A change is some lines of a text replaced by others: base[from:to] by lines.
type change struct {
	from, to int
	lines    []string
}

// mergeLines lays the changed lines of both sides over their base, and where
// both altered the same lines, ours alone. So everything beside the values,
// such as comments, comes along from both sides. What it gives is but a
// beginning: whether it says the right thing is for the caller to see.
func mergeLines(base, ours, theirs string) string {
	lines := strings.SplitAfter(base, "\n")
	a, b := changes(lines, strings.SplitAfter(ours, "\n")), changes(lines, strings.SplitAfter(theirs, "\n"))
	var out []string
	at := 0
	write := func(c change) {
		out = append(append(out, lines[at:c.from]...), c.lines...)
		at = c.to
	}
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(a) > 0 && len(b) > 0 && overlap(a[0], b[0]):
			b = b[1:]
		case len(b) == 0, len(a) > 0 && before(a[0], b[0]):
			write(a[0])
			a = a[1:]
		default:
			write(b[0])
			b = b[1:]
		}
	}
	return strings.Join(append(out, lines[at:]...), "")
}

// overlap tells whether two changes are of the same lines, or the same.
func overlap(a, b change) bool {
	return a.from < b.to && b.from < a.to || a.from == b.from && a.to == b.to && slices.Equal(a.lines, b.lines)
}

// before tells which of two changes that do not overlap comes first: lines put
// in before those replaced, ours before theirs.
func before(a, b change) bool { return a.from < b.from || a.from == b.from && a.to <= b.to }

// changes lists what makes b of a.
func changes(a, b []string) []change {
	var list []change
	at, from := 0, 0
	for i, j := range append(matches(a, b), len(b)) {
		if j < 0 {
			continue
		}
		if from < i || at < j {
			list = append(list, change{from, i, b[at:j]})
		}
		from, at = i+1, j+1
	}
	return list
}

// mostDifferent is in how many lines two texts may differ before they are taken
// for different altogether; it bounds the time spent.
const mostDifferent = 400

// matches gives for each line of a its line in b, or -1: the longest common
// subsequence (E. W. Myers, An O(ND) difference algorithm and its variations,
// Algorithmica 1, 1986).
func matches(a, b []string) []int {
	n, m := len(a), len(b)
	var trace []map[int]int // by the number of differences: on each diagonal the furthest line of a
	for d := 0; d <= min(n+m, mostDifferent); d++ {
		reach := make(map[int]int, d+1)
		for k := -d; k <= d; k += 2 {
			_, x := step(trace, d, k)
			for x < n && x-k < m && a[x] == b[x-k] {
				x++
			}
			reach[k] = x
			if x == n && x-k == m {
				return back(append(trace, reach), n, k)
			}
		}
		trace = append(trace, reach)
	}
	return slices.Repeat([]int{-1}, n)
}

// step gives from which diagonal the path with d differences comes to diagonal
// k, and at which line of a it starts there.
func step(trace []map[int]int, d, k int) (from, line int) {
	if d == 0 {
		return k, 0
	}
	before := trace[d-1]
	if k == -d || k != d && before[k-1] < before[k+1] {
		return k + 1, before[k+1] // a line of b put in
	}
	return k - 1, before[k-1] + 1 // a line of a taken out
}

// back follows the paths from the end, on diagonal k, to the beginning and notes
// the matches of the n lines on the way.
func back(trace []map[int]int, n, k int) []int {
	list := slices.Repeat([]int{-1}, n)
	for d := len(trace) - 1; d >= 0; d-- {
		from, start := step(trace, d, k)
		for x := start; x < trace[d][k]; x++ {
			list[x] = x - k
		}
		k = from
	}
	return list
}
