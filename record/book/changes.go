package book

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// What says how a file in the folder differs from HEAD's.
type What string

// The kinds of difference.
const (
	Added    What = "added"
	Modified What = "modified"
	Deleted  What = "deleted"
)

// Change is one file that is not in the folder as it is in HEAD.
type Change struct {
	Path    string
	What    What
	Tracked bool // git knows the file: it is in HEAD or staged
	Staged  bool // what is staged differs from HEAD
}

// Changes gives what stands between HEAD and the folder at prefix (a file or
// folder of the book, "." for all of it), sorted by path. Nothing outside it
// is looked at. Contents are compared, by stat where that proves them equal.
// Files that git ignores are left out unless they are tracked, and so are
// those the person told git to take as unchanged or as not in the folder.
func (b *Book) Changes(prefix string) ([]Change, error) {
	if err := checkPath(prefix); err != nil {
		return nil, err
	}
	if b.repo.bare {
		return nil, nil
	}
	x, err := b.lookIndex()
	if err != nil {
		return nil, err
	}
	c := comparison{book: b, index: x, head: map[string]objects.Entry{}, folder: map[string]fs.FileInfo{}}
	if info, err := os.Stat(b.indexFile()); err == nil {
		c.indexSec = info.ModTime().Unix()
	}
	return c.run(b.inRepo(prefix))
}

// comparison is the work of Changes. Paths are from the repository's root.
type comparison struct {
	book     *Book
	index    *index.Index
	indexSec int64
	head     map[string]objects.Entry
	folder   map[string]fs.FileInfo
	ignored  *ignoring
}

func (c *comparison) run(prefix string) ([]Change, error) {
	if err := c.readHead(prefix); err != nil {
		return nil, err
	}
	c.ignored = c.book.newIgnoring()
	if err := c.readFolder(prefix); err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for name := range c.head {
		names[name] = true
	}
	for name := range c.folder {
		names[name] = true
	}
	var changes []Change
	var doubtful []string // tracked, and not the same byte for byte
	for _, name := range sortedKeys(names) {
		change, differs, err := c.compare(name)
		if err != nil {
			return nil, err
		}
		if !differs {
			continue
		}
		changes = append(changes, change)
		if change.What == Modified {
			doubtful = append(doubtful, name)
		}
	}
	same, err := c.sameConverted(doubtful)
	if err != nil {
		return nil, err
	}
	changes = slices.DeleteFunc(changes, func(ch Change) bool { return same[ch.Path] })
	for i := range changes {
		changes[i].Path = strings.TrimPrefix(changes[i].Path, c.book.repo.prefix)
	}
	return changes, nil
}

// readHead takes in the files of HEAD at prefix; other repositories' commits
// are none.
func (c *comparison) readHead(prefix string) error {
	head, ok, err := c.book.Head()
	if err != nil || !ok {
		return err
	}
	e, ok, err := c.book.entryAt(head.tree, prefix)
	if err != nil || !ok {
		return err
	}
	return c.addHead(prefix, e)
}

func (c *comparison) addHead(name string, e objects.Entry) error {
	switch e.Mode {
	case objects.ModeGitlink:
		return nil
	case objects.ModeDir:
		entries, err := c.book.readTree(e.ID)
		if err != nil {
			return err
		}
		for _, sub := range entries {
			if err := c.addHead(path.Join(name, sub.Name), sub); err != nil {
				return err
			}
		}
		return nil
	}
	c.head[name] = e
	return nil
}

// readFolder takes in the files of the folder at prefix.
func (c *comparison) readFolder(prefix string) error {
	info, err := os.Lstat(c.book.workPath(prefix))
	if err != nil {
		return ignoreAbsent(prefix, err)
	}
	if info.IsDir() {
		return c.addFolder(prefix)
	}
	return c.addFile(prefix, info)
}

func (c *comparison) addFolder(dir string) error {
	entries, err := os.ReadDir(c.book.workPath(dir))
	if err != nil {
		return ignoreAbsent(dir, err)
	}
	for _, e := range entries {
		name := path.Join(dir, e.Name())
		if strings.EqualFold(e.Name(), ".git") || isTemp(e.Name()) {
			continue
		}
		if e.IsDir() {
			if err := c.addSubfolder(name); err != nil {
				return err
			}
			continue
		}
		info, err := e.Info()
		if err != nil {
			if err = ignoreAbsent(name, err); err != nil {
				return err
			}
			continue
		}
		if err := c.addFile(name, info); err != nil {
			return err
		}
	}
	return nil
}

