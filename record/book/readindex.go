package book

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// indexCache keeps the index last read: a commit looks at it several times, and
// each reading costs as much as the index is long.
type indexCache struct {
	mu    sync.Mutex
	file  string
	was   fs.FileInfo
	index *index.Index
}

// readIndex reads the index; one that is not there is empty.
func (b *Book) readIndex() (*index.Index, error) { return b.readIndexAt(b.indexFile()) }

// readIndexAt gives the index of a file. It is read once for as long as the
// file is the same by its stat: git never writes into an index, but puts
// another in its place. Nobody may edit what is given.
func (b *Book) readIndexAt(file string) (*index.Index, error) {
	c := &b.indexes
	c.mu.Lock()
	defer c.mu.Unlock()
	info, err := os.Stat(file)
	if err == nil && c.file == file && c.was != nil && os.SameFile(info, c.was) && statOf(info) == statOf(c.was) && info.ModTime().Equal(c.was.ModTime()) {
		return c.index, nil
	}
	c.file, c.was, c.index = "", nil, nil
	raw, failed := readIfThere(file)
	if failed != nil {
		return nil, failed
	}
	if raw == nil {
		return index.New(), nil
	}
	if b.repo.format != objects.SHA1 {
		return nil, fmt.Errorf("%w: its objects are named by %s", index.ErrForeign, b.repo.format)
	}
	x, failed := index.Parse(raw)
	if failed == nil && err == nil {
		c.file, c.was, c.index = file, info, x
	}
	return x, failed
}

// sameIndex tells whether the index is, byte for byte, the one that was read.
func (b *Book) sameIndex(x *index.Index) (bool, error) {
	f, err := os.Open(b.indexFile())
	if errors.Is(err, fs.ErrNotExist) {
		return x.New(), nil
	}
	if err != nil {
		return false, err
	}
	defer f.Close()
	return x.Same(f)
}

// lookIndex reads the index to look at it. One that only the git program can
// read is asked of it: without stat values, so that contents are compared.
func (b *Book) lookIndex() (*index.Index, error) { return b.lookIndexAt(b.indexFile()) }

func (b *Book) lookIndexAt(file string) (*index.Index, error) {
	x, err := b.readIndexAt(file)
	if !errors.Is(err, index.ErrForeign) {
		return x, err
	}
	out, err := b.runGit(context.Background(), []string{"GIT_INDEX_FILE=" + file}, "", "-C", b.repo.work, "ls-files", "-v", "--stage", "-z")
	if err != nil {
		return nil, err
	}
	return index.ReadListing(out, b.repo.format)
}
