package app

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"stackbook/cmd/internal/act"
	"stackbook/record/book/passing"
)

// siteFolder is a folder of linked pages. Pages that differ from what lies there
// are written aside and put in place in the end, all of them or none; one that is
// the same is not touched. A list in the folder tells what earlier runs wrote:
// nothing else is ever replaced or removed.
type siteFolder struct {
	dir     string
	root    *os.Root // nothing outside the folder is reached, whatever links lie in it
	held    *os.File // the folder itself, locked while a run is at work
	passing *passing.Files
	before  map[string]checksum // by its list, by path

	mu     sync.Mutex
	now    map[string]checksum // of this run
	staged map[string]int32    // under which number it waits, by path
	made   int32
}

// checksum is the SHA-256 of a page.
type checksum [sha256.Size]byte

// openSite takes a folder that is not there yet, is empty or holds the pages of
// an earlier run.
func openSite(dir string, files *passing.Files) (*siteFolder, error) {
	if err := files.MkdirAll(dir); err != nil {
		return nil, fmt.Errorf("%s cannot be made: %w", dir, cause(err))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be written in: %w", dir, cause(err))
	}
	f := &siteFolder{dir: dir, root: root, passing: files, now: map[string]checksum{}, staged: map[string]int32{}}
	if err := f.begin(); err != nil {
		return nil, errors.Join(err, f.close())
	}
	return f, nil
}

// cause is what went wrong, without the name of a file nobody typed.
func cause(err error) error {
	var why *fs.PathError
	if errors.As(err, &why) {
		return why.Err
	}
	return err
}

func (f *siteFolder) begin() error {
	entries, err := fs.ReadDir(f.root.FS(), ".")
	if err != nil {
		return fmt.Errorf("%s cannot be read: %w", f.dir, cause(err))
	}
	if f.before, err = f.readList(); err != nil {
		return err
	}
	if i := slices.IndexFunc(entries, func(e fs.DirEntry) bool { return e.Name() != sitePassing }); i >= 0 && f.before == nil {
		return &act.UsageError{Message: fmt.Sprintf("%s holds %s, and no list of pages that stackbook wrote", f.dir, entries[i].Name()), Mend: "name a folder that is new or empty"}
	}
	return f.makeAside()
}

// readList reads what earlier runs wrote; nil where there is no list.
func (f *siteFolder) readList() (map[string]checksum, error) {
	file, err := f.root.Open(siteListed)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", filepath.Join(f.dir, siteListed), cause(err))
	}
	defer file.Close()
	list := map[string]checksum{}
	lines := bufio.NewScanner(file)
	n := 0
	for lines.Scan() {
		n++
		var sum checksum
		digits, name, ok := strings.Cut(lines.Text(), "  ")
		if !ok || len(digits) != 2*len(sum) || strings.Trim(digits, "0123456789abcdef") != "" || !fs.ValidPath(name) || name == "." {
			return nil, &act.UsageError{Message: fmt.Sprintf("%s:%d is no line of a list of pages", filepath.Join(f.dir, siteListed), n), Mend: "name a folder that is new or empty"}
		}
		if _, err := hex.Decode(sum[:], []byte(digits)); err != nil {
			return nil, err
		}
		list[strings.Clone(name)] = sum
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", filepath.Join(f.dir, siteListed), cause(err))
	}
	return list, nil
}

// put takes a page: where another lies in its place it waits aside, else what
// lies there stays untouched.
func (f *siteFolder) put(name string, data []byte) error {
	same, err := f.same(name, data)
	if err != nil {
		return err
	}
	f.mu.Lock()
	f.now[name] = sha256.Sum256(data)
	waits := f.staged[name]
	if waits == 0 && !same {
		f.made++
		waits = f.made
	}
	if delete(f.staged, name); !same {
		f.staged[name] = waits
	}
	f.mu.Unlock()
	if same {
		return nil
	}
	if err := f.root.WriteFile(waiting(waits), data, 0o666); err != nil {
		return fmt.Errorf("%s cannot be written: %w", filepath.Join(f.dir, name), cause(err))
	}
	return nil
}

