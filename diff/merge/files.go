package merge

import (
	"bytes"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// FilesResult is the files of a book merged.
type FilesResult struct {
	Files    []File       // those that are not as on our side, or in conflict; by path
	Outcomes []Outcome    // what lies between files, or about whole ones
	Problems problem.List // of what was merged, engines as a whole, where there are no conflicts
}

// File is one file of the merged book.
type File struct {
	Path string // where it lies in the merged book
	Gone bool   // it is to be deleted
	Result
}

// Outcome is something a merge of files came to that no single value tells.
type Outcome struct {
	Name     Name
	Conflict bool   // a person must decide; else it is only told
	Engine   string // its number, "" where it is of none
	Paths    []string
	Message  string
	Mend     string
}

// Name names an outcome.
type Name string

// The outcomes.
const (
	DeletedEdited   Name = "deleted-edited"   // M16
	NumberTwice     Name = "number-twice"     // M17
	DeliveredEdited Name = "delivered-edited" // M18
	DeliveredTwice  Name = "delivered-twice"  // M19
	OpenedTwice     Name = "opened-twice"     // M20
	Moved           Name = "moved"            // M21: edits followed the engine
	MovedTwoWays    Name = "moved-two-ways"   // M21
	Newer           Name = "newer"            // M22
	BothChanged     Name = "both-changed"     // M23
	Figures         Name = "figures"          // M15
)

// Files merges the files of a book, or some of them, by their paths in it; a
// file that is missing on a side is not in its map. Engines are followed by
// their ids.
func Files(base, ours, theirs map[string][]byte) FilesResult {
	m := &merging{base: maps.Clone(base), ours: maps.Clone(ours), theirs: maps.Clone(theirs), merged: map[string]Result{}}
	if m.newer() {
		return m.result
	}
	m.follow()
	m.contend()
	m.halve()
	for _, file := range m.paths() {
		m.merged[file] = m.file(file)
	}
	m.numbers()
	m.deliveries()
	m.list(ours)
	m.check()
	return m.result
}

// merging is one merge of files under way.
type merging struct {
	base, ours, theirs map[string][]byte // an engine's files under its folder in the merged book
	merged             map[string]Result
	byFolder           map[string][]string // all files of an engine, sorted
	halved             map[string]bool     // folders of engines that one side deleted and the other edited
	contested          map[string]bool     // folders that hold one engine here and another there
	result             FilesResult
}

func (m *merging) tell(o Outcome) { m.result.Outcomes = append(m.result.Outcomes, o) }

// newer tells whether a side was written by a newer stackbook; nothing is
// merged then.
func (m *merging) newer() bool {
	const marker = "book.yaml"
	for _, side := range []map[string][]byte{m.ours, m.theirs} {
		r, _ := record.Read(record.File{Path: marker, Data: side[marker]}, "book", 0)
		if n := r.Number("dictionary"); n > schema.Dictionary {
			m.tell(Outcome{Name: Newer, Conflict: true, Paths: []string{marker}, Mend: "merge with a newer stackbook",
				Message: fmt.Sprintf("one side uses dictionary %d, and this stackbook knows up to %d", n, schema.Dictionary)})
			return true
		}
	}
	return false
}

// paths lists the files of all sides.
func (m *merging) paths() []string {
	all := map[string]bool{}
	for _, side := range []map[string][]byte{m.base, m.ours, m.theirs} {
		for file := range side {
			all[file] = true
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// equal tells whether two states of a file are the same; nil is missing.
func equal(a, b []byte) bool { return (a == nil) == (b == nil) && bytes.Equal(a, b) }

// file merges one file.
func (m *merging) file(file string) Result {
	b, o, t := m.base[file], m.ours[file], m.theirs[file]
	switch {
	case m.contested[folderOf(file)], equal(o, t), equal(b, t):
		return Result{Text: o}
	case equal(b, o):
		return Result{Text: t}
	case isFigures(file):
		return m.figures(file, o, t)
	case o == nil || t == nil:
		return m.deleted(file, o, t)
	case !IsRecord(file):
		r := whole(o, o, t, "both sides changed this file", "keep one of the two")
		m.tell(Outcome{Name: BothChanged, Conflict: true, Engine: numberOf(file), Paths: []string{file}, Message: "both sides changed " + file, Mend: "keep one of the two (git checkout --ours FILE, or --theirs), or write one of both, without git's marks; then git add FILE"})
		return r
	}
	for _, side := range [][]byte{o, t} {
		if doc, err := source.Parse(file, side); err == nil && isNewer(file, doc) {
			m.tell(Outcome{Name: Newer, Conflict: true, Engine: numberOf(file), Paths: []string{file}, Message: file + " is of a newer format", Mend: "merge with a newer stackbook"})
		}
	}
	return Record(file, b, o, t)
}

// figures keeps one side of figures.yaml, until it is computed anew.
func (m *merging) figures(file string, ours, theirs []byte) Result {
	m.tell(Outcome{Name: Figures, Engine: numberOf(file), Paths: []string{file}, Message: file + " follows from the records and is not merged", Mend: "the next commit computes it anew"})
	if ours == nil {
		return Result{Text: theirs}
	}
	return Result{Text: ours}
}

// deleted keeps what one side deleted and the other edited.
func (m *merging) deleted(file string, ours, theirs []byte) Result {
	message, kept := "deleted here and edited there", theirs
	if theirs == nil {
		message, kept = "edited here and deleted there", ours
	}
	if !m.halved[folderOf(file)] {
		m.tell(Outcome{Name: DeletedEdited, Conflict: true, Engine: numberOf(file), Paths: []string{file}, Message: file + " was " + message,
			Mend: "it is left as edited: keep it, or delete it"})
	}
	return whole(kept, ours, theirs, message, "keep the file as edited, or delete it")
}

// IsRecord tells from its path whether a file is one of the book's records.
func IsRecord(file string) bool {
	if folder := folderOf(file); folder != "" {
		return record.KindOf(strings.TrimPrefix(file, folder+"/")) != ""
	}
	dir := path.Dir(file)
	return file == "book.yaml" || path.Ext(file) == ".yaml" && (dir == "parts" || dir == "limits")
}

// folderOf is the engine's folder a file lies in, "" where it lies in none.
func folderOf(file string) string {
	steps := strings.SplitN(file, "/", 4)
	if len(steps) < 4 || steps[0] != "engines" {
		return ""
	}
	return path.Join(steps[:3]...)
}

// numberOf is the number of the engine a file belongs to, "" for none.
func numberOf(file string) string {
	if folder := folderOf(file); folder != "" {
		return path.Base(folder)
	}
	return ""
}

// list gives the files that are not as ours were, or in conflict.
func (m *merging) list(ours map[string][]byte) {
	for file, r := range m.merged {
		if !equal(r.Text, ours[file]) || len(r.Conflicts) > 0 {
			m.result.Files = append(m.result.Files, File{Path: file, Gone: r.Text == nil && len(r.Conflicts) == 0, Result: r})
		}
	}
	for file := range ours {
		if _, there := m.merged[file]; !there { // its folder moved
			m.result.Files = append(m.result.Files, File{Path: file, Gone: true})
		}
	}
	slices.SortFunc(m.result.Files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
}

// check holds the engines that both sides worked on, and the other records that
// were merged, against the dictionary and each other.
func (m *merging) check() {
	for _, f := range m.result.Files {
		if folderOf(f.Path) == "" && len(f.Conflicts) == 0 {
			m.result.Problems = append(m.result.Problems, f.Problems...)
		}
	}
	for _, folder := range m.folders() {
		files, whole := m.mergedFiles(folder)
		if whole && m.touched(m.ours, folder) && m.touched(m.theirs, folder) {
			_, problems := record.Load(folder, files)
			m.result.Problems = append(m.result.Problems, problems...)
		}
	}
	m.result.Problems.Sort()
}

// mergedFiles are the files of an engine after the merge; whole is false where
// its spec is not among them, or one of them is in conflict.
func (m *merging) mergedFiles(folder string) (files []record.File, whole bool) {
	for _, file := range m.byFolder[folder] {
		r := m.merged[file]
		if r.Text == nil && len(r.Conflicts) == 0 {
			continue
		}
		if len(r.Conflicts) > 0 {
			return nil, false
		}
		files = append(files, record.File{Path: file, Data: r.Text})
		whole = whole || path.Base(file) == specName
	}
	return files, whole
}
