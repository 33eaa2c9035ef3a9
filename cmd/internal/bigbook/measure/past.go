package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"runtime"
	"strings"
	"sync"

	"stackbook/cmd/internal/bigbook"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
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

// workPast works the figures of every state in a list, on all cores.
func workPast(dir, list string) error {
	text, err := os.ReadFile(list)
	if err != nil {
		return err
	}
	b, err := book.Open(dir, book.WithEnv(os.Getenv))
	if err != nil {
		return err
	}
	states := strings.Split(strings.TrimSpace(string(text)), "\n")
	cores := runtime.GOMAXPROCS(0)
	errs, counts := make([]error, cores), make([]int, cores)
	var all sync.WaitGroup
	for k := range cores {
		all.Go(func() {
			for i := k; i < len(states) && errs[k] == nil; i += cores {
				var n int
				n, errs[k] = workState(b, states[i])
				counts[k] += n
			}
		})
	}
	all.Wait()
	total := 0
	for _, n := range counts {
		total += n
	}
	fmt.Printf("%d figures of %d states\n", total, len(states))
	return errors.Join(errs...)
}

func workState(b *book.Book, state string) (figures int, err error) {
	hash, folder, _ := strings.Cut(state, " ")
	c, err := b.Resolve(hash)
	if err != nil {
		return 0, err
	}
	tree := b.At(c)
	files, err := records(tree, folder)
	if err != nil {
		return 0, err
	}
	e, problems := record.Load(folder, files)
	if len(problems) > 0 {
		return 0, problems
	}
	return len(figure.Values(e).Results), nil
}

// records reads the records of an engine's folder.
func records(tree book.Tree, folder string) ([]record.File, error) {
	names := []string{path.Join(folder, "spec.yaml")}
	for _, sub := range []string{"measurements", "changes"} {
		entries, err := tree.List(path.Join(folder, sub))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		for _, e := range entries {
			names = append(names, path.Join(folder, sub, e.Name))
		}
	}
	var files []record.File
	for _, n := range names {
		data, err := tree.Read(n)
		if err != nil {
			return nil, err
		}
		files = append(files, record.File{Path: n, Data: data})
	}
	return files, nil
}
