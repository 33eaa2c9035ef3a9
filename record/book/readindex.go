package book

import (
	"bytes"
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
	x, err := b.readIndexSoon(file)
	if err == nil {
		err = x.Sound()
	}
	if err != nil {
		return nil, err
	}
	return x, nil
}

// readIndexSoon is readIndexAt that does not wait for the checksum.
func (b *Book) readIndexSoon(file string) (*index.Index, error) {
	c := &b.indexes
	c.mu.Lock()
	defer c.mu.Unlock()
	info, err := os.Stat(file)
	if err == nil && c.file == file && c.same(info) {
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
	if failed == nil {
		x.ReadFolders(b.readTree)
	}
	if failed == nil && err == nil {
		c.file, c.was, c.index = file, info, x
	}
	return x, failed
}

// sameIndex tells whether the index is the one that was read: the same file by
// its stat, with the same ending.
func (b *Book) sameIndex(x *index.Index) (bool, error) {
	f, err := os.Open(b.indexFile())
	if errors.Is(err, fs.ErrNotExist) {
		return x.New(), nil
	}
	if err != nil {
		return false, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !b.indexes.holds(x, info) {
		return false, err
	}
	ending := make([]byte, len(x.Ending()))
	_, err = f.ReadAt(ending, info.Size()-int64(len(ending)))
	return err == nil && bytes.Equal(ending, x.Ending()), err
}

// holds tells whether an index was read from the file of that stat.
func (c *indexCache) holds(x *index.Index, info fs.FileInfo) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.index == x && c.same(info)
}

// second gives the second in which the file was written that an index was read
// from; ok is false where there was no file. It was looked at before it was read.
func (c *indexCache) second(x *index.Index) (second int64, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.index != x || c.was == nil {
		return 0, false
	}
	return c.was.ModTime().Unix(), true
}

func (c *indexCache) same(info fs.FileInfo) bool {
	return c.was != nil && os.SameFile(info, c.was) && statOf(info) == statOf(c.was) && info.ModTime().Equal(c.was.ModTime())
}

// lookIndex reads the index to look at it. One that only the git program can
// read is asked of it: without stat values, so that contents are compared.
func (b *Book) lookIndex() (*index.Index, error) { return b.lookIndexAt(b.indexFile()) }

func (b *Book) lookIndexAt(file string) (*index.Index, error) {
	read := b.readIndexAt
	if b.prepared.Load() {
		read = b.readIndexSoon // Commit waits for the checksum
	}
	x, err := read(file)
	if !errors.Is(err, index.ErrForeign) {
		return x, err
	}
	out, err := b.runGit(context.Background(), []string{"GIT_INDEX_FILE=" + file}, "", "-C", b.repo.work, "ls-files", "-v", "--stage", "-z")
	if err != nil {
		return nil, err
	}
	return index.ReadListing(out, b.repo.format)
}
