package book

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"stackbook/record/book/objects"
)

// CutOffError says that a question about the past cannot be answered, because
// history is cut off: a shallow clone (git clone --depth) holds the newest
// commits alone.
type CutOffError struct {
	What string // what cannot be told: "which commit was the first"
	At   Commit // the oldest commit there is on that way
}

// Error gives the question, where history ends, and what to type.
func (e *CutOffError) Error() string {
	return fmt.Sprintf("%s cannot be told: %s; type: git fetch --unshallow", e.What, e.At.CutOff())
}

// CutOff says, of a commit that is Cut, that history ends there.
func (c Commit) CutOff() string {
	return fmt.Sprintf("history is cut off before commit %s of %s (a shallow clone)", c.Short(), c.Committer.When.Format(time.DateOnly))
}

// CutOff gives a commit at which history is cut off; ok is false where all of
// it is there.
func (b *Book) CutOff() (c Commit, ok bool, err error) {
	cut, err := b.shallow()
	if err != nil || len(cut) == 0 {
		return Commit{}, false, err
	}
	c, err = b.commit(slices.Min(slices.Collect(maps.Keys(cut))))
	return c, c.Cut, err
}

// readShallow gives the commits at which a shallow clone ends.
func (b *Book) readShallow() (map[objects.ID]bool, error) {
	text, err := readIfThere(filepath.Join(b.repo.common, "shallow"))
	if err != nil {
		return nil, err
	}
	cut := map[objects.ID]bool{}
	for line := range strings.Lines(string(text)) {
		cut[objects.ID(strings.TrimSpace(line))] = true
	}
	return cut, nil
}
