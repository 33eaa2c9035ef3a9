// Package book is where the records are kept: one git repository with a
// book.yaml at the root of the book. Trees of bytes come in, edits go out;
// what the bytes mean is for other rooms to say.
//
// A Tree is one whole state: the folder as it is now, or any commit. Reading
// goes to git's files directly, at a cost that hardly grows with the book.
// Writing is Commit: either the commit is whole or the book is as before, for
// a killed process, a full disk, and two writers at once. Whatever else the
// person has staged stays staged, and git's own program, run on the same
// book at the same time, is a full citizen.
//
// What cannot be done as git would do it (hooks, signing, converted line
// ends, index formats that cannot be patched) is handed to the git program;
// that is decided before anything is written.
//
// The package reads no environment itself: author and time come in as
// values, and variables by a function given to Open or Find.
package book

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"

	"stackbook/record/book/objects"
	"stackbook/record/book/passing"
)

// Marker is the file that makes a folder a book.
const Marker = "book.yaml"

// Book is one book in its git repository. It is safe for reading from several
// goroutines.
type Book struct {
	root   string // the folder with book.yaml; the git directory when bare
	repo   repository
	store  *objects.Store
	getenv func(string) string

	indexes  indexCache
	trees    treeCache
	prepared atomic.Bool // a commit is being prepared

	passing  *passing.Files
	fresh    string                   // what is counted as passing until the first commit is made
	settings func() (settings, error) // git's configuration, read once
	shallow  func() (map[objects.ID]bool, error)

	side     side
	indexing func(done, of int) // told while an index is made; may be nil

	program func() (identity string, ok bool) // who works out what is kept; nil: nothing is
}

// Option changes how a book is opened.
type Option func(*Book)

// WithEnv gives the book a look-up of environment variables, with which it
// honours GIT_AUTHOR_NAME and the like. Without it, no variable is set.
func WithEnv(getenv func(string) string) Option {
	return func(b *Book) { b.getenv = getenv }
}

// WithPassing gives the book the count of what the run makes in passing, so
// that a run broken off by a signal can clear it away.
func WithPassing(files *passing.Files) Option {
	return func(b *Book) { b.passing = files }
}

// Errors to tell apart.
var (
	// ErrNoBook: no book.yaml here or above, or no git repository around it.
	ErrNoBook = errors.New("no book")
	// ErrNothing: a commit that would change nothing.
	ErrNothing = errors.New("nothing to commit")
	// ErrMoved: the branch is no longer where the edits were computed from.
	ErrMoved = errors.New("the book has moved on since")
	// ErrBusy: a merge, rebase or the like is under way, or another git holds a lock.
	ErrBusy = errors.New("the repository is busy")
	// ErrNoAuthor: git's configuration names nobody.
	ErrNoAuthor = errors.New("no author")
)

// Find gives the book that dir lies in: the nearest folder, from dir upwards,
// that holds a book.yaml, with the git repository at that folder or above.
// A bare repository is found when dir is its folder; it can be read only.
func Find(dir string, opts ...Option) (*Book, error) {
	start, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	for at := start; ; at = filepath.Dir(at) {
		inside := filepath.Base(at) == ".git" // a work tree's own git directory is no book by itself
		if isFile(filepath.Join(at, Marker)) || isGitDir(at) && !inside {
			return Open(at, opts...)
		}
		if at == filepath.Dir(at) {
			return nil, fmt.Errorf("%w: neither %s nor a folder above it holds a %s; make a book with: stackbook begin DIR",
				ErrNoBook, start, Marker)
		}
	}
}

