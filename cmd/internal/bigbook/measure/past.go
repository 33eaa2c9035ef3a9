package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path"
	"runtime"
	"strings"
	"sync"
	"time"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/bigbook"
	"stackbook/record/book"
)

// pastStates is how many states the row of past states works.
const pastStates = 2000

func (s *site) pastList() string { return s.Dir + "-past" }

// listPast writes down the states, a commit and a folder each, spread evenly over
// the book's history, and beside them the contents of their records.
func (s *site) listPast() error {
	log, err := bigbook.Git(s.Dir, "log", "--format=%H %(trailers:key=Engine,valueonly,separator=)", s.Head)
	if err != nil {
		return err
	}
	var commits [][2]string
	for line := range strings.Lines(log) {
		if hash, number, _ := strings.Cut(strings.TrimSpace(line), " "); number != "" {
			commits = append(commits, [2]string{hash, number})
		}
	}
	var states, blobs strings.Builder
	for i := range min(pastStates, len(commits)) {
		c := commits[i*len(commits)/min(pastStates, len(commits))]
		folder := s.Folder(c[1])
		fmt.Fprintf(&states, "%s %s\n", c[0], folder)
		tree, err := bigbook.Git(s.Dir, "ls-tree", "-r", c[0], folder+"/")
		if err != nil {
			return err
		}
		for line := range strings.Lines(tree) {
			if info, name, _ := strings.Cut(line, "\t"); !strings.HasSuffix(strings.TrimSpace(name), "figures.yaml") {
				blobs.WriteString(strings.Fields(info)[2] + "\n")
			}
		}
	}
	return errors.Join(os.WriteFile(s.pastList(), []byte(states.String()), 0o666), os.WriteFile(s.pastList()+".blobs", []byte(blobs.String()), 0o666))
}

// workPast tells the figures of every state in a list, on all cores, as the
// program itself does: what was worked out before is looked up.
func workPast(dir, list string) error {
	text, err := os.ReadFile(list)
	if err != nil {
		return err
	}
	s, err := act.Open(dir, time.Now, book.WithEnv(os.Getenv), book.WithProgram(act.Identity))
	if err != nil {
		return err
	}
	past := s.PastFigures()
	states := strings.Split(strings.TrimSpace(string(text)), "\n")
	cores := runtime.GOMAXPROCS(0)
	errs, counts := make([]error, cores), make([]int, cores)
	var all sync.WaitGroup
	for k := range cores {
		all.Go(func() {
			b, err := s.Book.Another()
			if err != nil {
				errs[k] = err
				return
			}
			for i := k; i < len(states) && errs[k] == nil; i += cores {
				var n int
				n, errs[k] = tellState(b, past, states[i])
				counts[k] += n
			}
			errs[k] = errors.Join(errs[k], b.Close())
		})
	}
	all.Wait()
	total := 0
	for _, n := range counts {
		total += n
	}
	past.Save()
	fmt.Printf("%d figures of %d states\n", total, len(states))
	return errors.Join(errs...)
}

func tellState(b *book.Book, past *act.PastFigures, state string) (figures int, err error) {
	hash, folder, _ := strings.Cut(state, " ")
	v, err := past.At(b, hash, act.Place{Number: path.Base(folder), Folder: folder})
	if err == nil && v == nil {
		err = fmt.Errorf("%s at %s cannot be read", folder, hash)
	}
	if err != nil {
		return 0, err
	}
	for i := range v.Len() {
		if _, _, si, _ := v.Value(i); !math.IsNaN(si) {
			figures++
		}
	}
	return figures, nil
}
