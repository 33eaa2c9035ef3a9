package act

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/travel"
	"stackbook/schema"
)

// WhereUsed tells where a lot, a serial, a part number or all that came from a
// supplier is fitted and ever was.
type WhereUsed struct {
	Name    string
	Commit  string // the commit of the state, "" for the folder
	Also    []*record.PartFile
	Uses    []*history.Use
	Lives   []*travel.Life // of each serial and lot found: where it is now
	Near    string         // where nothing was found, the nearest name the records know
	Owns    []string       // where nothing was found, the engines that have the name as their customer
	Engine  bool           // where nothing was found: it is an engine's number
	Unread  []string       // versions of records in old commits that cannot be read
	Remarks []string
}

// WhereUsed looks through the records of a state of the book ("" the folder,
// else @2024-06-01 or @4f2c9e1) and all commits it comes from. A part number or
// a supplier stands, besides, for the serials and lots whose files in parts/ name
// it.
func (s *Shop) WhereUsed(name, state string, step Steps) (*WhereUsed, error) {
	m, err := s.moment(state)
	if err != nil {
		return nil, err
	}
	files, err := partFilesNaming(m.tree, []string{name})
	if err != nil {
		return nil, err
	}
	w := &WhereUsed{Name: name, Commit: m.hash(), Remarks: m.remarks}
	names := history.Names{name: true}
	for _, f := range files {
		if f.Number == name || f.Text("supplier") == name {
			names[f.Bears()] = true
			w.Also = append(w.Also, f)
		}
	}
	used := history.NewUsed(names)
	if m.known {
		if err := s.pastUses(w, used, m.commit, step); err != nil {
			return nil, err
		}
	}
	engines, err := naming(m.tree, words(names), Place{})
	if err != nil {
		return nil, err
	}
	for _, e := range engines {
		used.Present(e)
	}
	w.Uses = used.Uses()
	return w, w.lives(m.tree, names, engines)
}

func words(names history.Names) []string {
	var list []string
	for w := range names {
		list = append(list, w)
	}
	slices.Sort(list)
	return list
}

// lives tells where each serial and lot that was found is now. engines are those
// that name what was asked for.
func (w *WhereUsed) lives(tree book.Tree, names history.Names, engines []*record.Engine) error {
	var known []string
	take := func(bears string) {
		if bears != "" && !slices.Contains(known, bears) {
			known = append(known, bears)
		}
	}
	for _, use := range w.Uses {
		if take(use.Serial); use.Serial == "" || use.Lot == w.Name {
			take(use.Lot)
		}
	}
	for _, f := range w.Also {
		take(f.Bears())
	}
	take(w.Name)
	engines, err := namingMore(tree, engines, slices.DeleteFunc(slices.Clone(known), func(bears string) bool { return names[bears] }))
	if err != nil {
		return err
	}
	shop, err := shopNaming(tree, engines, known)
	if err != nil {
		return err
	}
	slices.Sort(known)
	for _, bears := range known {
		if life, ok := shop.Find(bears); ok {
			w.Lives = append(w.Lives, life)
		}
	}
	if len(w.Uses) > 0 || len(w.Lives) > 0 {
		return nil
	}
	return w.other(tree, engines)
}

// other tells what else a name stands for that no part bears: an engine, a
// customer, or a part by nearly that name.
func (w *WhereUsed) other(tree book.Tree, engines []*record.Engine) error {
	for _, e := range engines {
		w.Engine = w.Engine || e.Number == w.Name
		if e.Customer == w.Name {
			w.Owns = append(w.Owns, e.Number)
		}
	}
	if w.Engine || len(w.Owns) > 0 {
		return nil
	}
	all, err := knownParts(tree)
	w.Near = schema.Nearest(w.Name, all)
	return err
}

// namingMore adds to some engines those that hold one of further words.
func namingMore(tree book.Tree, engines []*record.Engine, words []string) ([]*record.Engine, error) {
	if len(words) == 0 {
		return engines, nil
	}
	more, err := naming(tree, words, Place{})
	for _, e := range more {
		if !slices.ContainsFunc(engines, func(known *record.Engine) bool { return known.Folder == e.Folder }) {
			engines = append(engines, e)
		}
	}
	return engines, err
}

// version is one content of a record at its path.
type version struct{ path, hash string }

// pastUses takes in every commit from one back to the first. It is the one
// place that walks history for this question.
func (s *Shop) pastUses(w *WhereUsed, used *history.Used, from book.Commit, step Steps) error {
	steps, err := s.Book.Steps(from, tells, words(used.Names), step.of("walking through commits"))
	if err != nil {
		return err
	}
	told, err := s.tellings(w, used.Names, steps, step.of("reading old records"))
	if err != nil {
		return err
	}
	for _, one := range steps {
		at := history.Moment{Commit: one.Hash, Day: one.Day}
		var against []history.Turn
		for _, altered := range one.Against {
			var turn history.Turn
			for _, a := range altered {
				if t := told[version{a.Path, a.Was}]; t != nil {
					turn.Gone = append(turn.Gone, t)
				}
				if t := told[version{a.Path, a.Is}]; t != nil {
					turn.Come = append(turn.Come, t)
				}
			}
			against = append(against, turn)
		}
		used.Step(at, against)
	}
	if c, cut, err := s.Book.CutOff(); err == nil && cut {
		w.Remarks = append(w.Remarks, c.CutOff()+": what was fitted before is not told; type: git fetch --unshallow")
	}
	return err
}

// tells picks the records that tell what is fitted or was taken out.
func tells(p string) bool {
	segments := strings.SplitN(p, "/", 4)
	if len(segments) < 4 {
		return false
	}
	kind := record.KindOf(segments[3])
	return kind == "spec" || kind == "change"
}

// tellings reads each version of a record once. Those that cannot bear one of
// the names are not parsed.
func (s *Shop) tellings(w *WhereUsed, names history.Names, steps []book.Step, step func(done, of int)) (map[version]*history.Telling, error) {
	var versions []version
	var hashes []string
	seen := map[version]bool{{}: true}
	take := func(v version) {
		if v.hash != "" && !seen[v] {
			seen[v] = true
			versions, hashes = append(versions, v), append(hashes, v.hash)
		}
	}
	for _, one := range steps {
		for _, altered := range one.Against {
			for _, a := range altered {
				take(version{a.Path, a.Was})
				take(version{a.Path, a.Is})
			}
		}
	}
	asked := words(names)
	list := make([]*history.Telling, len(versions))
	bad := make([]bool, len(versions))
	err := s.Book.Blobs(hashes, step, func(i int, data []byte) error {
		if mayName(data, asked) {
			list[i] = telling(versions[i].path, data, names)
			bad[i] = list[i] == nil
		}
		return nil
	})
	told := map[version]*history.Telling{}
	for i, t := range list {
		if t != nil {
			told[versions[i]] = t
		}
		if bad[i] {
			w.Unread = append(w.Unread, fmt.Sprintf("%s, version %.10s", versions[i].path, versions[i].hash))
		}
	}
	return told, err
}

// telling reads one version of a record; nil where it cannot be read.
func telling(path string, data []byte, names history.Names) *history.Telling {
	segments := strings.SplitN(path, "/", 4)
	f := record.File{Path: path, Data: data}
	if record.KindOf(segments[3]) == "spec" {
		if e := record.ReadSpec(strings.Join(segments[:3], "/"), f); e != nil {
			return names.OfSpec(e)
		}
		return nil
	}
	if c := record.ReadChange(f); c != nil {
		return names.OfChange(segments[2], c)
	}
	return nil
}
