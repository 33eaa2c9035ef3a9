package act

import (
	"bytes"
	"cmp"
	"path"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// EngineParts is what an engine carries: every part where it is fitted, and
// every part that must not burst.
type EngineParts struct {
	*Loaded
	Shop *travel.Shop
}

// PartsOf loads an engine in a named state with what the same state's other
// engines and part files tell of its parts.
func (s *Shop) PartsOf(state string) (*EngineParts, error) {
	l, err := s.State(state)
	if err != nil {
		return nil, err
	}
	if l.Engine == nil {
		return &EngineParts{Loaded: l}, nil
	}
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	var words []string
	for _, p := range l.Engine.Parts() {
		words = append(words, p.Serial)
	}
	engines, err := naming(tree, words, l.Place)
	if err != nil {
		return nil, err
	}
	shop, _, err := shopOf(tree, append(engines, l.Engine))
	if err != nil {
		return nil, err
	}
	l.Guards = shop.Guards(l.Engine)
	return &EngineParts{l, shop}, nil
}

// treeOf is the tree a state was loaded from.
func (s *Shop) treeOf(l *Loaded) (book.Tree, error) {
	if l.Commit == "" {
		return s.Book.Folder(), nil
	}
	c, err := s.Book.Resolve(l.Commit)
	if err != nil {
		return nil, err
	}
	return s.Book.At(c), nil
}

// IsState tells whether a person named an engine of the folder, alone or in a
// state, rather than a serial or a lot.
func (s *Shop) IsState(text string) bool {
	number, _, _ := strings.Cut(text, "@")
	number, _, _ = strings.Cut(number, "/")
	places, _, err := Engines(s.Book.Folder())
	if err != nil {
		return false
	}
	for _, p := range places {
		if strings.EqualFold(p.Number, number) {
			return true
		}
	}
	return false
}

// LifeOfPart is the life of a serial or lot in one state of the book.
type LifeOfPart struct {
	*travel.Life
	Display Display
	Remarks []string
}

// PartLife tells the life of a serial or lot, as the records now in the folder
// do.
func (s *Shop) PartLife(name string) (*travel.Life, error) { return partLife(s.Book.Folder(), name) }

// PartLifeAt tells it as the records of a state of the book do: "" the folder,
// else @2024-06-01 or @4f2c9e1.
func (s *Shop) PartLifeAt(name, state string) (*LifeOfPart, error) {
	m, err := s.moment(state)
	if err != nil {
		return nil, err
	}
	life, err := partLife(m.tree, name)
	if err != nil {
		return nil, err
	}
	bookRecord, _, err := readBook(m.tree)
	return &LifeOfPart{life, displayOf(bookRecord), m.remarks}, err
}

func partLife(tree book.Tree, name string) (*travel.Life, error) {
	engines, err := naming(tree, []string{name}, Place{})
	if err != nil {
		return nil, err
	}
	shop, err := shopNaming(tree, engines, []string{name})
	if err != nil {
		return nil, err
	}
	if life, ok := shop.Find(name); ok {
		return life, nil
	}
	known, err := knownParts(tree)
	if err != nil {
		return nil, err
	}
	if near := schema.Nearest(name, known); near != "" {
		return nil, usage("did you mean "+near+"?", "no record names an engine, a serial or a lot %q", name)
	}
	return nil, usage("stackbook parts lists the part files", "no record names an engine, a serial or a lot %q", name)
}

// knownParts lists what might have been meant: engines, and what has a file.
func knownParts(tree book.Tree) ([]string, error) {
	places, _, err := Engines(tree)
	if err != nil {
		return nil, err
	}
	var known []string
	for _, p := range places {
		known = append(known, p.Number)
		files, _, err := gather(tree, p.Folder)
		if err != nil {
			return nil, err
		}
		if e, _ := record.Load(p.Folder, files); e != nil {
			for _, part := range e.Parts() {
				known = append(known, part.Serial, part.Lot)
			}
		}
	}
	files, _, err := partFiles(tree)
	for _, f := range files {
		known = append(known, f.Bears())
	}
	return known, err
}

// PartFiles tells where each part or lot with a file of its own is now, by the
// files' names, and what is wrong with the files.
func (s *Shop) PartFiles() ([]*travel.Life, problem.List, error) {
	tree := s.Book.Folder()
	files, problems, err := partFiles(tree)
	if err != nil {
		return nil, nil, err
	}
	var words []string
	for _, f := range files {
		words = append(words, f.Bears())
	}
	engines, err := naming(tree, words, Place{})
	if err != nil {
		return nil, nil, err
	}
	shop := travel.New(engines, files, nil)
	var lives []*travel.Life
	for _, f := range files {
		if life, ok := shop.Find(f.Bears()); ok {
			lives = append(lives, life)
		}
	}
	return lives, append(problems, record.SamePart(files)...), nil
}

// shopOf gathers engines with the part files and the interval of their tree.
func shopOf(tree book.Tree, engines []*record.Engine) (*travel.Shop, problem.List, error) {
	files, problems, err := partFiles(tree)
	if err != nil {
		return nil, nil, err
	}
	shop, err := shopWith(tree, engines, files)
	return shop, problems, err
}

func shopWith(tree book.Tree, engines []*record.Engine, files []*record.PartFile) (*travel.Shop, error) {
	bookRecord, _, err := readBook(tree)
	if err != nil {
		return nil, err
	}
	return travel.New(engines, files, bookInterval(bookRecord)), nil
}

// shopNaming is shopOf with no more files of parts/ than are needed to tell the
// lives of some serials and lots: their own, and those of the parts that bear
// them.
func shopNaming(tree book.Tree, engines []*record.Engine, bears []string) (*travel.Shop, error) {
	words := slices.Clone(bears)
	for _, e := range engines {
		for _, p := range e.Parts() {
			if slices.Contains(bears, p.Serial) || slices.Contains(bears, p.Lot) {
				words = append(words, p.Serial, p.Lot)
			}
		}
	}
	files, err := partFilesNaming(tree, words)
	if err != nil {
		return nil, err
	}
	return shopWith(tree, engines, files)
}

func bookInterval(r *record.Record) *travel.Interval {
	if r == nil {
		return nil
	}
	return travel.IntervalAt(r, "intervals.crack_test")
}

// naming loads the engines one of whose records holds one of some words; the
// text is looked through before anything is parsed, so that engines with
// nothing to tell cost little. Of a past state only those are opened that the
// index names. One engine may be left out. What a sparse checkout keeps out of the
// folder is as it was last committed.
func naming(tree book.Tree, words []string, but Place) ([]*record.Engine, error) {
	places, err := mayHold(tree, words)
	if err != nil {
		return nil, err
	}
	found := make([]*record.Engine, len(places))
	err = onAllCores(len(places), silently, func(i int) error {
		if places[i] == but {
			return nil
		}
		files, err := gatherWhole(tree, places[i].Folder)
		if err == nil && mention(files, words) {
			found[i], _ = record.Load(places[i].Folder, files)
		}
		return err
	})
	return slices.DeleteFunc(found, func(e *record.Engine) bool { return e == nil }), err
}

// mayHold lists the engines that may hold one of some words, by number.
func mayHold(tree book.Tree, words []string) ([]Place, error) {
	paths, known, err := book.MayHold(tree, words)
	if err != nil {
		return nil, err
	}
	if !known {
		places, _, err := Engines(tree)
		if err != nil {
			return nil, err
		}
		more, err := away(tree)
		return byNumberOnce(append(places, more...)), err
	}
	var places []Place
	for _, p := range paths {
		if s := strings.SplitN(p, "/", 4); len(s) == 4 && s[0] == "engines" {
			places = append(places, Place{s[2], strings.Join(s[:3], "/")})
		}
	}
	return byNumberOnce(places), nil
}

// byNumberOnce brings engines into the order of their numbers, each once.
func byNumberOnce(places []Place) []Place {
	slices.SortFunc(places, func(a, b Place) int {
		return cmp.Or(strings.Compare(a.Number, b.Number), strings.Compare(a.Folder, b.Folder))
	})
	return slices.Compact(places)
}

func mention(files []record.File, words []string) bool {
	return slices.ContainsFunc(files, func(f record.File) bool { return mayName(f.Data, words) })
}

// mayName tells whether a text may hold one of some words: as it stands, or in a
// spelling of YAML's that need not show it, such as an escape, a doubled quote or
// a line break for a space.
func mayName(data []byte, words []string) bool {
	escaped := bytes.IndexByte(data, '\\') >= 0
	return slices.ContainsFunc(words, func(w string) bool {
		return w != "" && (escaped || strings.ContainsAny(w, " '") || bytes.Contains(data, []byte(w)))
	})
}

// partsDir holds a file for each part or lot that is not only in an engine.
const partsDir = "parts"

// partFiles reads every file of parts/, by name.
func partFiles(tree book.Tree) ([]*record.PartFile, problem.List, error) {
	entries, err := list(tree, partsDir)
	if found := unfit(err); found != nil {
		return nil, found, nil
	}
	if err != nil {
		return nil, nil, err
	}
	return readParts(tree, entries)
}

// partFilesNaming reads those of them that may hold one of some words, where that
// is known, and else all.
func partFilesNaming(tree book.Tree, words []string) ([]*record.PartFile, error) {
	paths, known, err := book.MayHold(tree, words)
	if err != nil {
		return nil, err
	}
	if !known {
		files, _, err := partFiles(tree)
		return files, err
	}
	var entries []book.Entry
	for _, p := range paths {
		if path.Dir(p) != partsDir {
			continue
		}
		if _, err := tree.Read(p); err == nil { // it may be gone by then
			entries = append(entries, book.Entry{Name: path.Base(p), File: true})
		}
	}
	files, _, err := readParts(tree, entries)
	return files, err
}

func readParts(tree book.Tree, entries []book.Entry) ([]*record.PartFile, problem.List, error) {
	var files []*record.PartFile
	var problems problem.List
	for _, e := range entries {
		name := path.Join(partsDir, e.Name)
		if e.Dir || path.Ext(e.Name) == ".yml" {
			problems = append(problems, strayPart(name))
		}
		if e.Dir || path.Ext(e.Name) != ".yaml" {
			continue
		}
		data, err := tree.Read(name)
		if found := unfit(err); found != nil {
			problems = append(problems, found...)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		f, list := record.ReadPart(record.File{Path: name, Data: data})
		problems = append(problems, list...)
		if f != nil {
			files = append(files, f)
		}
	}
	return files, problems, nil
}

// strayPart is a file or folder of parts/ that nobody reads.
func strayPart(name string) problem.Problem {
	return problem.Problem{File: name, Rule: "stray", Message: "nothing here is read: part files lie in parts/ itself and end in .yaml", Mend: "move or rename it"}
}

// partFilesOf reads the files of the parts an engine has fitted, found by their
// names: the other files of parts/ are not opened.
func partFilesOf(tree book.Tree, e *record.Engine) ([]*record.PartFile, error) {
	var files []*record.PartFile
	seen := map[string]bool{}
	for _, p := range e.Parts() {
		for _, bears := range []string{p.Serial, p.Lot} {
			if bears == "" || seen[bears] {
				continue
			}
			seen[bears] = true
			name := path.Join(partsDir, record.PartFileName(bears))
			data, ok, err := read(tree, name)
			if unfit(err) != nil || err == nil && !ok {
				continue
			}
			if err != nil {
				return nil, err
			}
			if f, _ := record.ReadPart(record.File{Path: name, Data: data}); f != nil && f.Bears() == bears {
				files = append(files, f)
			}
		}
	}
	return files, nil
}
