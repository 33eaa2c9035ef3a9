package book

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"syscall"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// MaxFile is the largest file that is read or committed, in bytes.
const MaxFile = 16 << 20

// Tree is one whole state of the book. Paths are relative to the book's root,
// with slashes; "." or "" is the root.
type Tree interface {
	// Read gives a file's bytes. A file that is not there gives an error that
	// is fs.ErrNotExist; a symbolic link, whatever else is no regular file, and
	// a file larger than MaxFile give an UnfitError.
	Read(path string) ([]byte, error)
	// List gives a folder's entries sorted bytewise by name, without git's own
	// directory. A folder that is not there gives fs.ErrNotExist, one behind a
	// symbolic link an UnfitError.
	List(dir string) ([]Entry, error)
	// Skipped gives the files at a path that belong to the state but are kept
	// out of the folder by a sparse checkout, sorted. A commit has none.
	Skipped(path string) ([]string, error)
}

// Entry is one entry of a folder. A symbolic link, a pipe or another
// repository's folder is neither Dir nor File, and cannot be read.
type Entry struct {
	Name string
	Dir  bool
	File bool
	Hash string // git's name for its content, where known
}

// UnfitError says that what lies at a path is nothing the book takes.
type UnfitError struct{ Path, What string }

// Error gives the path and what is wrong with it.
func (e *UnfitError) Error() string { return e.Path + " " + e.What }

func isLink(p string) error {
	return &UnfitError{p, "is a symbolic link; the book takes files only"}
}
func isNoFile(p string) error { return &UnfitError{p, "is not a regular file"} }

// checkPath refuses paths that are not plain names inside the book.
func checkPath(p string) error {
	if p == "." || p == "" {
		return nil
	}
	if path.Clean(p) != p || !fs.ValidPath(p) || !filepath.IsLocal(filepath.FromSlash(p)) {
		return fmt.Errorf("%q is not a path inside the book", p)
	}
	for part := range strings.SplitSeq(p, "/") {
		if strings.EqualFold(part, ".git") {
			return fmt.Errorf("%q lies in git's own folder", p)
		}
	}
	return nil
}

func notExist(p string) error { return &fs.PathError{Op: "read", Path: p, Err: fs.ErrNotExist} }

// folder is the working folder as it is now.
type folder struct {
	book    *Book
	skipped func() (*index.Index, error) // the index of a sparse checkout, else nil; read once
	// unproven lists the records that no commit is proven to have; looked for once
	unproven func() ([]string, error)
}

// Folder gives the working folder as it is now, uncommitted edits included.
// In a bare repository it holds nothing.
func (b *Book) Folder() Tree {
	return folder{b, sync.OnceValues(b.sparseIndex), sync.OnceValues(b.unproven)}
}

func (f folder) Read(p string) ([]byte, error) {
	if f.book.repo.bare {
		return nil, notExist(p)
	}
	info, err := f.book.lstat(p)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, isNoFile(p)
	}
	return readFile(f.book.osPath(p), p)
}

// lstat looks at a path in the folder and refuses any symbolic link on the
// way to it: what lies behind one is not in the book.
func (b *Book) lstat(p string) (fs.FileInfo, error) {
	if err := checkPath(p); err != nil {
		return nil, err
	}
	var info fs.FileInfo
	for end := range len(p) + 1 {
		if end < len(p) && p[end] != '/' {
			continue
		}
		var err error
		if info, err = os.Lstat(b.osPath(p[:end])); err != nil {
			return nil, absent(p, err)
		}
		if info.Mode()&fs.ModeSymlink != 0 {
			return nil, isLink(p[:end])
		}
	}
	return info, nil
}

// absent gives fs.ErrNotExist for p also where a folder on the way is a file,
// and for a name longer than any that can be there.
func absent(p string, err error) error {
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) || errors.Is(err, syscall.ENAMETOOLONG) {
		return notExist(p)
	}
	return err
}

// readFile reads a file within the bound, also when it grows meanwhile.
func readFile(name, p string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, absent(p, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxFile+1))
	if err == nil && len(data) > MaxFile {
		err = tooLarge(p)
	}
	return data, err
}

func tooLarge(p string) error {
	return &UnfitError{p, fmt.Sprintf("is larger than %d MiB, the most the book takes", MaxFile>>20)}
}

func (f folder) List(dir string) ([]Entry, error) {
	if f.book.repo.bare {
		return nil, notExist(dir)
	}
	info, err := f.book.lstat(dir)
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, notExist(dir)
	}
	files, err := os.ReadDir(f.book.osPath(dir))
	if err != nil {
		return nil, absent(dir, err)
	}
	var entries []Entry
	for _, e := range files {
		if !strings.EqualFold(e.Name(), ".git") && !isTemp(e.Name()) {
			entries = append(entries, Entry{Name: e.Name(), Dir: e.IsDir(), File: e.Type().IsRegular()})
		}
	}
	return entries, nil
}