// same tells whether a page lies in its place already; what no run wrote is in
// the way.
func (f *siteFolder) same(name string, data []byte) (bool, error) {
	info, err := f.root.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("%s cannot be written: %w", filepath.Join(f.dir, name), cause(err))
	}
	if _, ours := f.before[name]; !ours || !info.Mode().IsRegular() {
		return false, &act.UsageError{Message: filepath.Join(f.dir, name) + " is there, and stackbook did not write it", Mend: "move it out of the way"}
	}
	if info.Size() != int64(len(data)) {
		return false, nil
	}
	there, err := f.root.ReadFile(name)
	return bytes.Equal(there, data), err
}

// setDown is what a run did in the folder.
type setDown struct {
	pages, written, removed int
	left                    []string // pages of things that are gone, altered by hand since
}

// finish puts every page that waits in its place, and takes away those of things
// that are gone. It is not broken off half way.
func (f *siteFolder) finish() (p setDown, err error) {
	err = f.passing.Whole(func() error {
		p, err = f.place()
		return err
	})
	return p, errors.Join(err, f.discard())
}

func (f *siteFolder) place() (setDown, error) {
	p := setDown{pages: len(f.now), written: len(f.staged)}
	known := maps.Clone(f.now)
	for name, sum := range f.before {
		if _, stays := known[name]; !stays {
			known[name] = sum
		}
	}
	if err := f.writeList(known); err != nil { // first, so that whatever is put in place is listed
		return p, err
	}
	for _, name := range slices.Sorted(maps.Keys(f.staged)) {
		if err := f.root.MkdirAll(path.Dir(name), 0o777); err != nil {
			return p, fmt.Errorf("%s cannot be written: %w", filepath.Join(f.dir, name), cause(err))
		}
		if err := f.root.Rename(waiting(f.staged[name]), name); err != nil {
			return p, fmt.Errorf("%s cannot be written: %w", filepath.Join(f.dir, name), cause(err))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(f.before)) {
		if _, stays := f.now[name]; !stays {
			f.removeGone(name, &p)
		}
	}
	return p, f.writeList(f.now)
}

// removeGone takes a page away that nothing is told on any more, and the folders
// that are empty without it. One that somebody altered stays.
func (f *siteFolder) removeGone(name string, p *setDown) {
	data, err := f.root.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return
	case err != nil || sha256.Sum256(data) != f.before[name] || f.root.Remove(name) != nil:
		p.left = append(p.left, name)
		return
	}
	p.removed++
	for dir := path.Dir(name); dir != "." && f.root.Remove(dir) == nil; dir = path.Dir(dir) {
	}
}

// writeList writes the list, where it is another than lies there.
func (f *siteFolder) writeList(list map[string]checksum) error {
	if err := f.putList(list); err != nil {
		return fmt.Errorf("%s cannot be written: %w", filepath.Join(f.dir, siteListed), cause(err))
	}
	return nil
}

func (f *siteFolder) putList(list map[string]checksum) error {
	const waits = sitePassing + "/" + listWaits
	file, err := f.root.Create(waits)
	if err != nil {
		return err
	}
	sum := sha256.New()
	w := bufio.NewWriter(io.MultiWriter(file, sum))
	for _, name := range slices.Sorted(maps.Keys(list)) {
		fmt.Fprintf(w, "%x  %s\n", list[name], name) // an error stays until the flush
	}
	if err := errors.Join(w.Flush(), file.Close()); err != nil {
		return err
	}
	if f.listIs(sum.Sum(nil)) {
		return nil
	}
	return f.root.Rename(waits, siteListed)
}

// listIs tells whether the list that lies there has that SHA-256.
func (f *siteFolder) listIs(sum []byte) bool {
	there, err := f.root.Open(siteListed)
	if err != nil {
		return false
	}
	defer there.Close()
	old := sha256.New()
	_, err = io.Copy(old, there)
	return err == nil && bytes.Equal(old.Sum(nil), sum)
}
