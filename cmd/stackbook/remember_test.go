package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// remember notes all that a refused command may not touch in a folder: every
// file of it, and of git HEAD, the branches, the tags and the index. unchanged
// compares, and names what differs.
func remember(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: remember DIR")
	}
	noted := ts.Value(notedKey{}).(map[string]map[string]string)
	dir := ts.MkAbs(args[0])
	state, err := stateOf(dir)
	ts.Check(err)
	noted[dir] = state
}

func unchanged(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: unchanged DIR")
	}
	dir := ts.MkAbs(args[0])
	before, ok := ts.Value(notedKey{}).(map[string]map[string]string)[dir]
	if !ok {
		ts.Fatalf("%s was not remembered", args[0])
	}
	after, err := stateOf(dir)
	ts.Check(err)
	if differ := differing(before, after); len(differ) > 0 {
		ts.Fatalf("changed: %s", strings.Join(differ, ", "))
	}
}

// notedKey is where a script keeps what it remembered.
type notedKey struct{}

// stateOf hashes every file that counts, by its path in the folder.
func stateOf(dir string) (map[string]string, error) {
	state := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, p)
		if err != nil || !counts(filepath.ToSlash(rel)) {
			return err
		}
		data, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		state[filepath.ToSlash(rel)] = fmt.Sprintf("%x", sha256.Sum256(data))
		return nil
	})
	return state, err
}

// counts leaves out of git's own folder what a refused command may add to:
// objects nothing refers to yet, and caches.
func counts(rel string) bool {
	own, inside := strings.CutPrefix(rel, ".git/")
	if !inside {
		return true
	}
	return own == "HEAD" || own == "index" || own == "packed-refs" || strings.HasPrefix(own, "refs/") || strings.HasSuffix(own, ".lock")
}

func differing(before, after map[string]string) []string {
	var paths []string
	for p, sum := range before {
		if after[p] != sum {
			paths = append(paths, p)
		}
	}
	for p := range after {
		if _, ok := before[p]; !ok {
			paths = append(paths, p)
		}
	}
	sort.Strings(paths)
	return paths
}
