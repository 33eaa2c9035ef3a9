package objects

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/klauspost/compress/zlib"

	"stackbook/record/book/passing"
)

// Batch is a set of new objects that are written beside their places and come
// into being together, when all of them are safely on the disk.
type Batch struct {
	store   *Store
	passing *passing.Files
	temps   map[ID]string
	zip     *zlib.Writer // used again for each object: making one costs more than a small object
}

// NewBatch begins a set of new objects; what it writes is counted in files
// until it is kept or dropped.
func (s *Store) NewBatch(files *passing.Files) *Batch {
	return &Batch{store: s, passing: files, temps: map[ID]string{}}
}

// Add takes in an object and gives its name. One that the store has already
// costs no more than the look.
func (w *Batch) Add(kind Kind, data []byte) (ID, error) {
	id := w.store.format.Sum(kind, data)
	if w.temps[id] != "" {
		return id, nil
	}
	has, err := w.store.freshen(id)
	if err != nil || has {
		return id, err
	}
	temp, err := w.writeTemp(filepath.Dir(loosePath(w.store.dirs[0], id)), kind, data)
	if err != nil {
		return "", fmt.Errorf("write an object: %w", err)
	}
	w.temps[id] = temp
	return id, nil
}

// freshen says whether the store has an object, and if so marks it as used
// now, so that a git gc that is about to throw away old unused ones keeps it.
// Where the mark cannot be set, the object is better written again.
func (s *Store) freshen(id ID) (bool, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := time.Now()
	for _, dir := range s.dirs {
		if os.Chtimes(loosePath(dir, id), now, now) == nil {
			return true, nil
		}
	}
	if err := s.findPacks(); err != nil {
		return false, err
	}
	for _, p := range s.packs {
		_, ok, err := p.idx.find(id.Raw())
		if err != nil {
			return false, err
		}
		if ok && os.Chtimes(p.file.Name(), now, now) == nil {
			return true, nil
		}
	}
	return false, nil
}

// writeTemp writes a loose object under a passing name in its folder. Should
// the process die, git's own prune knows names that begin so.
func (w *Batch) writeTemp(dir string, kind Kind, data []byte) (name string, err error) {
	if err := w.passing.MkdirAll(dir); err != nil {
		return "", err
	}
	f, err := w.passing.CreateTemp(dir, "tmp_obj_")
	if err != nil {
		return "", err
	}
	defer func() {
		if err = errors.Join(err, f.Close()); err != nil {
			w.passing.Remove(f.Name())
		}
	}()
	z, err := w.zipInto(f)
	if err != nil {
		return "", err
	}
	fmt.Fprintf(z, "%s %d\x00", kind, len(data))
	if _, err := z.Write(data); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return f.Name(), f.Chmod(0o444)
}

// zipInto gives what compresses into a file.
func (w *Batch) zipInto(f io.Writer) (z *zlib.Writer, err error) {
	if w.zip != nil {
		w.zip.Reset(f)
		return w.zip, nil
	}
	w.zip, err = zlib.NewWriterLevel(f, zlib.BestSpeed) // git's own level for loose objects
	return w.zip, err
}

// Temps gives the files that must be on the disk before Keep.
func (w *Batch) Temps() []string {
	names := make([]string, 0, len(w.temps))
	for _, name := range w.temps {
		names = append(names, name)
	}
	return names
}

// Keep puts the objects in their places and gives the folders that changed.
func (w *Batch) Keep() (dirs []string, err error) {
	for id, temp := range w.temps {
		if err := w.passing.Rename(temp, loosePath(w.store.dirs[0], id)); err != nil {
			return nil, err
		}
		delete(w.temps, id)
		dirs = append(dirs, filepath.Dir(temp))
	}
	return dirs, nil
}

// Drop forgets the objects that were not kept.
func (w *Batch) Drop() {
	for id, temp := range w.temps {
		w.passing.Remove(temp)
		delete(w.temps, id)
	}
}
