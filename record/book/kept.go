package book

import (
	"crypto/sha256"
	"encoding/binary"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"

	"stackbook/record/book/keep"
)

// WithProgram says which program works out what the book keeps of its states: by
// the content of its executable, so that what another one worked out, an older or
// a newer, is never taken for its own. tell is asked when it is first needed; ok
// is false where nobody can say. Without it the book keeps no results.
func WithProgram(tell func() (identity string, ok bool)) Option {
	return func(b *Book) { b.program = tell }
}

// Results are things worked out of states of the book, kept in a file of their
// own beside the index of history. They are told by a hash of all that they
// follow from: the file can be old, damaged, or gone, and no answer changes. It
// may be asked from several goroutines; nil holds nothing and takes nothing.
type Results struct {
	book    *Book
	name    string
	program string
	file    os.FileInfo // of what was read; nil where nothing was
	list    *keep.List
	asked   []atomic.Bool // of the list

	mu    sync.Mutex
	fresh map[keep.Key]string
}

// ResultKey names a result.
type ResultKey = keep.Key

// spareResults is how much room is left in a small file, in bytes, for results
// that the last run did not ask for.
const spareResults = 4 << 20

// Results opens the results of that name; nil where none can be kept.
func (b *Book) Results(name string) *Results {
	if b.program == nil {
		return nil
	}
	program, ok := b.program()
	if !ok {
		return nil
	}
	r := &Results{book: b, name: "kept-" + name, program: program, fresh: map[keep.Key]string{}}
	r.list, r.file = r.read()
	r.asked = make([]atomic.Bool, r.list.Len())
	return r
}

// read gives what lies in the file; what is not wholly as it was written is
// nothing.
func (r *Results) read() (*keep.List, os.FileInfo) {
	empty, _ := keep.Parse("")
	f, err := os.Open(r.book.sidePath(r.name))
	if err != nil {
		return empty, nil
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() || info.Size() > keep.MostBytes {
		return empty, nil
	}
	var data strings.Builder // so that results are parts of one text, and none is copied
	data.Grow(int(info.Size()))
	if _, err := io.Copy(&data, f); err != nil {
		return empty, nil
	}
	list, ok := keep.Parse(data.String())
	if !ok {
		return empty, nil
	}
	return list, info
}

// Key is the name of what this program makes of some texts, by their kind.
func (r *Results) Key(kind string, of ...string) ResultKey {
	if r == nil {
		return ResultKey{}
	}
	buf := make([]byte, 0, 512)
	for _, text := range append([]string{r.program, kind}, of...) {
		buf = binary.AppendUvarint(buf, uint64(len(text)))
		buf = append(buf, text...)
	}
	return sha256.Sum256(buf)
}

// Find gives a result.
func (r *Results) Find(key ResultKey) (result string, ok bool) {
	if r == nil {
		return "", false
	}
	if i, ok := r.list.Find(&key); ok {
		if !r.asked[i].Load() {
			r.asked[i].Store(true)
		}
		return r.list.Result(i), true
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	result, ok = r.fresh[key]
	return result, ok
}

// Put takes a result in, to be kept by Save.
func (r *Results) Put(key ResultKey, result string) {
	if r == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.fresh[key] = result
}

// Save writes what is new, where anything is. Nothing is asked of it: what cannot
// be written is worked out again. What another process wrote meanwhile stays.
func (r *Results) Save() {
	if r == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.fresh) == 0 || r.book.passing.MkdirAll(filepath.Dir(r.book.sidePath(r.name))) != nil {
		return
	}
	list, asked := r.list, func(i int) bool { return r.asked[i].Load() }
	if info, err := os.Stat(r.book.sidePath(r.name)); err == nil && !r.reads(info) {
		list, _ = r.read()
		asked = func(i int) bool {
			key := list.Key(i)
			at, ok := r.list.Find(&key)
			return ok && r.asked[at].Load()
		}
	}
	if data := keep.Join(list, r.fresh, asked, spareResults); data != nil {
		_ = r.book.writePart(r.name, data)
	}
}

// reads tells whether a file is the one that was read.
func (r *Results) reads(info os.FileInfo) bool {
	return r.file != nil && os.SameFile(info, r.file) && info.Size() == r.file.Size() && info.ModTime().Equal(r.file.ModTime())
}
