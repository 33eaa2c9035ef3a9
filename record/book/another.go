package book

import "stackbook/record/book/objects"

// lessHeld is what one of several looks at git's objects keeps: an engine's
// records and the lists above them, a few times over.
const lessHeld = 2 << 20

// Another gives the same book once more, with a look at git's objects of its
// own: one alone would have the goroutines that read it wait for each other.
func (b *Book) Another() (*Book, error) {
	store, err := b.anotherStore()
	if err != nil {
		return nil, err
	}
	store.KeepLess(lessHeld)
	return &Book{root: b.root, repo: b.repo, store: store, getenv: b.getenv, passing: b.passing, settings: b.settings, shallow: b.shallow}, nil
}

// Blob reads one file by git's name for its content; nil for one larger than
// MaxFile.
func (b *Book) Blob(hash string) ([]byte, error) {
	data, err := b.store.ReadKind(objects.ID(hash), objects.Blob)
	if len(data) > MaxFile {
		data = nil
	}
	return data, err
}
