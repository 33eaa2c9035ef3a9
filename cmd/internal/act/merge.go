package act

import (
	"slices"

	"stackbook/diff/merge"
	"stackbook/schema/problem"
)

// MergedRecord is what the merge of one record came to.
type MergedRecord struct {
	Text      []byte // nil: it cannot be read, and git's own merge must do
	Conflicts []merge.Conflict
	Problems  problem.List // that neither side had
}

// MergeRecord merges one record for git, which gives an empty base for a file
// that both sides added. name is the file's path in the book.
func MergeRecord(name string, base, ours, theirs []byte) MergedRecord {
	if len(base) == 0 {
		base = nil
	}
	r := merge.Record(name, base, ours, theirs)
	m := MergedRecord{Text: r.Text, Conflicts: r.Conflicts, Problems: r.Problems}
	for _, side := range [][]byte{ours, theirs} {
		had := merge.Record(name, side, side, side).Problems
		m.Problems = slices.DeleteFunc(m.Problems, func(p problem.Problem) bool {
			return slices.ContainsFunc(had, func(q problem.Problem) bool { return p.Rule == q.Rule && p.Message == q.Message })
		})
	}
	return m
}
