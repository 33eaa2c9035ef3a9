package book

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"stackbook/record/book/passing"
)

// lockWait is how long a lock held by someone else is waited for.
const lockWait = 2 * time.Second

// markerPrefix begins the names of the files by which our locks are known.
const markerPrefix = "stackbook-lock-"

// lock is a lock file as git makes them: FILE.lock beside FILE, made only if
// it is not there, written, and renamed over FILE or removed.
//
// Ours has a second name, the marker, in the git directory, and the process
// holds the system's lock on it. So a lock that a killed process left behind
// can be told from a living one's, and from git's, and only such a lock is
// ever removed: it has a marker beside it, and nobody holds it.
type lock struct {
	passing *passing.Files
	target  string
	file    *os.File
	marker  string
}

func (l *lock) path() string { return l.target + ".lock" }

// takeLock locks target, waiting a while for another to let go. dir is where
// the marker goes, on the same file system.
func takeLock(files *passing.Files, dir, target string) (*lock, error) {
	if err := files.MkdirAll(filepath.Dir(target)); err != nil {
		return nil, err
	}
	deadline := time.Now().Add(lockWait)
	for pause := time.Millisecond; ; pause = min(2*pause, 50*time.Millisecond) {
		if err := removeDead(dir, target); err != nil {
			return nil, err
		}
		l, err := tryTake(files, dir, target)
		if err == nil || !errors.Is(err, fs.ErrExist) {
			return l, err
		}
		if time.Now().After(deadline) {
			return nil, fmt.Errorf("%w: %s.lock is there; another git may be at work in this book. Try again; if none is running, remove that file",
				ErrBusy, target)
		}
		time.Sleep(pause/2 + rand.N(pause))
	}
}

// tryTake locks target, or gives fs.ErrExist when it is locked.
func tryTake(files *passing.Files, dir, target string) (*lock, error) {
	own, err := markerOf(dir, target)
	if err != nil {
		return nil, err
	}
	l := &lock{passing: files, target: target, marker: own + strconv.FormatUint(rand.Uint64(), 36)}
	if l.file, err = files.Create(l.marker, 0o666); err != nil {
		return nil, err
	}
	holdFile(l.file)
	err = files.Link(l.marker, l.path())
	if err == nil {
		return l, nil
	}
	files.Remove(l.marker)
	l.file.Close()
	if errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	// Either a sweep took the marker before it was held, or the file system
	// knows no second names; a lock without marker is as good as git's own.
	l.marker = ""
	l.file, err = files.Create(l.path(), 0o666)
	return l, err
}

// markerOf gives the beginning of the names of all markers for one target.
func markerOf(dir, target string) (string, error) {
	rel, err := filepath.Rel(dir, target)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(filepath.ToSlash(rel)))
	return filepath.Join(dir, markerPrefix+hex.EncodeToString(sum[:6])+"-"), nil
}

// removeDead removes the lock on target if a marker says it is one of ours
// and nobody holds it any more. While it looks it holds the file itself, so
// that of two processes only one removes it.
func removeDead(dir, target string) error {
	own, err := markerOf(dir, target)
	if err != nil {
		return err
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		marker := filepath.Join(dir, e.Name())
		if !strings.HasPrefix(marker, own) {
			continue
		}
		f, err := os.Open(marker)
		if err != nil {
			continue // its owner has just let go
		}
		if passing.Hold(f) == passing.Held {
			if sameFile(f, target+".lock") {
				os.Remove(target + ".lock")
			}
			os.Remove(marker)
		}
		f.Close()
	}
	return nil
}

func sameFile(f *os.File, path string) bool {
	a, err := f.Stat()
	if err != nil {
		return false
	}
	b, err := os.Lstat(path)
	return err == nil && os.SameFile(a, b)
}

// write fills the lock file with what target is to hold.
func (l *lock) write(data []byte) error {
	if err := l.file.Truncate(0); err != nil {
		return err
	}
	_, err := l.file.WriteAt(data, 0)
	return err
}

// install puts what was written in target's place, which ends the lock.
func (l *lock) install() error {
	if err := l.passing.Rename(l.path(), l.target); err != nil {
		return err
	}
	l.release(false)
	return nil
}

// drop ends the lock and leaves target as it was. After install it does nothing.
func (l *lock) drop() { l.release(true) }

func (l *lock) release(remove bool) {
	if l == nil || l.file == nil {
		return
	}
	if remove {
		l.passing.Remove(l.path())
	}
	if l.marker != "" {
		l.passing.Remove(l.marker)
	}
	l.file.Close()
	l.file = nil
}
