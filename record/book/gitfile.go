package book

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// gitFile is one of git's own files on its way from one text to another.
type gitFile struct {
	name      string // absolute, links followed; of a hook, as git finds it
	there     bool
	old, text string
	perm      fs.FileMode // of a file that is there and stays
	remove    bool

	hook      bool // it is to be executable
	keep      bool // a hook of the person's own is put beside it first
	bringBack bool // and takes its place again
}

// readGitFile reads a file of git's own, which need not be there.
func (b *Book) readGitFile(name string) (*gitFile, error) {
	f := &gitFile{name: name}
	info, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(name); err == nil {
			return nil, fmt.Errorf("%s is a symbolic link that leads nowhere; take it away first", name)
		}
		return f, nil
	}
	if err != nil {
		return nil, err
	}
	text, err := os.ReadFile(name)
	f.there, f.old, f.text, f.perm = true, string(text), string(text), info.Mode().Perm()
	return f, err
}

// replaceHook puts a hook of ours in the place of what is there. A hook of the
// person's own is kept; one that was put over ours since is not, for there is
// one already.
func (f *gitFile) replaceHook(text string) error {
	f.text = text
	ours, untouched := isOurs(f.old)
	_, err := os.Lstat(f.name + beforeSuffix)
	kept := err == nil
	switch {
	case ours && !untouched:
		return fmt.Errorf("%s is stackbook's and was changed since; put what was added into %s%s, and take the file away", f.name, filepath.Base(f.name), beforeSuffix)
	case f.there && !ours && kept:
		return fmt.Errorf("%s took the place of stackbook's hook, and %s%s is there too; keep one of them, under the first name", f.name, filepath.Base(f.name), beforeSuffix)
	}
	f.hook, f.keep = true, f.there && !ours
	return nil
}

// writeGitFiles writes those of the files that change, each whole or not at all,
// and gives their names for a person. Each by itself does no harm without the
// others.
func (b *Book) writeGitFiles(files []*gitFile) ([]string, error) {
	var names []string
	for _, f := range files {
		if !f.remove && f.there && f.text == f.old {
			continue
		}
		if !f.there && (f.remove || f.text == "") {
			continue
		}
		if err := b.passing.Whole(func() error { return b.writeGitFile(f) }); err != nil {
			return names, err
		}
		names = append(names, b.shown(f.name))
	}
	return names, nil
}

// writeGitFile writes one file under git's own lock for it. Between the keeping
// of a hook and its replacement there is a moment without one.
func (b *Book) writeGitFile(f *gitFile) error {
	place := f.name
	if !f.keep && !f.remove {
		place = realPath(f.name) // a link stays one
	}
	// A child started by another goroutine would hold the file open for writing
	// until it runs its own program, and a hook that is held so cannot be run.
	syscall.ForkLock.RLock()
	defer syscall.ForkLock.RUnlock()
	lock, err := takeLock(b.passing, b.repo.common, place)
	if err != nil {
		return err
	}
	defer lock.drop()
	if now, err := b.readGitFile(f.name); err != nil || now.old != f.old || now.there != f.there {
		return errors.Join(err, fmt.Errorf("%s was changed meanwhile; try again", f.name))
	}
	switch {
	case f.bringBack:
		if err := os.Rename(f.name+beforeSuffix, f.name); !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return os.Remove(f.name)
	case f.remove:
		return os.Remove(place)
	}
	if err := lock.write([]byte(f.text)); err != nil {
		return err
	}
	if err := errors.Join(f.setMode(lock.file), lock.file.Sync()); err != nil {
		return err
	}
	if f.keep {
		if err := os.Rename(f.name, f.name+beforeSuffix); err != nil {
			return err
		}
	}
	return lock.install()
}

// setMode gives a new text the mode of the old one; a hook can be run by whoever
// can read it.
func (f *gitFile) setMode(file *os.File) error {
	if f.there && !f.hook {
		return file.Chmod(f.perm)
	}
	info, err := file.Stat()
	if err != nil || !f.hook {
		return err
	}
	perm := info.Mode().Perm()
	return file.Chmod(perm | perm&0o444>>2)
}