// Open gives the book whose root, the folder with book.yaml, is known.
func Open(root string, opts ...Option) (*Book, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	repo, err := findRepository(root)
	if errors.Is(err, ErrNoBook) {
		if dir := newBook(root, repository{}, opts).getenv("GIT_DIR"); dir != "" {
			return nil, fmt.Errorf("%w: %s lies in no git repository of its own, and GIT_DIR and GIT_WORK_TREE are not followed; write into the file %s the line gitdir: %s",
				ErrNoBook, root, filepath.Join(root, ".git"), dir)
		}
	}
	if err != nil {
		return nil, err
	}
	if !repo.bare && !isFile(filepath.Join(root, Marker)) {
		return nil, fmt.Errorf("%w: %s holds no %s; make a book with: stackbook begin DIR", ErrNoBook, root, Marker)
	}
	return open(root, repo, opts)
}

// open is Open without asking for a book.yaml, which a new book has not yet.
func open(root string, repo repository, opts []Option) (*Book, error) {
	store, err := objects.Open(filepath.Join(repo.common, "objects"), repo.format)
	if err != nil {
		return nil, err
	}
	b := newBook(root, repo, opts)
	b.store = store
	if repo.partial {
		store.FetchWith(b.fetchObject)
	}
	b.shallow = sync.OnceValues(b.readShallow)
	return b, b.checkOwner()
}

// newBook is a book of which nothing but the settings can be read yet.
func newBook(root string, repo repository, opts []Option) *Book {
	b := &Book{root: root, repo: repo, getenv: func(string) string { return "" }, passing: passing.New(), side: side{from: fewCommits}}
	for _, o := range opts {
		o(b)
	}
	b.settings = sync.OnceValues(b.readSettings)
	return b
}

// whole makes a commit, by do, without being broken off; with it, what a new
// book was made of is there to stay.
func (b *Book) whole(do func() error) error {
	return b.passing.Whole(func() error {
		err := do()
		if err == nil && b.fresh != "" {
			b.passing.Keep(b.fresh)
		}
		return err
	})
}

// Prepare begins to read what a commit will ask for, git's settings and its
// index, while the caller goes on with other work. Whether the checksum of the
// index is right is then asked by Commit, before it writes anything, and no
// longer by what looks at the index before.
func (b *Book) Prepare() {
	b.prepared.Store(true)
	go b.settings()
	if !b.repo.bare {
		go b.lookIndex()
	}
}

// Root gives the book's folder, absolute; of a bare repository, its own.
func (b *Book) Root() string { return b.root }

// Bare says that the book has no folder to read or write in, history alone.
func (b *Book) Bare() bool { return b.repo.bare }

// CheckFolder is an error when there is no folder to write in.
func (b *Book) CheckFolder() error {
	if b.repo.bare {
		return fmt.Errorf("%s is a bare repository: it has no folder to write in; clone it", b.root)
	}
	return nil
}

// GitDir gives the folder in which git keeps what belongs to this work tree.
func (b *Book) GitDir() string { return b.repo.dir }

// Close lets go of the files held open.
func (b *Book) Close() error {
	b.side.close()
	return b.store.Close()
}

// Rel gives the path inside the book, with slashes, of a path of the
// operating system; it need not exist. "." is the book itself.
func (b *Book) Rel(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	for _, root := range []string{b.root, realPath(b.root)} {
		for _, p := range []string{abs, realPath(abs)} {
			if rel, err := filepath.Rel(root, p); err == nil && filepath.IsLocal(rel) {
				return filepath.ToSlash(rel), nil
			}
		}
	}
	return "", fmt.Errorf("%s lies outside the book %s", path, b.root)
}

// realPath follows the links of the longest part of path that exists.
func realPath(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	dir := filepath.Dir(path)
	if dir == path {
		return path
	}
	return filepath.Join(realPath(dir), filepath.Base(path))
}

// inRepo gives the path from the repository's root of a path in the book.
func (b *Book) inRepo(path string) string {
	if path == "." || path == "" {
		return strings.TrimSuffix(b.repo.prefix, "/")
	}
	return b.repo.prefix + path
}

// osPath gives the place in the folder of a path in the book.
func (b *Book) osPath(path string) string {
	return filepath.Join(b.root, filepath.FromSlash(path))
}
