package book

import (
	"os"
	"path/filepath"
	"time"
)

// AuthorFor is Book.Author for a folder that is no book yet, or not there yet:
// who git's configuration says the person is, in it or above it.
func AuthorFor(dir string, now time.Time, opts ...Option) (Signature, error) {
	root, err := filepath.Abs(dir)
	if err != nil {
		return Signature{}, err
	}
	for !isFolder(root) && root != filepath.Dir(root) {
		root = filepath.Dir(root)
	}
	return newBook(root, repository{common: filepath.Join(root, ".git")}, opts).Author(now)
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}
