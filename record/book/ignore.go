package book

import (
	"path"
	"path/filepath"
	"strings"

	"github.com/go-git/go-git/v5/plumbing/format/gitignore"
)

// ignoring knows which files git would not offer to add. It reads the
// patterns of a folder when it first meets a file there.
type ignoring struct {
	book  *Book
	local map[string][]gitignore.Pattern // what counts in each folder
	dirs  map[string]bool                // whether a folder is ignored
}

func (b *Book) newIgnoring() *ignoring {
	return &ignoring{book: b, local: map[string][]gitignore.Pattern{}, dirs: map[string]bool{".": false}}
}

// match says whether git ignores what is at name, a path from the work tree's
// root: by a pattern for itself, or because a folder above it is ignored.
func (g *ignoring) match(name string, dir bool) (bool, error) {
	if known, ok := g.dirs[name]; dir && ok {
		return known, nil
	}
	above, err := g.match(path.Dir(name), true)
	if err != nil {
		return false, err
	}
	result := above
	if !above {
		patterns, err := g.patterns(path.Dir(name))
		if err != nil {
			return false, err
		}
		result = gitignore.NewMatcher(patterns).Match(strings.Split(name, "/"), dir)
	}
	if dir {
		g.dirs[name] = result
	}
	return result, nil
}

// patterns gives what counts for the files of a folder, the weakest first.
func (g *ignoring) patterns(dir string) ([]gitignore.Pattern, error) {
	if known, ok := g.local[dir]; ok {
		return known, nil
	}
	var above []gitignore.Pattern
	var domain []string
	var err error
	if dir == "." {
		above, err = g.outside()
	} else {
		domain = strings.Split(dir, "/")
		above, err = g.patterns(path.Dir(dir))
	}
	if err != nil {
		return nil, err
	}
	own, err := readPatterns(filepath.Join(g.book.workPath(dir), ".gitignore"), domain)
	g.local[dir] = append(above[:len(above):len(above)], own...)
	return g.local[dir], err
}

// outside gives the patterns of the user and of the repository.
func (g *ignoring) outside() ([]gitignore.Pattern, error) {
	set, err := g.book.settings()
	if err != nil {
		return nil, err
	}
	file := g.book.expand(set.get("core.excludesfile"))
	if file == "" {
		file = filepath.Join(g.book.configHome(), "git", "ignore")
	}
	global, err := readPatterns(file, nil)
	if err != nil {
		return nil, err
	}
	own, err := readPatterns(filepath.Join(g.book.repo.common, "info", "exclude"), nil)
	return append(global, own...), err
}

// readPatterns reads one file of patterns; one that is not there holds none.
func readPatterns(file string, domain []string) ([]gitignore.Pattern, error) {
	text, err := readIfThere(file)
	if err != nil {
		return nil, err
	}
	var patterns []gitignore.Pattern
	for line := range strings.Lines(strings.TrimPrefix(string(text), "\ufeff")) {
		line = strings.TrimRight(line, "\r\n")
		if strings.TrimSpace(line) != "" && !strings.HasPrefix(line, "#") {
			patterns = append(patterns, gitignore.ParsePattern(line, domain))
		}
	}
	return patterns, nil
}
