package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"stackbook/cmd/internal/bigbook"
)

// site is a book with the programs that are let loose on it.
type site struct {
	tools
	*bigbook.Made
	edits int
}

// row is one job, done by stackbook and by the git program.
type row struct {
	name    string
	shown   [2]string // what either runs, for the table
	targets map[string]float64
	memory  bool                              // it is about memory, not time
	setUp   func(s *site) error               // once; it may go to another copy of the book
	before  func(s *site) error               // before each run, of either
	ours    func(s *site) ([][]string, error) // commands, one after the other
	git     func(s *site) ([][]string, error) // likewise
}

// pair is what came of one row on one book: milliseconds, or MiB, and of how many
// pairs.
type pair struct {
	ours, git float64
	pairs     int
}

// fewPairs is how often a job is done whose pair takes longer than slow.
const (
	fewPairs = 3
	slow     = 15 * time.Second
)

var rows = []row{
	{
		name: "commit one engine, checked and recomputed", shown: [2]string{"stackbook commit", "git add && git commit"},
		targets: map[string]float64{"S": 1.5, "M": 2.5, "L": 8}, before: (*site).edit,
		ours: one(func(s *site) []string { return []string{s.stackbook, "commit", s.OnBench, "-m", "read again"} }),
		git:  gitCommit,
	},
	{
		name: "the same in a sparse checkout", shown: [2]string{"stackbook commit", "git add && git commit, its index in cone mode"},
		targets: map[string]float64{"L": 2}, setUp: (*site).toCone, before: (*site).edit,
		ours: one(func(s *site) []string { return []string{s.stackbook, "commit", s.OnBench, "-m", "read again"} }),
		git:  gitCommit,
	},
	{
		name: "one engine's commits", shown: [2]string{"stackbook history X --commits", "git log -- X, Bloom commit graph"},
		targets: map[string]float64{"S": 2.5, "M": 6, "L": 25},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "history", s.Rebuilt, "--commits"} }),
		git: one(func(s *site) []string {
			return []string{"git", "log", "--format=%cs %h %an %s", "--", s.Folder(s.Rebuilt)}
		}),
	},
	{
		name: "where a lot ever was", shown: [2]string{"stackbook where-used LOT@HEAD", "git log -S LOT"}, // neither looks at the folder
		targets: map[string]float64{"S": 12, "M": 120, "L": 600},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "where-used", s.Lot + "@HEAD"} }),
		git:     one(func(s *site) []string { return []string{"git", "log", "--format=%h", "-S" + s.Lot} }),
	},
	{
		name: "one record at a date", shown: [2]string{"stackbook show X@DATE", "git show REV:path"},
		targets: map[string]float64{"S": 0.9, "M": 0.9, "L": 0.9},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "show", s.Rebuilt + "@" + s.Date} }),
		git: one(func(s *site) []string {
			return []string{"git", "show", "build/" + s.Rebuilt + "/1:" + s.Folder(s.Rebuilt) + "/spec.yaml"}
		}),
	},
	{
		name: "two builds compared by meaning, with figures", shown: [2]string{"stackbook diff X/1 X/2", "git diff A B -- X"},
		targets: map[string]float64{"S": 0.5, "M": 0.5, "L": 0.5},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "diff", s.Rebuilt + "/1", s.Rebuilt + "/2"} }),
		git: one(func(s *site) []string {
			return []string{"git", "diff", "build/" + s.Rebuilt + "/1", "build/" + s.Rebuilt + "/2", "--", s.Folder(s.Rebuilt)}
		}),
	},
	{
		name: "figures of 2,000 past states, without uncertainties", shown: [2]string{"what the program keeps of them, in one process", "git cat-file --batch of the same files"},
		targets: map[string]float64{"S": 0.5, "M": 0.5, "L": 0.5}, setUp: (*site).listPast,
		ours: one(func(s *site) []string { return []string{s.measure, "-keep", s.Dir, "-past", s.pastList()} }),
		git: one(func(s *site) []string {
			return []string{"sh", "-c", "git cat-file --batch < '" + s.pastList() + ".blobs'"}
		}),
	},
	{
		name: "fleet of the last commit, one line an engine", shown: [2]string{"stackbook fleet @HEAD", "git ls-tree -r HEAD, git cat-file --batch of all specs"}, // neither looks at the folder
		targets: map[string]float64{"S": 1.5, "M": 3, "L": 5},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "fleet", "@HEAD"} }),
		git: one(func(s *site) []string {
			return []string{"sh", "-c", "git ls-tree -r HEAD | grep '/spec.yaml$' | cut -c 13-52 | git cat-file --batch"}
		}),
	},
	{
		name: "fleet as it lies in the folder", shown: [2]string{"stackbook fleet", "git status, then the same"},
		ours: one(func(s *site) []string { return []string{s.stackbook, "fleet"} }),
		git: one(func(s *site) []string {
			return []string{"sh", "-c", "git status --porcelain; git ls-tree -r HEAD | grep '/spec.yaml$' | cut -c 13-52 | git cat-file --batch"}
		}),
	},
	{
		name: "index from nothing", shown: [2]string{"stackbook where-used LOT@HEAD, its index deleted", "git log -S LOT"},
		targets: map[string]float64{"M": 1, "L": 1}, before: (*site).dropIndex,
		ours: one(func(s *site) []string { return []string{s.stackbook, "where-used", s.Lot + "@HEAD"} }),
		git:  one(func(s *site) []string { return []string{"git", "log", "--format=%h", "-S" + s.Lot} }),
	},
	{
		name: "peak memory of a commit", shown: [2]string{"stackbook commit", "git add && git commit"}, memory: true,
		targets: map[string]float64{"L": 1}, before: (*site).edit,
		ours: one(func(s *site) []string { return []string{s.stackbook, "commit", s.OnBench, "-m", "read again"} }),
		git:  gitCommit,
	},
	{
		name: "start", shown: [2]string{"stackbook --version", "an empty Go program"},
		targets: map[string]float64{"S": 1 / 1.5, "M": 1 / 1.5, "L": 1 / 1.5},
		ours:    one(func(s *site) []string { return []string{s.stackbook, "--version"} }),
		git:     one(func(s *site) []string { return []string{s.empty} }),
	},
}

