// Package objects reads and writes git's object store: loose files, packs
// with their version 2 indexes, and alternates. An object is found by binary
// search in the pack's index file as it lies on disk, so that opening a store
// costs the same whether it holds a hundred objects or a million.
//
// It promises never to change or remove an object that is there, and to write
// new ones beside their place and rename them, so that a reader meets an
// object whole or not at all.
package objects

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
)

// MaxSize is the largest object that is read, in bytes. Records and
// attachments are far smaller; the bound keeps a damaged length from asking
// for all the memory there is.
const MaxSize = 256 << 20

// Kind is an object's type, named as git writes it.
type Kind string

// The four kinds of object.
const (
	Blob   Kind = "blob"
	Tree   Kind = "tree"
	Commit Kind = "commit"
	Tag    Kind = "tag"
)

// ErrMissing is returned, wrapped with the object's name, when no store holds it.
var ErrMissing = errors.New("object not found")

// Store is an object store and those it borrows from. It is safe for
// concurrent use.
type Store struct {
	format Format
	dirs   []string // the store's own first, then its alternates
	fetch  func(ID) error
	held   *Held // where packs and their indexes are held as a whole; nil: nowhere

	mu    sync.Mutex
	packs []*pack
	known map[string]bool // packs already opened, by path
	bases baseCache

	// What is used again for each object.
	in      inflater
	scratch []byte // deltas
	steps   []deltaStep
	sum     summer
}

// Open gives the store in the folder dir (a repository's "objects") whose
// objects are named by format.
func Open(dir string, format Format) (*Store, error) {
	s := &Store{format: format, known: map[string]bool{}}
	if err := s.addDir(dir, 0); err != nil {
		return nil, err
	}
	return s, nil
}

// addDir takes in one folder and, as deep as git does, its alternates.
func (s *Store) addDir(dir string, depth int) error {
	const deepest = 5 // git's own bound on alternates of alternates
	s.dirs = append(s.dirs, dir)
	f, err := os.Open(filepath.Join(dir, "info", "alternates"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	if depth == deepest {
		return fmt.Errorf("%s: object stores borrow from each other more than %d deep", dir, deepest)
	}
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := lines.Text()
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if !filepath.IsAbs(line) {
			line = filepath.Join(dir, line)
		}
		if err := s.addDir(line, depth+1); err != nil {
			return err
		}
	}
	return lines.Err()
}

// FetchWith gives the store of a partial clone a way to bring in an object that
// was left out of it.
func (s *Store) FetchWith(fetch func(ID) error) { s.fetch = fetch }

// HoldIn has the store hold packs and their indexes as a whole in memory, which
// it may share with others, for one who is going to ask for most objects. It comes
// before the first reading.
func (s *Store) HoldIn(h *Held) { s.held, s.bases.most = h, mostBases }

// KeepLess lets the store keep at most so many bytes of what it read, where many
// stores are open at once.
func (s *Store) KeepLess(bytes int) { s.bases.most = bytes }

// Format says how the store names its objects.
func (s *Store) Format() Format { return s.format }

// Read gives an object's kind and bytes, which the caller must not change.
// An object nobody has gives ErrMissing.
func (s *Store) Read(id ID) (Kind, []byte, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	kind, data, err := s.read(id)
	if s.fetch == nil || !errors.Is(err, ErrMissing) {
		return kind, data, err
	}
	if failed := s.fetch(id); failed != nil {
		return "", nil, fmt.Errorf("%w: it was left out of this clone, and: %w", err, failed)
	}
	return s.read(id)
}

// read looks in the packs known, then among the loose files, then in packs
// that have come since: a gc in another process moves objects from the second
// to the third while this one runs.
func (s *Store) read(id ID) (Kind, []byte, error) {
	if !s.format.Valid(id) {
		return "", nil, fmt.Errorf("%q is not the name of an object", id)
	}
	for round := range 2 {
		if kind, data, err := s.readPacked(id); !errors.Is(err, ErrMissing) {
			return kind, data, err
		}
		if kind, data, err := s.readLoose(id); !errors.Is(err, ErrMissing) {
			return kind, data, err
		}
		if round == 0 {
			if err := s.findPacks(); err != nil {
				return "", nil, err
			}
		}
	}
	return "", nil, fmt.Errorf("%w: %s; git fsck lists what is missing, and another copy of the book may have it: git fetch", ErrMissing, id)
}

// ReadKind is Read for an object that must be of one kind.
func (s *Store) ReadKind(id ID, want Kind) ([]byte, error) {
	kind, data, err := s.Read(id)
	if err != nil {
		return nil, err
	}
	if kind != want {
		return nil, fmt.Errorf("object %s is a %s, not a %s", id, kind, want)
	}
	return data, nil
}

// findPacks opens the packs that are in the folders now and were not before.
func (s *Store) findPacks() error {
	for _, dir := range s.dirs {
		names, err := namesIn(filepath.Join(dir, "pack"))
		if err != nil {
			return err
		}
		for _, name := range names {
			if !strings.HasPrefix(name, "pack-") || !strings.HasSuffix(name, ".idx") {
				continue
			}
			name = filepath.Join(dir, "pack", name)
			if s.known[name] {
				continue
			}
			p, err := openPack(name, s.format)
			if errors.Is(err, fs.ErrNotExist) {
				continue // a gc took it away between the listing and the opening
			}
			if err != nil {
				return err
			}
			if s.held != nil {
				if err := s.held.pack(p); err != nil {
					return errors.Join(err, p.close())
				}
			}
			s.known[name] = true
			s.packs = append(s.packs, p)
		}
	}
	return nil
}

// Prefix gives the objects whose names begin with the hexadecimal digits of
// prefix (at least two), sorted, without doubles.
func (s *Store) Prefix(prefix string) ([]ID, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.findPacks(); err != nil {
		return nil, err
	}
	found := map[ID]bool{}
	for _, p := range s.packs {
		ids, err := p.prefix(prefix)
		if err != nil {
			return nil, err
		}
		for _, id := range ids {
			found[id] = true
		}
	}
	for _, dir := range s.dirs {
		names, err := namesIn(filepath.Join(dir, prefix[:2]))
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			id := ID(prefix[:2] + name)
			if strings.HasPrefix(string(id), prefix) && s.format.Valid(id) {
				found[id] = true
			}
		}
	}
	ids := make([]ID, 0, len(found))
	for id := range found {
		ids = append(ids, id)
	}
	sort.Slice(ids, func(i, j int) bool { return ids[i] < ids[j] })
	return ids, nil
}

// namesIn lists a folder; one that is not there holds nothing.
func namesIn(dir string) ([]string, error) {
	f, err := os.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Readdirnames(-1)
}

// Close lets go of the packs.
func (s *Store) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	var errs []error
	for _, p := range s.packs {
		errs = append(errs, p.close())
	}
	s.packs, s.known = nil, map[string]bool{}
	return errors.Join(errs...)
}
