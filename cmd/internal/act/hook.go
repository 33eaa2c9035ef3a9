package act

import (
	"bytes"
	"path"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// Hooked is what the hook did for a commit that git makes.
type Hooked struct {
	Staged []string // files written anew and staged
	Behind []string // of those, the ones in the folder that stay as they are: its records are others
	Stale  []string // figures that the commit will hold and that are not those of its records
}

// Hook stands in for Commit where git makes the commit (R8). It judges what is
// staged: records, limits and parts of one tree (R3), the engines alone that the
// commit alters. Then it computes their figures and stages them; in the folder
// it writes them where the records are the same there. Of a commit of some of
// the files (git commit FILE) it only checks.
//
// Problems in the records refuse the commit, as a problem.List; so do a customer
// named (R15) and a delivered build altered (R18).
func (s *Shop) Hook() (*Hooked, error) {
	staged, err := s.Book.Staged()
	if err != nil {
		return nil, err
	}
	changed, err := staged.Changes()
	if err != nil {
		return nil, err
	}
	if err := s.mergeStaged(staged, changed); err != nil || len(changed) == 0 {
		return &Hooked{}, err
	}
	h := &hook{shop: s, staged: staged, changed: changed, touched: touching(changed), head: s.Book.At(book.Commit{}), files: map[string][]byte{}}
	if c, ok, err := s.Book.Head(); err != nil {
		return nil, err
	} else if ok {
		h.head = s.Book.At(c)
	}
	if err := h.check(); err != nil {
		return nil, err
	}
	return h.done()
}

// hook is one run of it.
type hook struct {
	shop    *Shop
	staged  *book.Staged
	head    book.Tree // the last commit; an empty tree where there is none
	changed []string
	touched map[string]bool   // what the commit alters, with the folders above
	files   map[string][]byte // to be staged
	loaded  []*Loaded
}

// check finds all that stands against the commit, and what it is to hold
// besides.
func (h *hook) check() error {
	problems, err := h.checkBook()
	if err != nil {
		return err
	}
	places, misplaced, err := Engines(h.staged)
	if err != nil {
		return err
	}
	for _, p := range misplaced {
		if h.touched[p.File] || h.touchesNumber(p.File, places) {
			problems = append(problems, p)
		}
	}
	for _, p := range places {
		if !h.touched[p.Folder] {
			continue
		}
		l, err := h.engine(p)
		if err != nil {
			return err
		}
		problems = append(problems, l.Problems...)
		h.loaded = append(h.loaded, l)
	}
	named, err := h.private()
	if err != nil {
		return err
	}
	problems = append(problems, named...)
	problems.Sort()
	return slices.Compact(problems).Err()
}

// touchesNumber tells whether the commit alters an engine of the number that this
// folder claims: of two that claim one, either may be the new one (R11).
func (h *hook) touchesNumber(folder string, places []Place) bool {
	return slices.ContainsFunc(places, func(p Place) bool {
		return h.touched[p.Folder] && strings.EqualFold(p.Number, path.Base(folder))
	})
}

// touching gives these files and all folders they lie in.
func touching(files []string) map[string]bool {
	touched := map[string]bool{}
	for _, name := range files {
		for ; name != "." && !touched[name]; name = path.Dir(name) {
			touched[name] = true
		}
	}
	return touched
}

// checkBook checks the book's own files among what is staged, as Commit of the
// book does.
func (h *hook) checkBook() (problem.List, error) {
	if _, problems, err := readBook(h.staged); err != nil || len(problems) > 0 {
		return problems, err // a newer dictionary is not ours to judge (R19)
	}
	var problems problem.List
	for _, name := range h.changed {
		data, ok, err := read(h.staged, name)
		if inEngines(name) || !ok && err == nil {
			continue
		}
		if err == nil {
			problems = append(problems, checkBookFile(name, data)...)
		} else if isBookFile(name) {
			problems = append(problems, unfit(err)...)
		}
	}
	if h.touched[partsDir] {
		files, _, err := partFiles(h.staged)
		if err != nil {
			return nil, err
		}
		problems = append(problems, record.SamePart(files)...)
	}
	return problems, nil
}

func inEngines(name string) bool { return strings.HasPrefix(name, "engines/") }

// isBookFile tells whether a file is one of the book's own.
func isBookFile(name string) bool {
	return slices.ContainsFunc(bookFiles, func(p string) bool { return name == p || strings.HasPrefix(name, p+"/") })
}

// engine judges one engine and works out what the commit is to hold of it
// besides.
func (h *hook) engine(place Place) (*Loaded, error) {
	filled := map[string][]byte{}
	if !h.staged.UnderWay() && !h.staged.Passing() {
		var err error
		if filled, err = fill(h.staged, place, h.isNew); err != nil {
			return nil, err
		}
	}
	l, err := h.shop.judge(overlay{h.staged, filled}, h.staged, place)
	if err != nil {
		return nil, err
	}
	h.nameUnstaged(l)
	if len(l.Problems) > 0 {
		return l, nil
	}
	text, err := figuresText(l, h.staged, h.head, h.shop.Book.Folder())
	if err != nil {
		return nil, err
	}
	filled[path.Join(place.Folder, "figures.yaml")] = text
	for name, data := range filled {
		if now, _, err := read(h.staged, name); err != nil || !bytes.Equal(now, data) {
			h.files[name] = data
		}
	}
	return l, nil
}

// isNew tells whether a file is staged for its first commit.
func (h *hook) isNew(file string) bool {
	_, there, _ := read(h.head, file)
	return !there
}

// nameUnstaged says of an attachment that lies in the folder what would bring it
// into the commit.
func (h *hook) nameUnstaged(l *Loaded) {
	if l.Engine == nil {
		return
	}
	for _, a := range attachments(l.Engine) {
		name := path.Join(l.Place.Folder, a.inFolder())
		_, staged, _ := read(h.staged, name)
		if _, there, _ := read(h.shop.Book.Folder(), name); there && !staged && a.inFolder() != "" {
			p := a.problem(a.file, "", "")
			l.mendAt(p.File, p.Line, p.Column, p.Rule, "it lies in the folder and is not staged: git add "+name)
		}
	}
}

// private finds customers named in what the commit adds, and private/ among it
// (R15).
func (h *hook) private() (problem.List, error) {
	if entries, err := list(h.staged, "private"); err != nil || len(entries) > 0 {
		return problem.List{privateTracked}, err
	}
	var edits []book.Edit
	for _, name := range h.changed {
		data, there, err := read(h.staged, name)
		if there || unfit(err) != nil { // of what cannot be read, the path can
			edits = append(edits, book.Edit{Path: name, Data: data})
		} else if err != nil {
			return nil, err
		}
	}
	err := h.shop.customersNamed(edits, "")
	if found, ok := err.(problem.List); ok {
		return found, nil
	}
	return nil, err
}

// done stages what was computed and writes it into the folder, engine by engine
// where the folder holds the records that are staged.
func (h *hook) done() (*Hooked, error) {
	names := sortedNames(h.files)
	if h.staged.Passing() {
		return &Hooked{Stale: names}, nil
	}
	var edits []book.Edit
	done := &Hooked{Staged: names}
	for _, l := range h.loaded {
		same, err := h.inFolder(l.Place)
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			if !strings.HasPrefix(name, l.Place.Folder+"/") {
				continue
			}
			if same {
				edits = append(edits, book.Edit{Path: name, Data: h.files[name], Write: true})
			} else {
				done.Behind = append(done.Behind, name)
			}
		}
	}
	if err := h.staged.Stage(h.files); err != nil {
		return nil, err
	}
	return done, h.shop.Book.Put(edits)
}

// inFolder tells whether the folder holds the records of an engine as they are
// staged. Line ends count for nothing: git may convert them.
func (h *hook) inFolder(place Place) (bool, error) {
	staged, _, err := gather(h.staged, place.Folder)
	if err != nil {
		return false, err
	}
	folder, odd, err := gather(h.shop.Book.Folder(), place.Folder)
	return len(odd) == 0 && slices.EqualFunc(staged, folder, func(a, b record.File) bool {
		return a.Path == b.Path && bytes.Equal(plainEnds(a.Data), plainEnds(b.Data))
	}), err
}

func plainEnds(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")) }
