package book

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
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
		s.files = append(s.files, stagedFile{e, temp})
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
	name = filepath.Join(s.book.osPath(dir), tempPrefix+strconv.FormatUint(rand.Uint64(), 36))
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

// install replaces the files. Removals come first, so that a file can take
// the place of a folder.
func (s *staged) install() error {
	for _, f := range s.files {
		if f.edit.Delete {
			if err := s.book.remove(f.edit.Path); err != nil {
				return err
			}
		}
	}
	for i, f := range s.files {
		if f.temp == "" {
			continue
		}
		if err := s.book.passing.Rename(f.temp, s.book.osPath(f.edit.Path)); err != nil {
			return err
		}
		s.files[i].temp = ""
	}
	s.book.passing.Keep(s.dirs...)
	s.dirs = nil
	return nil
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

// drop removes what was not installed.
func (s *staged) drop() {
	for _, name := range s.temps() {
		s.book.passing.Remove(name)
	}
	for i := len(s.dirs) - 1; i >= 0; i-- {
		s.book.passing.Remove(s.dirs[i])
	}
}
