// Package bigbook makes large books for tests and for measuring: up to ten
// thousand invented engines over fifteen years, as a shop like the one of
// Skarvik would have written them. The records are whole and in order, with
// the figures that follow from them; parts and lots go from engine to engine,
// engines come back for a rebuild, and each delivered build is sealed by its
// tag.
//
// Records are rendered from a few patterns of an engine's life, whose figures
// are worked out once by the program's own formulas, and are fed to git
// fast-import. The same size and seed give the same commits, hash by hash.
package bigbook

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
)

// Size is how large a book is made.
type Size struct {
	Name             string
	Engines, Commits int
}

// The sizes that are measured. Small and Large have as many commits an engine
// as a shop writes of a build; in the others most engines came back.
var (
	Small  = Size{"S", 100, 1_000}
	Middle = Size{"M", 1_000, 20_000}
	Large  = Size{"L", 10_000, 100_000}
	Years  = Size{"Y", 300, 6_000} // a shop's fifteen years
)

// Sizes lists them by name.
var Sizes = []Size{Small, Middle, Large, Years}

// Named gives the size of that name.
func Named(name string) (Size, bool) {
	for _, s := range Sizes {
		if s.Name == name {
			return s, true
		}
	}
	return Size{}, false
}

// Made is a book that was made, with names in it to ask for.
type Made struct {
	Dir     string
	Size    Size
	Head    string   // the last commit
	Numbers []string // of all engines, by the day they were enrolled

	Rebuilt  string // an engine with two delivered builds or more, both sealed
	OnBench  string // an engine measured and not delivered yet
	Session  string // a session of OnBench, in the book, that a commit may alter
	Reading  string // a line of that session, with its line end
	Lot      string // of coolant seals: out of Rebuilt, and fitted in others
	Serial   string // of a rotor that went out of one engine into another
	From, To string // those engines; "" where the book is too small for any
	Customer string // of Rebuilt
	Date     string // a day in the midst of it all
}

// Folder is the folder of an engine in the book.
func (m *Made) Folder(number string) string {
	found, err := filepath.Glob(filepath.Join(m.Dir, "engines", "*", number))
	if err != nil || len(found) != 1 {
		return ""
	}
	return path.Join("engines", filepath.Base(filepath.Dir(found[0])), number)
}

// Make makes a book in a folder that is not there yet: its history, its tags,
// and a folder checked out, with nothing to commit. Author of what is
// committed later is KM, by the repository's own configuration.
func Make(dir string, size Size, seed uint64) (*Made, error) {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return nil, err
	}
	plan, err := newPlan(size, seed)
	if err != nil {
		return nil, err
	}
	for _, args := range [][]string{
		{"init", "-q", "-b", "main"}, {"config", "user.name", "KM"}, {"config", "user.email", "km@skarvik.example"},
	} {
		if _, err := Git(dir, args...); err != nil {
			return nil, err
		}
	}
	if err := plan.feed(dir); err != nil {
		return nil, err
	}
	for _, args := range [][]string{{"pack-refs", "--all"}, {"reset", "-q", "--hard"}, {"update-index", "-q", "--refresh"}} {
		if _, err := Git(dir, args...); err != nil {
			return nil, err
		}
	}
	head, err := Git(dir, "rev-parse", "HEAD")
	if err != nil {
		return nil, err
	}
	m := plan.names()
	m.Dir, m.Head = dir, strings.TrimSpace(head)
	return m, nil
}

// Git runs the git program in a folder without anybody's settings and gives
// what it prints.
func Git(dir string, args ...string) (string, error) {
	cmd := git(dir, args...)
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		return "", fmt.Errorf("git %s: %w: %s", args[0], err, errs.String())
	}
	return string(out), nil
}

func git(dir string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(context.Background(), "git", args...)
	cmd.Dir = dir
	cmd.Env = Env()
	return cmd
}

// Env is the environment of a person without settings of their own.
func Env() []string {
	return append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1", "LC_ALL=C")
}

// Found is the book that Make made of that size and seed in a folder, and that
// may have gone on since.
func Found(dir string, size Size, seed uint64) (*Made, error) {
	plan, err := newPlan(size, seed)
	if err != nil {
		return nil, err
	}
	plan.write(&stream{w: bufio.NewWriter(io.Discard)})
	head, err := Git(dir, "rev-parse", "HEAD")
	if err != nil {
		return nil, err
	}
	m := plan.names()
	m.Dir, m.Head = dir, strings.TrimSpace(head)
	return m, nil
}
