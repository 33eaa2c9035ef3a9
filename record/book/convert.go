package book

import (
	"context"
	"path"
	"path/filepath"
	"strings"

	"stackbook/record/book/index"
)

// converting are the attributes under which git stores other bytes than the
// folder holds.
var converting = []string{"text", "crlf", "eol", "filter", "ident", "working-tree-encoding"}

// converted gives those of the paths (from the repository's root) whose bytes
// git may change on their way from the folder into the store (R14). git is
// asked only where a setting or an attribute file hints at it; in a book as
// it is begun, where all is marked -text, none does.
func (b *Book) converted(x *index.Index, paths []string) (map[string]bool, error) {
	hint, err := b.mayConvert(x, paths)
	if err != nil || !hint {
		return nil, err
	}
	args := append([]string{"-C", b.repo.work, "check-attr", "-z", "--stdin"}, converting...)
	out, err := b.runGit(context.Background(), nil, strings.Join(paths, "\x00")+"\x00", args...)
	if err != nil {
		return nil, err
	}
	set, err := b.settings()
	if err != nil {
		return nil, err
	}
	attrs := map[string]map[string]string{}
	fields := strings.Split(out, "\x00") // path, attribute, value, and again
	for ; len(fields) >= 3; fields = fields[3:] {
		if attrs[fields[0]] == nil {
			attrs[fields[0]] = map[string]string{}
		}
		attrs[fields[0]][fields[1]] = fields[2]
	}
	yes := map[string]bool{}
	for p, a := range attrs {
		yes[p] = converts(a, set.is("core.autocrlf", false))
	}
	return yes, nil
}

// converts judges the attributes of one file. byDefault is what happens to
// line ends where none of them speaks.
func converts(a map[string]string, byDefault bool) bool {
	const unset, unspecified = "unset", "unspecified"
	for _, name := range []string{"filter", "ident", "working-tree-encoding"} {
		if v := a[name]; v != unset && v != unspecified {
			return true
		}
	}
	for _, name := range []string{"text", "crlf"} { // crlf is the older name
		if v := a[name]; v != unspecified {
			return v != unset
		}
	}
	return byDefault || a["eol"] != unset && a["eol"] != unspecified
}

// mayConvert says whether anything at all hints at a conversion.
func (b *Book) mayConvert(x *index.Index, paths []string) (bool, error) {
	set, err := b.settings()
	if err != nil || set.is("core.autocrlf", false) {
		return true, err
	}
	global := b.expand(set.get("core.attributesfile"))
	if global == "" {
		global = filepath.Join(b.configHome(), "git", "attributes")
	}
	files := []string{"/etc/gitattributes", global, filepath.Join(b.repo.common, "info", "attributes")}
	dirs := map[string]bool{".": true}
	for _, p := range paths {
		for dir := path.Dir(p); !dirs[dir]; dir = path.Dir(dir) {
			dirs[dir] = true
		}
	}
	for dir := range dirs {
		name := path.Join(dir, ".gitattributes")
		file := filepath.Join(b.repo.work, filepath.FromSlash(name))
		if _, staged := x.Find(name); staged && !isFile(file) {
			return true, nil // git then reads the staged one
		}
		files = append(files, file)
	}
	for _, file := range files {
		if hint, err := hintsAtConversion(file); err != nil || hint {
			return hint, err
		}
	}
	return false, nil
}

// hintsAtConversion says whether an attribute file speaks of any of the
// converting attributes other than to forbid it, or defines a macro, which
// may hide one.
func hintsAtConversion(file string) (bool, error) {
	text, err := readIfThere(file)
	if err != nil {
		return false, err
	}
	for line := range strings.Lines(string(text)) {
		words := strings.Fields(line)
		if len(words) == 0 || strings.HasPrefix(words[0], "#") {
			continue
		}
		if strings.HasPrefix(words[0], "[attr]") {
			return true, nil
		}
		// A quoted pattern may hold spaces; its parts are no attribute names.
		for _, word := range words[1:] {
			name, _, _ := strings.Cut(strings.TrimPrefix(word, "!"), "=")
			for _, c := range converting {
				if name == c {
					return true, nil
				}
			}
		}
	}
	return false, nil
}
