package book

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// Staged is the tree of the commit that git is about to make, as its hooks see
// it: what is staged, in the index that git names to them.
type Staged struct {
	book  *Book
	file  string // the index
	index *index.Index
}

// Staged gives what is staged. Of "git commit FILE" and "git commit -a" it is
// what git has gathered in an index of its own, which GIT_INDEX_FILE names.
func (b *Book) Staged() (*Staged, error) {
	if err := b.CheckFolder(); err != nil {
		return nil, err
	}
	s := &Staged{book: b, file: b.indexFile()}
	if named := b.getenv("GIT_INDEX_FILE"); named != "" {
		s.file = absIn(b.repo.work, named)
	}
	var err error
	s.index, err = b.lookIndexAt(s.file)
	return s, err
}

// Passing tells that the index is there for this one commit alone, of some of
// the files (git commit FILE). Git throws it away afterwards and keeps the usual
// one: what is staged in it here would be in the commit and seem to be taken
// back by the next (R8).
func (s *Staged) Passing() bool {
	return strings.HasPrefix(filepath.Base(s.file), "next-index-")
}

// UnderWay tells that the commit ends a merge, a rebase or the like.
func (s *Staged) UnderWay() bool { return s.book.refuseUnderway() != nil }

// find gives the entry of a file, by its path in the book. Of a file whose name
// alone is staged, nothing is.
func (s *Staged) find(p string) (index.Entry, bool) {
	e, ok := s.index.Find(s.book.inRepo(p))
	return e, ok && !e.IntentToAdd()
}

// Read gives a file's bytes as they are staged.
func (s *Staged) Read(p string) ([]byte, error) {
	if err := checkPath(p); err != nil {
		return nil, err
	}
	e, ok := s.find(p)
	if !ok {
		return nil, notExist(p)
	}
	return s.book.readBlob(p, e.Mode(), e.ID())
}

// List gives what is staged in a folder.
func (s *Staged) List(dir string) ([]Entry, error) {
	if err := checkPath(dir); err != nil {
		return nil, err
	}
	at := s.book.inRepo(dir)
	var entries []Entry
	for e := range s.index.Under(at) {
		if e.Stage() != 0 || e.IntentToAdd() {
			continue
		}
		name := e.Name
		if at != "" {
			name = strings.TrimPrefix(name, at+"/")
		}
		entry := Entry{Name: name, File: e.Mode().IsFile(), Hash: string(e.ID())}
		if head, _, deeper := strings.Cut(name, "/"); deeper {
			entry = Entry{Name: head, Dir: true}
		}
		if n := len(entries); n == 0 || entries[n-1].Name != entry.Name {
			entries = append(entries, entry)
		}
	}
	if len(entries) == 0 {
		return nil, notExist(dir)
	}
	slices.SortFunc(entries, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	return entries, nil
}

// Skipped gives nothing: a sparse checkout keeps files out of the folder, and
// they are staged all the same.
func (s *Staged) Skipped(string) ([]string, error) { return nil, nil }

// Changes gives the files of the book in which the commit will differ from HEAD,
// those it takes out among them, sorted.
func (s *Staged) Changes() ([]string, error) {
	args := []string{"diff-index", "--cached", "--name-only", "-z", "--relative", "--no-renames", "--ita-invisible-in-index", "HEAD", "--"}
	if _, ok, err := s.book.Head(); err != nil {
		return nil, err
	} else if !ok {
		args = []string{"ls-files", "-z"}
	}
	out, err := s.book.runGit(context.Background(), s.env(), "", args...)
	if err != nil {
		return nil, err
	}
	return splitNul(out), nil
}

// Stage stages files with these contents, new ones as plain files. Git's own
// program changes the index, since git holds it at that moment.
func (s *Staged) Stage(files map[string][]byte) error {
	if len(files) == 0 {
		return nil
	}
	batch := s.book.store.NewBatch(s.book.passing)
	defer batch.Drop()
	var list strings.Builder
	for _, name := range sortedKeys(files) {
		if err := checkPath(name); err != nil {
			return err
		}
		id, err := batch.Add(objects.Blob, files[name])
		if err != nil {
			return err
		}
		mode := objects.ModeFile
		if e, ok := s.find(name); ok && e.Mode().IsFile() {
			mode = e.Mode()
		}
		list.WriteString(mode.String() + " " + string(id) + "\t" + s.book.inRepo(name) + "\x00")
	}
	if err := syncFiles(batch.Temps()); err != nil {
		return err
	}
	dirs, err := batch.Keep()
	if err != nil {
		return err
	}
	if err := syncFiles(dirs); err != nil {
		return err
	}
	if _, err := s.book.runGit(context.Background(), s.env(), list.String(), "update-index", "-z", "--index-info"); err != nil {
		return err
	}
	s.index, err = s.book.lookIndexAt(s.file)
	return err
}

// env names the index to the git program.
func (s *Staged) env() []string { return []string{"GIT_INDEX_FILE=" + s.file} }

// splitNul gives the names that git lists with a zero byte after each, sorted
// and each once.
func splitNul(out string) []string {
	names := strings.FieldsFunc(out, func(r rune) bool { return r == 0 })
	slices.Sort(names)
	return slices.Compact(names)
}

// Unmerged gives the files of the book that a merge has left for a person to
// settle, sorted.
func (s *Staged) Unmerged() []string {
	var names []string
	for _, name := range s.index.Unmerged() {
		if in, ok := strings.CutPrefix(name, s.book.repo.prefix); ok {
			names = append(names, in)
		}
	}
	return names
}

// All gives the files of a folder and of those in it, in conflict or not.
func (s *Staged) All(dir string) []string {
	var names []string
	for e := range s.index.Under(s.book.inRepo(dir)) {
		if name := strings.TrimPrefix(e.Name, s.book.repo.prefix); !e.IntentToAdd() && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// Sides gives the three states of an unmerged file: that of the common past, ours
// and theirs; nil where it is missing.
func (s *Staged) Sides(p string) (base, ours, theirs []byte, err error) {
	sides := [4]*[]byte{1: &base, 2: &ours, 3: &theirs}
	name := s.book.inRepo(p)
	for _, e := range s.index.Stages(name) {
		if e.Stage() == 0 {
			continue
		}
		if *sides[e.Stage()], err = s.book.readBlob(p, e.Mode(), e.ID()); err != nil {
			return nil, nil, nil, err
		}
	}
	return base, ours, theirs, nil
}
