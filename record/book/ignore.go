package book

import (
	"path"
	"path/filepath"
	"strings"
)

// ignoring knows which files git would not offer to add. It reads the
// patterns of a folder when it first meets a file there.
type ignoring struct {
	book  *Book
	local map[string][]ignoreLine // what counts in each folder
	dirs  map[string]bool         // whether a folder is ignored
}

// ignoreLine is a pattern with the folder it counts from.
type ignoreLine struct {
	ignorePattern
	dir string // with a slash behind it; "" is the work tree's root
}

func (b *Book) newIgnoring() *ignoring {
	return &ignoring{book: b, local: map[string][]ignoreLine{}, dirs: map[string]bool{".": false}}
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
		result = ignores(patterns, name, dir)
	}
	if dir {
		g.dirs[name] = result
	}
	return result, nil
}

// ignores tells what the last pattern that matches says.
func ignores(patterns []ignoreLine, name string, dir bool) bool {
	for i := len(patterns) - 1; i >= 0; i-- {
		if p := patterns[i]; p.match(strings.TrimPrefix(name, p.dir), dir) {
			return !p.again
		}
	}
	return false
}

// patterns gives what counts for the files of a folder, the weakest first.
func (g *ignoring) patterns(dir string) ([]ignoreLine, error) {
	if known, ok := g.local[dir]; ok {
		return known, nil
	}
	var above []ignoreLine
	own := ""
	var err error
	if dir == "." {
		above, err = g.outside()
	} else {
		own = dir + "/"
		above, err = g.patterns(path.Dir(dir))
	}
	if err != nil {
		return nil, err
	}
	lines, err := readPatterns(filepath.Join(g.book.workPath(dir), ".gitignore"), own)
	g.local[dir] = append(above[:len(above):len(above)], lines...)
	return g.local[dir], err
}

// outside gives the patterns of the user and of the repository.
func (g *ignoring) outside() ([]ignoreLine, error) {
	set, err := g.book.settings()
	if err != nil {
		return nil, err
	}
	file := g.book.expand(set.get("core.excludesfile"))
	if file == "" {
		file = filepath.Join(g.book.configHome(), "git", "ignore")
	}
	global, err := readPatterns(file, "")
	if err != nil {
		return nil, err
	}
	own, err := readPatterns(filepath.Join(g.book.repo.common, "info", "exclude"), "")
	return append(global, own...), err
}

// readPatterns reads one file of patterns; one that is not there holds none.
func readPatterns(file, dir string) ([]ignoreLine, error) {
	text, err := readIfThere(file)
	if err != nil {
		return nil, err
	}
	var patterns []ignoreLine
	for line := range strings.Lines(strings.TrimPrefix(string(text), "\ufeff")) {
		line = strings.TrimRight(line, "\r\n")
		if strings.TrimSpace(line) != "" && !strings.HasPrefix(line, "#") {
			patterns = append(patterns, ignoreLine{parseIgnore(line), dir})
		}
	}
	return patterns, nil
}
