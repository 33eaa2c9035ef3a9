package book

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/fnv"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"stackbook/record/book/lookup"
)

// The index lies in two files: a large one, and one for what came since, which
// is written anew as a whole and now and then goes into the other. Both are
// written beside their place and renamed; the second names the first it goes
// with. They are in the folder that all work trees share.
const (
	sideDir  = "stackbook"
	baseFile = "history"
	tailFile = "history-since"

	sideTemp = "tmp-"
)

// sidePath gives the place of one of the files. A repository may hold several
// books, each with files of its own.
func (b *Book) sidePath(name string) string {
	if b.repo.prefix != "" {
		h := fnv.New64a()
		h.Write([]byte(b.repo.prefix))
		name += fmt.Sprintf("-%x", h.Sum64())
	}
	return filepath.Join(b.repo.common, sideDir, name)
}

// sideKey is what the index rests on besides commits and their content: how
// objects are named, where the book lies, and where history is cut off. What
// refs/replace or info/grafts say is followed by no walk of ours either.
func (b *Book) sideKey() (lookup.Key, error) {
	cut, err := b.shallow()
	if err != nil {
		return lookup.Key{}, err
	}
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n%q\n", b.repo.format, b.repo.prefix)
	for _, id := range slices.Sorted(maps.Keys(cut)) {
		fmt.Fprintln(&text, id)
	}
	return sha256.Sum256([]byte(text.String())), nil
}

// openIndex opens what there is of the index. What is not there, or not as it was
// written, is nothing.
func (b *Book) openIndex() {
	s := &b.side
	key, err := b.sideKey()
	if err != nil || s.suspect {
		return
	}
	var parts []*lookup.Segment
	for _, name := range []string{baseFile, tailFile} {
		part, f, err := openPart(b.sidePath(name), key)
		if err != nil {
			break
		}
		s.files = append(s.files, f)
		if _, err := lookup.Over(append(parts, part)...); err != nil {
			break // it goes with a file that is no longer there
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return
	}
	if s.index, err = lookup.Over(parts...); err == nil {
		s.segments, s.kept = parts, len(parts)
	}
}

func openPart(name string, key lookup.Key) (*lookup.Segment, *os.File, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, nil, err
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = lookup.ErrDoubt
	}
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	part, err := lookup.Open(f, info.Size(), key)
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	return part, f, nil
}

// How much is new before it is written: below fewNew it is read again by the
// next run. What came since goes into the large file once it is an eighth of it,
// and more than fewSince.
const (
	fewNew   = 16
	fewSince = 1024
)

// keep writes what is new where that is worth it. Nothing is asked of it: what
// cannot be written is read again.
func (b *Book) keep(key lookup.Key, newest []byte) {
	s := &b.side
	if len(s.segments) == 1 {
		if b.writePart(baseFile, newest) == nil {
			s.kept = 1
		}
		return
	}
	base, since := s.segments[0], s.segments[1:]
	count := commitsOf(since)
	if commitsOf(s.segments[s.kept:]) < fewNew {
		return
	}
	name, parts := tailFile, since
	if count > fewSince && count > base.Commits()/8 {
		name, parts = baseFile, s.segments
	}
	data, err := lookup.Join(key, parts...)
	if err != nil || b.writePart(name, data) != nil {
		return
	}
	if name == baseFile {
		_ = os.Remove(b.sidePath(tailFile)) // it goes with the old one
	}
	// From here on the parts that were joined are one.
	joined, err := lookup.Open(bytes.NewReader(data), int64(len(data)), key)
	if err != nil {
		return
	}
	merged := append(slices.Clone(s.segments[:len(s.segments)-len(parts)]), joined)
	if x, err := lookup.Over(merged...); err == nil {
		s.index, s.segments, s.kept = x, merged, len(merged)
	}
}

func commitsOf(parts []*lookup.Segment) (count uint32) {
	for _, p := range parts {
		count += p.Commits()
	}
	return count
}

func (b *Book) writePart(name string, data []byte) (err error) {
	place := b.sidePath(name)
	dir := filepath.Dir(place)
	if err := b.passing.MkdirAll(dir); err != nil {
		return err
	}
	sweepSide(dir)
	f, err := b.passing.CreateTemp(dir, sideTemp)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Close())
	if err == nil {
		err = b.passing.Rename(f.Name(), place)
	}
	if err != nil {
		b.passing.Remove(f.Name())
	}
	return err
}

// sweepSide takes away what runs that were killed left half written.
func sweepSide(dir string) {
	names, _ := filepath.Glob(filepath.Join(dir, sideTemp+"*"))
	for _, name := range names {
		if info, err := os.Lstat(name); err == nil && time.Since(info.ModTime()) > time.Hour {
			_ = os.Remove(name)
		}
	}
}

// canKeep tells whether the index can be written: to make one of a whole history
// and not keep it takes longer than a walk.
func (b *Book) canKeep() bool {
	dir := filepath.Dir(b.sidePath(baseFile))
	if b.passing.MkdirAll(dir) != nil {
		return false
	}
	f, err := b.passing.CreateTemp(dir, sideTemp)
	if err != nil {
		return false
	}
	err = f.Close()
	return b.passing.Remove(f.Name()) == nil && err == nil
}