// IsFolder tells whether there is a folder at a path, without reading what it
// holds. On a file system that makes capitals equal, one of another spelling
// answers as well.
func (f folder) IsFolder(p string) bool {
	if f.book.repo.bare {
		return false
	}
	info, err := f.book.lstat(p)
	return err == nil && info.IsDir()
}

// past is the state of one commit.
type past struct {
	book   *Book
	tree   objects.ID // of the repository's root
	commit string
}

// At gives the state of a commit. It never changes.
func (b *Book) At(c Commit) Tree { return past{b, c.tree, c.Hash} }

func (t past) Read(p string) ([]byte, error) {
	e, err := t.find(p)
	if err != nil {
		return nil, err
	}
	return t.book.readBlob(p, e.Mode, e.ID)
}

// readBlob gives the bytes of a file that git holds, within the bound.
func (b *Book) readBlob(p string, mode objects.Mode, id objects.ID) ([]byte, error) {
	switch {
	case mode == objects.ModeSymlink:
		return nil, isLink(p)
	case !mode.IsFile():
		return nil, isNoFile(p)
	}
	data, err := b.store.ReadKind(id, objects.Blob)
	if err == nil && len(data) > MaxFile {
		err = tooLarge(p)
	}
	return data, err
}

func (t past) List(dir string) ([]Entry, error) {
	e, err := t.find(dir)
	if err != nil {
		return nil, err
	}
	if e.Mode != objects.ModeDir {
		return nil, notExist(dir)
	}
	list, err := t.book.readTree(e.ID)
	if err != nil {
		return nil, err
	}
	entries := make([]Entry, len(list))
	for i, e := range list {
		entries[i] = Entry{e.Name, e.Mode == objects.ModeDir, e.Mode.IsFile(), string(e.ID)}
	}
	sort.Slice(entries, func(i, j int) bool { return entries[i].Name < entries[j].Name })
	return entries, nil
}

// IsFolder tells whether there is a folder at a path.
func (t past) IsFolder(p string) bool {
	e, err := t.find(p)
	return err == nil && e.Mode == objects.ModeDir
}

// find gives the entry at a path of the book.
func (t past) find(p string) (objects.Entry, error) {
	if err := checkPath(p); err != nil {
		return objects.Entry{}, err
	}
	e, ok, err := t.book.entryAt(t.tree, t.book.inRepo(p))
	if err == nil && !ok {
		err = notExist(p)
	}
	return e, err
}

// entryAt gives the entry at a path from the root of a tree; ok is false when
// there is none.
func (b *Book) entryAt(tree objects.ID, p string) (e objects.Entry, ok bool, err error) {
	e = objects.Entry{Mode: objects.ModeDir, ID: tree}
	if p == "" {
		return e, tree != "", nil
	}
	for name := range strings.SplitSeq(p, "/") {
		if e.Mode != objects.ModeDir || e.ID == "" {
			return objects.Entry{}, false, nil
		}
		data, err := b.treeData(e.ID)
		if err != nil {
			return objects.Entry{}, false, err
		}
		if e, ok, err = b.repo.format.FindEntry(data, name); err != nil || !ok {
			return objects.Entry{}, false, err
		}
	}
	return e, true, nil
}

// readTree gives the entries of a tree; the empty ID is an empty tree.
func (b *Book) readTree(id objects.ID) ([]objects.Entry, error) {
	if id == "" {
		return nil, nil
	}
	data, err := b.treeData(id)
	if err != nil {
		return nil, err
	}
	return b.repo.format.DecodeTree(data)
}

// treeCache keeps the trees last read: the way down to an engine's folder leads
// through the same few again and again, and that of a group is long.
type treeCache struct {
	mu   sync.Mutex
	data map[objects.ID][]byte
	size int
}

// keptTrees bounds what is kept, in bytes.
const keptTrees = 2 << 20

// treeData gives the bytes of a tree, which nobody may change.
func (b *Book) treeData(id objects.ID) ([]byte, error) {
	c := &b.trees
	c.mu.Lock()
	data, ok := c.data[id]
	c.mu.Unlock()
	if ok {
		return data, nil
	}
	data, err := b.store.ReadKind(id, objects.Tree)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.size += len(data); c.data == nil || c.size > keptTrees {
		c.data, c.size = map[objects.ID][]byte{}, len(data)
	}
	c.data[id] = data
	return data, nil
}
