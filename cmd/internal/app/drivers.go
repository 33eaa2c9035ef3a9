package app

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
)

// mergeDriver merges a record for git into the file that holds our side. What a
// person must decide is told on standard error, and stands in the text between
// git's marks. Where it gives anything but 0 and 1, the driver that git calls has
// git merge the lines.
func (a *app) mergeDriver(book string, files []string) error {
	var sides [3][]byte
	for i := range sides {
		var err error
		if sides[i], err = os.ReadFile(a.path(files[i])); err != nil {
			return err
		}
	}
	name := files[3] // as git has it, from the root of the work tree
	if rel, err := filepath.Rel(book, a.path(name)); err == nil {
		name = filepath.ToSlash(rel)
	}
	m := act.MergeRecord(name, sides[0], sides[1], sides[2])
	for _, c := range m.Conflicts {
		a.remark("stackbook: %s; %s", strings.Join(nonEmpty(files[3], c.Path, c.Message), ": "), c.Mend)
	}
	if m.Text == nil {
		return errCouldNot
	}
	if err := replace(a.path(files[1]), m.Text); err != nil {
		return err
	}
	if len(m.Problems) > 0 {
		return m.Problems
	}
	if len(m.Conflicts) > 0 {
		return errStrict
	}
	return nil
}

// replace writes a file anew, wholly or not at all: where it cannot, our side must
// still stand in it, for git merges the lines of what it finds there.
func replace(name string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".stackbook-tmp-")
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

func nonEmpty(words ...string) []string {
	var kept []string
	for _, w := range words {
		if w != "" {
			kept = append(kept, w)
		}
	}
	return kept
}

// textconv prints a record for git to compare and show, one line a value. What
// cannot be read as a record is printed as it is written, so that the driver fails only
// where nothing can be read or written at all (R23).
func (a *app) textconv(_ string, files []string) error {
	text, err := os.ReadFile(a.path(files[0]))
	if err != nil {
		return err
	}
	lines, ok := act.Plain(text)
	if !ok {
		_, err := a.term.Write([]byte(term.CleanLines(string(text))))
		return err
	}
	for _, line := range lines {
		a.term.Line("%s", line)
	}
	return nil
}
