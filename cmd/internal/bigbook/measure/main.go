// Measure holds stackbook against the git program on large books, as whole
// processes in pairs, and prints a table. It is run from the project's folder:
//
//	go run ./cmd/internal/bigbook/measure -sizes S,M,L -pairs 7
//
// It takes minutes and, of the largest size, a gigabyte of disk.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/cmd/internal/bigbook"
)

func main() {
	sizes := flag.String("sizes", "S,M,L", "which books, by name: S, M, L, Y")
	pairs := flag.Int("pairs", 7, "how often each job is done by either side")
	keep := flag.String("keep", "", "a folder in which the books are made, or found from the last time")
	only := flag.String("only", "", "only rows whose name holds one of these words, with commas between")
	past := flag.String("past", "", "work the figures of the states in this list, of the book in -keep, and nothing else")
	memory := flag.Bool("memory", false, "run the command that follows, print its peak memory in KiB, and nothing else")
	flag.Parse()
	var err error
	switch {
	case *past != "":
		err = workPast(*keep, *past)
	case *memory && flag.NArg() > 0:
		err = tellMemory(flag.Args())
	default:
		err = run(strings.Split(*sizes, ","), *pairs, *keep, *only)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

// run makes the books, measures every row on each, and prints the table.
func run(sizes []string, pairs int, dir, only string) error {
	if dir == "" {
		temp, err := os.MkdirTemp("", "bigbook-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(temp)
		dir = temp
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	tools, err := build(dir)
	if err != nil {
		return err
	}
	t := newTable(pairs)
	for _, name := range sizes {
		size, ok := bigbook.Named(name)
		if !ok {
			return fmt.Errorf("there is no size %q", name)
		}
		m, err := prepare(filepath.Join(dir, name), size)
		if err != nil {
			return err
		}
		s := &site{tools: tools, Made: m}
		for _, row := range rows {
			if !slices.ContainsFunc(strings.Split(only, ","), func(word string) bool { return strings.Contains(row.name, word) }) {
				continue
			}
			p, err := row.measure(s, pairs)
			if err != nil {
				return fmt.Errorf("%s, %s: %w", name, row.name, err)
			}
			t.add(row, name, p)
			fmt.Fprintf(os.Stderr, "%s: %s: %s / %s\n", name, row.name, digits(p.ours), digits(p.git))
		}
	}
	t.print(os.Stdout)
	return nil
}

// tools are the programs that are measured.
type tools struct{ stackbook, measure, empty string }

// build builds them.
func build(dir string) (tools, error) {
	t := tools{filepath.Join(dir, "stackbook"), filepath.Join(dir, "measure"), filepath.Join(dir, "empty")}
	source := t.empty + ".go"
	if err := os.WriteFile(source, []byte("package main\n\nfunc main() {}\n"), 0o666); err != nil {
		return t, err
	}
	for out, what := range map[string]string{t.stackbook: "./cmd/stackbook", t.measure: "./cmd/internal/bigbook/measure", t.empty: source} {
		if text, err := exec.Command("go", "build", "-o", out, what).CombinedOutput(); err != nil {
			return t, fmt.Errorf("go build %s: %w: %s", what, err, text)
		}
	}
	return t, nil
}

// prepare makes a book, or takes the one made the last time, as a book that has
// been in use: packed, and with a commit graph that says which paths a commit
// altered, by which git goes as fast as it can.
func prepare(dir string, size bigbook.Size) (*bigbook.Made, error) {
	if _, err := os.Stat(dir); err == nil {
		return bigbook.Found(dir, size, seed)
	}
	fmt.Fprintf(os.Stderr, "%s: making a book of %d engines and %d commits\n", size.Name, size.Engines, size.Commits)
	m, err := bigbook.Make(dir, size, seed)
	if err != nil {
		return nil, err
	}
	for _, args := range [][]string{{"repack", "-adfq"}, {"commit-graph", "write", "--reachable", "--changed-paths"}} {
		if _, err := bigbook.Git(dir, args...); err != nil {
			return nil, err
		}
	}
	return m, nil
}

const seed = 1
