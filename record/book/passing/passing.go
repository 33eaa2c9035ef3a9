// Package passing keeps count of what a run makes in passing: locks, files
// half written beside their place, folders made for them. When the run is
// broken off by a signal, all of it is taken away again, and none of it can
// be made any more.
//
// It promises that nothing it counts is left behind by a run that ends through
// Clear, and that what is to happen wholly or not at all (Whole) does.
package passing

import (
	"context"
	"io/fs"
	"os"
	"slices"
	"sync"
)

// Files is what one run has made and neither put in place nor removed yet. It
// is safe for use from several goroutines.
type Files struct {
	mu    sync.Mutex // held while something is made, renamed or removed
	made  []made     // in the order they were made
	whole sync.RWMutex

	broken context.Context
	breaks context.CancelFunc
}

type made struct {
	name string
	tree bool // a folder that goes with all that is in it
}

// New gives the count of a run that has made nothing yet.
func New() *Files {
	f := &Files{}
	f.broken, f.breaks = context.WithCancel(context.Background())
	return f
}

// Create makes a file that must not be there yet, open for reading and writing.
func (f *Files) Create(name string, perm fs.FileMode) (*os.File, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	file, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, perm)
	if err == nil {
		f.made = append(f.made, made{name: name})
	}
	return file, err
}

// CreateTemp makes a file of a name of its own, as os.CreateTemp does.
func (f *Files) CreateTemp(dir, pattern string) (*os.File, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	file, err := os.CreateTemp(dir, pattern)
	if err == nil {
		f.made = append(f.made, made{name: file.Name()})
	}
	return file, err
}

// Link gives a file a second name, which must not be there yet.
func (f *Files) Link(old, name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	err := os.Link(old, name)
	if err == nil {
		f.made = append(f.made, made{name: name})
	}
	return err
}

// Mkdir makes a folder. It is taken away only if nothing is in it.
func (f *Files) Mkdir(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	err := os.Mkdir(name, 0o777)
	if err == nil {
		f.made = append(f.made, made{name: name})
	}
	return err
}

// MkdirAll makes a folder and those above it, where they are not there; they
// stay. It is here so that none is made again after Clear took a tree away.
func (f *Files) MkdirAll(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return os.MkdirAll(name, 0o777)
}

// Tree makes a folder that is not there yet, by calling do, and counts it as
// one to be taken away with all that is in it.
func (f *Files) Tree(name string, do func() error) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.made = append(f.made, made{name, true})
	return do()
}

// Rename puts a file in its place, where it stays.
func (f *Files) Rename(name, place string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	err := os.Rename(name, place)
	if err == nil {
		f.forget(name)
	}
	return err
}

// Remove takes a file, or a folder that is empty, away.
func (f *Files) Remove(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.forget(name)
	return os.Remove(name)
}

// Keep lets things stay where they are.
func (f *Files) Keep(names ...string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, name := range names {
		f.forget(name)
	}
}

func (f *Files) forget(name string) {
	f.made = slices.DeleteFunc(f.made, func(m made) bool { return m.name == name })
}

// Whole does what must not be broken off half way: Clear waits for its end,
// and if it came to wait, the caller never goes on. It may not be nested.
func (f *Files) Whole(do func() error) error {
	f.whole.RLock()
	err := do()
	f.whole.RUnlock()
	if f.broken.Err() != nil {
		select {} // the program is about to end
	}
	return err
}

// Broken is done as soon as the run is broken off: what takes long within
// Whole, such as another program, is to come to its end then.
func (f *Files) Broken() context.Context { return f.broken }

// Clear breaks the run off. It lets what must be whole come to its end, takes
// away all that was made in passing, and from then on holds up whoever would
// make more. The program has to end after it.
func (f *Files) Clear() {
	f.breaks()
	f.whole.Lock()
	f.mu.Lock()
	for _, m := range slices.Backward(f.made) {
		if m.tree {
			os.RemoveAll(m.name)
		} else {
			os.Remove(m.name)
		}
	}
}