// addSubfolder goes into a folder unless it is another repository, or is
// ignored and holds nothing that is tracked.
func (c *comparison) addSubfolder(name string) error {
	if _, err := os.Lstat(filepath.Join(c.book.workPath(name), ".git")); err == nil {
		return nil
	}
	if !c.index.Holds(name) && !c.headHolds(name) {
		if skip, err := c.ignored.match(name, true); err != nil || skip {
			return err
		}
	}
	return c.addFolder(name)
}

// headHolds says whether HEAD has a file in a folder.
func (c *comparison) headHolds(dir string) bool {
	for name := range c.head {
		if strings.HasPrefix(name, dir+"/") {
			return true
		}
	}
	return false
}

func (c *comparison) addFile(name string, info fs.FileInfo) error {
	if !c.tracked(name) {
		if skip, err := c.ignored.match(name, false); err != nil || skip {
			return err
		}
	}
	c.folder[name] = info
	return nil
}

func (c *comparison) tracked(name string) bool {
	_, inHead := c.head[name]
	_, staged := c.index.Find(name)
	return inHead || staged
}

// compare tells how one file differs.
func (c *comparison) compare(name string) (change Change, differs bool, err error) {
	old, inHead := c.head[name]
	info, inFolder := c.folder[name]
	staged, isStaged := c.index.Find(name)
	change = Change{Path: name, What: Modified, Tracked: inHead || isStaged}
	if !isStaged || !staged.IntentToAdd() { // of an intended file only the name is staged, and no content
		change.Staged = isStaged != inHead || isStaged && (staged.ID() != old.ID || staged.Mode() != old.Mode)
	}
	switch {
	case isStaged && (staged.SkipWorktree() && !inFolder || staged.AssumeValid()):
		return change, false, nil
	case !inFolder:
		change.What = Deleted
		return change, true, nil
	case !inHead:
		change.What = Added
		return change, true, nil
	}
	id, mode, err := c.now(name, info)
	return change, id != old.ID || mode != old.Mode, err
}

// now gives what the folder holds, as a tree would say it.
func (c *comparison) now(name string, info fs.FileInfo) (objects.ID, objects.Mode, error) {
	staged, isStaged := c.index.Find(name)
	mode, err := c.mode(name, info)
	if err != nil {
		return "", 0, err
	}
	if isStaged && staged.Mode() == mode && staged.Matches(statOf(info)) && !staged.Racy(c.indexSec) {
		return staged.ID(), mode, nil
	}
	id, err := c.book.hashFile(name, info)
	return id, mode, err
}

// hashFile gives the name that the bytes of a file (a path from the work
// tree's root), or the target of a symbolic link, would have as a blob. What
// cannot be committed has none, and so is unlike anything that was.
func (b *Book) hashFile(name string, info fs.FileInfo) (objects.ID, error) {
	file := b.workPath(name)
	if info.Mode()&fs.ModeSymlink != 0 {
		target, err := os.Readlink(file)
		return b.repo.format.Sum(objects.Blob, []byte(filepath.ToSlash(target))), err
	}
	if !info.Mode().IsRegular() || info.Size() > MaxFile {
		return "", nil
	}
	data, err := readFile(file, name)
	if err != nil {
		return "", err
	}
	return b.repo.format.Sum(objects.Blob, data), nil
}

// mode gives a file's mode; where the file system cannot be trusted with it,
// the one that is staged or committed.
func (c *comparison) mode(name string, info fs.FileInfo) (objects.Mode, error) {
	set, err := c.book.settings()
	if err != nil {
		return 0, err
	}
	mode := objects.ModeFile
	switch old := c.head[name].Mode; {
	case info.Mode()&fs.ModeSymlink != 0:
		mode = objects.ModeSymlink
	case !set.is("core.filemode", true) && old.IsFile():
		mode = old
	case info.Mode().Perm()&0o100 != 0:
		mode = objects.ModeExec
	}
	return mode, nil
}

// sameConverted gives those of the files that are HEAD's once git has
// converted them, by line ends for one.
func (c *comparison) sameConverted(names []string) (map[string]bool, error) {
	same := map[string]bool{}
	if len(names) == 0 {
		return same, nil
	}
	convert, err := c.book.converted(c.index, names)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if !convert[name] || !c.folder[name].Mode().IsRegular() {
			continue
		}
		out, err := c.book.Git("-C", c.book.repo.work, "hash-object", "--", name)
		if err != nil {
			return nil, err
		}
		same[name] = objects.ID(strings.TrimSpace(out)) == c.head[name].ID
	}
	return same, nil
}

// workPath gives the place in the work tree of a path from its root.
func (b *Book) workPath(p string) string {
	return filepath.Join(b.repo.work, filepath.FromSlash(p))
}
