package book

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// tempPrefix begins the names of files being written into the folder.
const tempPrefix = ".stackbook-tmp-"

// isTemp says whether a name is that of a file being written: what a killed
// process leaves of one is no part of the book.
func isTemp(name string) bool { return strings.HasPrefix(name, tempPrefix) }

// Put brings the folder to what the edits marked Write say, without a commit:
// first all new content is written beside and brought to the disk, then the
// files are replaced one by one. If anything fails before that, the folder is
// as it was.
func (b *Book) Put(edits []Edit) error { return b.put(edits, b.passing.Whole) }

// put is Put; whole does the last step, which must not be broken off.
func (b *Book) put(edits []Edit, whole func(func() error) error) error {
	if err := b.checkEdits(edits); err != nil {
		return err
	}
	s, err := b.stage(edits)
	if err != nil {
		return err
	}
	defer s.drop()
	if err := syncFiles(s.temps()); err != nil {
		return err
	}
	return whole(s.install)
}

// staged is new content that lies beside its place in the folder.
type staged struct {
	book  *Book
	files []stagedFile
	dirs  []string // made for the files, outermost first
}

type stagedFile struct {
	edit Edit
	temp string // empty for a removal, and once installed
	old  string // a second name of what was there before, once installed
	none bool   // nothing was there before
	done bool   // installed
}

// stage writes what the edits marked Write hold beside its place.
func (b *Book) stage(edits []Edit) (*staged, error) {
	s := &staged{book: b}
	for _, e := range edits {
		if !e.Write {
			continue
		}
		temp := ""
		if !e.Delete {
			var err error
			if temp, err = s.writeTemp(e); err != nil {
				s.drop()
				return nil, fmt.Errorf("write %s: %w", e.Path, err)
			}
		}
		s.files = append(s.files, stagedFile{edit: e, temp: temp})
	}
	return s, nil
}

// writeTemp writes one file beside its place, with the mode that it has there
// or, when new, the usual one.
func (s *staged) writeTemp(e Edit) (name string, err error) {
	dir := path.Dir(e.Path)
	if err := s.makeDir(dir); err != nil {
		return "", err
	}
	s.sweep(dir)
	name = s.tempName(dir)
	mode := fs.FileMode(0o666)
	if e.Exec {
		mode = 0o777
	}
	f, err := s.book.passing.Create(name, mode)
	if err != nil {
		return "", err
	}
	defer func() {
		if err = errors.Join(err, f.Close()); err != nil {
			s.book.passing.Remove(name)
		}
	}()
	if info, err := os.Lstat(s.book.osPath(e.Path)); err == nil {
		if err := f.Chmod(info.Mode().Perm()); err != nil {
			return "", err
		}
	}
	_, err = f.Write(e.Data)
	return name, err
}

// tempName gives a new name for a file that lies in a folder in passing.
func (s *staged) tempName(dir string) string {
	return filepath.Join(s.book.osPath(dir), tempPrefix+strconv.FormatUint(rand.Uint64(), 36))
}

// makeDir makes a folder and those above it, and remembers which were new.
func (s *staged) makeDir(dir string) error {
	at := s.book.osPath(dir)
	err := s.book.passing.Mkdir(at)
	if errors.Is(err, fs.ErrNotExist) && dir != "." {
		if err := s.makeDir(path.Dir(dir)); err != nil {
			return err
		}
		err = s.book.passing.Mkdir(at)
	}
	if err == nil {
		s.dirs = append(s.dirs, at)
	}
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}

// sweep removes what a process killed long ago left in a folder.
func (s *staged) sweep(dir string) {
	const longAgo = time.Hour
	entries, err := os.ReadDir(s.book.osPath(dir))
	if err != nil {
		return // writing there will say why
	}
	for _, e := range entries {
		if !isTemp(e.Name()) {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > longAgo {
			os.Remove(filepath.Join(s.book.osPath(dir), e.Name()))
		}
	}
}

// temps gives the files that must be on the disk before install.
func (s *staged) temps() []string {
	var names []string
	for _, f := range s.files {
		if f.temp != "" {
			names = append(names, f.temp)
		}
	}
	return names
}

// install replaces the files, or leaves all as they were. Removals come first,
// so that a file can take the place of a folder.
func (s *staged) install() error {
	for _, removal := range []bool{true, false} {
		for i := range s.files {
			f := &s.files[i]
			if f.edit.Delete != removal {
				continue
			}
			if err := s.replace(f); err != nil {
				return errors.Join(err, s.restore())
			}
		}
	}
	return nil
}

// replace puts one file in its place. What was there keeps a second name, as
// far as the file system knows such, so that it can come back even when the
// disk is full.
func (s *staged) replace(f *stagedFile) error {
	place := s.book.osPath(f.edit.Path)
	dir := path.Dir(f.edit.Path)
	if f.edit.Delete {
		dir = "." // its own may go with it
	}
	old := s.tempName(dir)
	switch err := s.book.passing.Link(place, old); {
	case err == nil:
		f.old = old
	case errors.Is(err, fs.ErrNotExist):
		f.none = true
	}
	if f.edit.Delete {
		f.done = true
		return s.book.remove(f.edit.Path)
	}
	if err := s.book.passing.Rename(f.temp, place); err != nil {
		return err
	}
	f.temp, f.done = "", true
	return nil
}

// restore brings back what install replaced.
func (s *staged) restore() error {
	var errs []error
	for i := range s.files {
		f := &s.files[i]
		place := s.book.osPath(f.edit.Path)
		switch {
		case !f.done:
		case f.old != "":
			errs = append(errs, s.book.passing.MkdirAll(filepath.Dir(place)), s.book.passing.Rename(f.old, place))
			f.old = ""
		case f.none && !f.edit.Delete:
			errs = append(errs, os.Remove(place))
		}
		f.done = false
	}
	return errors.Join(errs...)
}

// remove takes a file out of the folder, and the folders it leaves empty.
func (b *Book) remove(p string) error {
	if err := os.Remove(b.osPath(p)); err != nil {
		return ignoreAbsent(p, err)
	}
	for dir := path.Dir(p); dir != "."; dir = path.Dir(dir) {
		if os.Remove(b.osPath(dir)) != nil {
			return nil // not empty
		}
	}
	return nil
}

// ignoreAbsent gives nil when err says that p is not there.
func ignoreAbsent(p string, err error) error {
	if err = absent(p, err); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// drop removes what was not installed, and the second names of what was
// replaced.
func (s *staged) drop() {
	installed := false
	for _, f := range s.files {
		installed = installed || f.done
		for _, name := range []string{f.temp, f.old} {
			if name != "" {
				s.book.passing.Remove(name)
			}
		}
	}
	if installed {
		s.book.passing.Keep(s.dirs...)
		return
	}
	for _, dir := range slices.Backward(s.dirs) {
		s.book.passing.Remove(dir)
	}
}
