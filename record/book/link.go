package book

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Links is what plain git is told of a book, in files of git's own that belong
// to this clone alone.
type Links struct {
	Hooks      map[string]string // by the hook's name, what it does, for the shell
	Attributes string            // lines of .git/info/attributes
	Config     string            // lines of .git/config
}

// Linked is what linking or unlinking did. Files are named as from the work
// tree's root, or absolute where they lie outside.
type Linked struct {
	Written []string // files written or, where unlinked, taken away
	Kept    []string // hooks of the person's own that still run
	Left    []string // hooks of ours that somebody has changed since, left as they are
	Shared  string   // the folder of hooks, where other repositories may use it too
}

// Link tells plain git of the book. Files that hold lines of a person's own get
// ours in a marked block at the top; a hook of that name that is there already
// is kept beside ours and runs first. To link again is to bring all of it up to
// date. Nothing is written where one part cannot be. Of several books in one
// repository one can be linked.
func (b *Book) Link(l Links) (Linked, error) {
	set, err := b.linkable()
	if err != nil {
		return Linked{}, err
	}
	var done Linked
	var files []*gitFile
	for _, part := range []struct{ name, lines string }{{"config", l.Config}, {"info/attributes", l.Attributes}} {
		f, err := b.readGitFile(filepath.Join(b.repo.common, filepath.FromSlash(part.name)))
		if err != nil {
			return done, err
		}
		if folder, other := otherBook(f.old, b.repo.prefix); other {
			return done, fmt.Errorf("plain git is linked to another book of this repository, in /%s, and can be to one; take that out first: stackbook unlink", folder)
		}
		if f.text, err = withBlock(f.old, f.there, blockBook+b.repo.prefix+"\n"+part.lines); err != nil {
			return done, fmt.Errorf("%s: %w", f.name, err)
		}
		files = append(files, f)
	}
	dir := b.hooksDir(set)
	for _, name := range slices.Sorted(maps.Keys(l.Hooks)) {
		f, err := b.readGitFile(filepath.Join(dir, name))
		if err != nil {
			return done, err
		}
		if err := f.replaceHook(hookText(l.Hooks[name])); err != nil {
			return done, err
		}
		if _, err := os.Lstat(f.name + beforeSuffix); err == nil || f.keep {
			done.Kept = append(done.Kept, b.shown(f.name+beforeSuffix))
		}
		files = append(files, f)
	}
	if b.isShared(dir) {
		done.Shared = dir
	}
	done.Written, err = b.writeGitFiles(files)
	return done, err
}

// isShared tells whether a folder of hooks lies outside this repository, where
// others may use it too.
func (b *Book) isShared(dir string) bool {
	return !within(dir, b.repo.common) && !within(dir, b.repo.work)
}

// Unlink takes out what Link put in: every file is, byte for byte, as it would
// be without. A hook of ours that somebody has changed stays.
func (b *Book) Unlink() (Linked, error) {
	set, err := b.linkable()
	if err != nil {
		return Linked{}, err
	}
	var done Linked
	var files []*gitFile
	for _, name := range []string{"config", "info/attributes"} {
		f, err := b.readGitFile(filepath.Join(b.repo.common, filepath.FromSlash(name)))
		if err != nil {
			return done, err
		}
		if f.text, f.remove, err = withoutBlock(f.old); err != nil {
			return done, fmt.Errorf("%s: %w", f.name, err)
		}
		f.remove = f.remove && f.text == ""
		files = append(files, f)
	}
	for _, dir := range uniqueDirs(b.hooksDir(set), filepath.Join(b.repo.common, "hooks")) {
		hooks, changed, err := b.ownHooks(dir)
		if err != nil {
			return done, err
		}
		if len(hooks) > 0 && b.isShared(dir) {
			done.Shared = dir
		}
		files = append(files, hooks...)
		for _, name := range changed {
			done.Left = append(done.Left, b.shown(name))
		}
	}
	done.Written, err = b.writeGitFiles(files)
	return done, err
}

// linkable refuses a repository without a folder to work in, and gives git's
// settings.
func (b *Book) linkable() (settings, error) {
	if err := b.CheckFolder(); err != nil {
		return nil, err
	}
	return b.settings()
}

// ownHooks gives the hooks of ours in a folder, to be taken away, and those that
// were changed since.
func (b *Book) ownHooks(dir string) (hooks []*gitFile, changed []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, nil, err
	}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			continue
		}
		f, err := b.readGitFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, nil, err
		}
		switch ours, untouched := isOurs(f.old); {
		case ours && !untouched:
			changed = append(changed, f.name)
		case ours:
			f.remove, f.bringBack = true, true
			hooks = append(hooks, f)
		}
	}
	return hooks, changed, nil
}

// shown is a file's name for a person.
func (b *Book) shown(name string) string {
	if rel, err := filepath.Rel(b.repo.work, name); err == nil && filepath.IsLocal(rel) {
		return filepath.ToSlash(rel)
	}
	return name
}

// within tells whether a path lies in a folder, links followed.
func within(name, dir string) bool {
	rel, err := filepath.Rel(realPath(dir), realPath(name))
	return err == nil && filepath.IsLocal(rel)
}

func uniqueDirs(dirs ...string) []string {
	return slices.CompactFunc(dirs, func(a, b string) bool { return realPath(a) == realPath(b) })
}

// oursAlone tells whether a hook is ours and nothing of the person's own runs
// with it: then a commit of ours, which has checked all that the hook would, can
// do without it.
func oursAlone(file string) bool {
	text, err := os.ReadFile(file)
	if err != nil || !strings.HasPrefix(string(text), shell+hookMark) {
		return false
	}
	_, untouched := isOurs(string(text))
	_, err = os.Lstat(file + beforeSuffix)
	return untouched && errors.Is(err, fs.ErrNotExist)
}

// InRepository gives the path of the book from the root of the work tree, with a
// slash at its end; "" where they are the same.
func (b *Book) InRepository() (string, error) { return b.repo.prefix, b.CheckFolder() }
