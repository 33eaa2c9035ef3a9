package book

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"stackbook/record/book/passing"
)

// Init makes a book at root: a new git repository (branch main) unless root
// lies in one already, the files (by their paths in the book, book.yaml among
// them), and a first commit of them. Where any of the files is there already,
// where a new repository's folder is not empty, and inside another book, it
// refuses. If it fails, what it made is gone again.
func Init(root string, files map[string][]byte, who Signature, message string, opts ...Option) (*Book, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	if files[Marker] == nil {
		return nil, fmt.Errorf("a book needs a %s", Marker)
	}
	if info, err := os.Stat(root); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("%s is no folder; a new book needs one of its own, or a git repository", root)
	}
	if err := refuseTaken(root, files); err != nil {
		return nil, err
	}
	made := firstMissing(root)
	if made == "" {
		made = newGitDir(root)
	}
	count := newBook(root, repository{}, opts).passing
	repo, err := makeRepository(root, made, count)
	var b *Book
	if err == nil {
		b, err = open(root, repo, opts)
	}
	if err == nil {
		b.fresh = made
		err = b.firstCommit(files, who, message)
	}
	if err == nil || made == "" {
		return b, err
	}
	err = errors.Join(err, os.RemoveAll(made))
	count.Keep(made)
	return nil, err
}

// makeRepository gives the repository of a book's folder and makes both, as
// far as they are not there. What is made at the path made is counted as
// passing until the first commit.
func makeRepository(root, made string, count *passing.Files) (repo repository, err error) {
	if made == "" {
		return findRepository(root)
	}
	err = count.Tree(made, func() error {
		if err := os.MkdirAll(root, 0o777); err != nil {
			return err
		}
		if repo, err = findRepository(root); errors.Is(err, ErrNoBook) {
			repo, err = newRepository(root)
		}
		return err
	})
	return repo, err
}

// newGitDir gives the git directory that a book in the folder root will make,
// or "" where root lies in a repository already.
func newGitDir(root string) string {
	if _, err := findRepository(root); errors.Is(err, ErrNoBook) {
		return filepath.Join(root, ".git")
	}
	return ""
}

// firstMissing gives the outermost folder that making root will make, or "".
func firstMissing(root string) string {
	missing := ""
	for at := root; ; at = filepath.Dir(at) {
		if _, err := os.Lstat(at); !errors.Is(err, fs.ErrNotExist) {
			return missing
		}
		missing = at
	}
}

// refuseTaken refuses a folder in which a new book would be in something's way.
func refuseTaken(root string, files map[string][]byte) error {
	for at := root; ; at = filepath.Dir(at) {
		if isFile(filepath.Join(at, Marker)) {
			return fmt.Errorf("%s is a book already; a new one needs a folder outside it", at)
		}
		if at == filepath.Dir(at) {
			break
		}
	}
	for name := range files {
		if _, err := os.Lstat(filepath.Join(root, filepath.FromSlash(name))); err == nil {
			return fmt.Errorf("%s holds a file %s already; a new book would replace it", root, name)
		}
	}
	entries, err := os.ReadDir(root)
	if errors.Is(err, fs.ErrNotExist) || len(entries) == 0 {
		return nil
	}
	if _, failed := findRepository(root); errors.Is(failed, ErrNoBook) && err == nil {
		return fmt.Errorf("%s is not empty; a new book needs a folder of its own, or a git repository", root)
	}
	return err
}

// newRepository makes what git asks of a repository and nothing more.
func newRepository(root string) (repository, error) {
	dir := filepath.Join(root, ".git")
	for _, sub := range []string{"objects/info", "objects/pack", "refs/heads", "refs/tags", "info", "hooks"} {
		if err := os.MkdirAll(filepath.Join(dir, filepath.FromSlash(sub)), 0o777); err != nil {
			return repository{}, err
		}
	}
	cfg := "[core]\n\trepositoryformatversion = 0\n\tbare = false\n\tlogallrefupdates = true\n"
	cfg += fmt.Sprintf("\tfilemode = %t\n", runtime.GOOS != "windows")
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		cfg += "\tignorecase = true\n"
	}
	if err := os.WriteFile(filepath.Join(dir, "config"), []byte(cfg), 0o666); err != nil {
		return repository{}, err
	}
	if err := os.WriteFile(filepath.Join(dir, "HEAD"), []byte("ref: refs/heads/main\n"), 0o666); err != nil {
		return repository{}, err
	}
	return repository{dir: dir, work: root}.complete()
}

// firstCommit writes the book's files and commits them.
func (b *Book) firstCommit(files map[string][]byte, who Signature, message string) error {
	if b.repo.bare {
		return fmt.Errorf("%s is a bare repository; a book needs a folder to work in", b.root)
	}
	var edits []Edit
	for _, name := range sortedKeys(files) {
		edits = append(edits, Edit{Path: name, Data: files[name], Write: true})
	}
	head, _, err := b.Head()
	if err != nil {
		return err
	}
	_, err = b.Commit(edits, CommitOptions{Message: message, Author: who, Expect: head.Hash})
	return err
}