func one(command func(s *site) []string) func(s *site) ([][]string, error) {
	return func(s *site) ([][]string, error) { return [][]string{command(s)}, nil }
}

func gitCommit(s *site) ([][]string, error) {
	return [][]string{{"git", "add", s.Folder(s.OnBench)}, {"git", "commit", "-qm", "read again"}}, nil
}

// measure does the job by both sides in turn, each going first as often as the
// other, after a run of each that is not counted. Of the runs the median counts.
func (r row) measure(at *site, pairs int) (pair, error) {
	own := *at
	s := &own
	if r.setUp != nil {
		if err := r.setUp(s); err != nil {
			return pair{}, err
		}
	}
	var found [2][]float64
	sides := [2]func(*site) ([][]string, error){r.ours, r.git}
	begun := time.Now()
	for i := 0; i < 1+pairs; i++ {
		if i == 1 && time.Since(begun) > slow {
			pairs = min(pairs, fewPairs)
		}
		for k := range sides {
			side := (i + k) % 2
			value, err := r.once(s, sides[side])
			if err != nil {
				return pair{}, err
			}
			if i > 0 {
				found[side] = append(found[side], value)
			}
		}
	}
	return pair{median(found[0]), median(found[1]), pairs}, nil
}

// once runs the commands of one side.
func (r row) once(s *site, side func(*site) ([][]string, error)) (float64, error) {
	if r.before != nil {
		if err := r.before(s); err != nil {
			return 0, err
		}
	}
	commands, err := side(s)
	if err != nil {
		return 0, err
	}
	var spent time.Duration
	most := 0.0
	for _, c := range commands {
		if r.memory {
			c = append([]string{s.measure, "-memory"}, c...)
		}
		cmd := exec.Command(c[0], c[1:]...)
		cmd.Dir, cmd.Env = s.Dir, bigbook.Env()
		var out, said bytes.Buffer
		if cmd.Stderr = &said; r.memory {
			cmd.Stdout = &out // else it goes nowhere
		}
		begun := time.Now()
		err := cmd.Run()
		spent += time.Since(begun)
		if err != nil {
			return 0, fmt.Errorf("%s: %w: %s", strings.Join(c, " "), err, &said)
		}
		if kib, err := strconv.ParseFloat(strings.TrimSpace(out.String()), 64); err == nil {
			most = max(most, kib/1024)
		}
	}
	if r.memory {
		return most, nil
	}
	return float64(spent) / float64(time.Millisecond), nil
}

// tellMemory runs a command and prints the most memory that it, or any program
// it ran, had in use, in KiB (getrusage(2), on Linux). It is a process of its own
// because Linux counts in a program's peak what its parent had when starting it.
func tellMemory(command []string) error {
	cmd := exec.Command(command[0], command[1:]...)
	cmd.Stderr = os.Stderr
	if err := cmd.Run(); err != nil {
		return err
	}
	usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	if !ok {
		return errors.New("this system does not tell")
	}
	fmt.Println(usage.Maxrss)
	return nil
}

func median(values []float64) float64 {
	values = slices.Sorted(slices.Values(values))
	return (values[len(values)/2] + values[(len(values)-1)/2]) / 2
}

// edit alters one reading of the engine on the bench, as an editor would.
func (s *site) edit() error {
	file := filepath.Join(s.Dir, filepath.FromSlash(s.Session))
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	const key = "housing/1/at/A: "
	head, tail, ok := bytes.Cut(text, []byte(key))
	_, tail, ok2 := bytes.Cut(tail, []byte("\n"))
	if !ok || !ok2 {
		return errors.New(s.Session + " has no reading " + key)
	}
	for { // not the value that is there
		s.edits++
		edited := fmt.Appendf(slices.Clone(head), "%s78.0%02d\n", key, s.edits%20)
		if edited = append(edited, tail...); !bytes.Equal(edited, text) {
			return os.WriteFile(file, edited, 0o666)
		}
	}
}

// toCone goes to a clone of the book in which the group of the engine on the bench
// alone is checked out, and git's index has one entry for each other.
func (s *site) toCone() error {
	made := *s.Made
	made.Dir += "-cone"
	if err := os.RemoveAll(made.Dir); err != nil {
		return err
	}
	group := path.Dir(s.Folder(s.OnBench))
	for _, args := range [][]string{
		{"clone", "-q", "--shared", "--no-checkout", s.Dir, made.Dir},
		{"-C", made.Dir, "config", "user.name", "KM"},
		{"-C", made.Dir, "config", "user.email", "km@skarvik.example"},
		{"-C", made.Dir, "sparse-checkout", "set", "--cone", "--sparse-index", group, "parts", "limits", "schemas"},
		{"-C", made.Dir, "checkout", "-q"},
	} {
		if _, err := bigbook.Git(filepath.Dir(s.Dir), args...); err != nil {
			return err
		}
	}
	s.Made = &made
	return nil
}

// dropIndex deletes what stackbook keeps beside git's objects.
func (s *site) dropIndex() error {
	err := os.RemoveAll(filepath.Join(s.Dir, ".git", "stackbook"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
