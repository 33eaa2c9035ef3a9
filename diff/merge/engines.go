package merge

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"stackbook/record"
)

const specName = "spec.yaml"

// sort files the paths of all sides by their engine's folder.
func (m *merging) sort() {
	m.byFolder = map[string][]string{}
	for _, file := range m.paths() {
		if folder := folderOf(file); folder != "" {
			m.byFolder[folder] = append(m.byFolder[folder], file)
		}
	}
}

// folders lists the engines' folders of all sides.
func (m *merging) folders() []string { return slices.Sorted(maps.Keys(m.byFolder)) }

// altered lists the files of an engine that a side has otherwise than the
// base, figures.yaml aside, which follows from the others.
func (m *merging) altered(side map[string][]byte, folder string) []string {
	var list []string
	for _, file := range m.byFolder[folder] {
		if !isFigures(file) && !equal(side[file], m.base[file]) {
			list = append(list, file)
		}
	}
	return list
}

func (m *merging) touched(side map[string][]byte, folder string) bool {
	return len(m.altered(side, folder)) > 0
}

// idsOf gives the folders of each engine of a side by its id, of those whose
// specs differ between the sides: the others cannot have moved.
func (m *merging) idsOf(side map[string][]byte) map[string][]string {
	ids := map[string][]string{}
	for _, file := range slices.Sorted(maps.Keys(side)) {
		folder := folderOf(file)
		if folder == "" || path.Base(file) != specName || equal(m.ours[file], m.base[file]) && equal(m.theirs[file], m.base[file]) {
			continue
		}
		if spec, _ := record.Read(record.File{Path: file, Data: side[file]}, "spec", 0); spec.Text("id") != "" {
			ids[spec.Text("id")] = append(ids[spec.Text("id")], folder)
		}
	}
	return ids
}

// A move is an engine that lies in another folder than it did in the base.
type move struct{ base, ours, theirs, to string }

// follow brings an engine's files of all sides under one folder where a side
// moved it.
func (m *merging) follow() {
	m.sort()
	base, ours, theirs := m.idsOf(m.base), m.idsOf(m.ours), m.idsOf(m.theirs)
	var moves []move
	for _, id := range slices.Sorted(maps.Keys(base)) {
		b, o, t := base[id], ours[id], theirs[id]
		if len(b) != 1 || len(o) != 1 || len(t) != 1 || b[0] == o[0] && b[0] == t[0] {
			continue
		}
		mv := move{base: b[0], ours: o[0], theirs: t[0], to: o[0]}
		if o[0] == b[0] {
			mv.to = t[0]
		}
		moves = append(moves, mv)
		m.rename(m.base, mv.base, mv.to)
		m.rename(m.ours, mv.ours, mv.to)
		m.rename(m.theirs, mv.theirs, mv.to)
	}
	m.sort()
	for _, mv := range moves {
		m.tellMove(mv)
	}
}

// rename brings a side's files of a folder under another, unless that holds
// some already.
func (m *merging) rename(side map[string][]byte, from, to string) {
	taken := slices.ContainsFunc(m.byFolder[to], func(file string) bool { return side[file] != nil })
	if from == to || taken {
		return
	}
	for _, file := range m.byFolder[from] {
		if text, ok := side[file]; ok {
			side[to+strings.TrimPrefix(file, from)] = text
			delete(side, file)
		}
	}
}

// tellMove tells a move that the other side's work had to follow, or that it
// made otherwise.
func (m *merging) tellMove(mv move) {
	switch {
	case mv.ours == mv.theirs:
	case mv.ours != mv.base && mv.theirs != mv.base:
		m.tell(Outcome{Name: MovedTwoWays, Conflict: true, Engine: path.Base(mv.ours), Paths: []string{mv.ours, mv.theirs, mv.base},
			Message: fmt.Sprintf("%s was moved to %s here and to %s there", mv.base, mv.ours, mv.theirs),
			Mend:    fmt.Sprintf("go back, move it here to where they have it (git mv %s %s, and commit), and merge again", mv.ours, mv.theirs)})
	case mv.ours == mv.base && m.touched(m.ours, mv.to), mv.theirs == mv.base && m.touched(m.theirs, mv.to):
		m.tell(Outcome{Name: Moved, Engine: path.Base(mv.to), Paths: []string{mv.base, mv.to},
			Message: fmt.Sprintf("%s was moved to %s on one side; what the other side wrote went with it", mv.base, mv.to), Mend: "nothing is to be done"})
	}
}

// halve finds the engines that one side deleted and the other edited: file by file, a
// merge leaves of them what was edited or added, which is no whole engine.
func (m *merging) halve() {
	m.halved = map[string]bool{}
	for _, folder := range m.folders() {
		spec := path.Join(folder, specName)
		here, there := m.ours[spec] != nil, m.theirs[spec] != nil
		if m.base[spec] == nil || here == there {
			continue
		}
		edited, words, kept := m.ours, "deleted there and edited here", "HEAD"
		if there {
			edited, words, kept = m.theirs, "deleted here and edited there", "MERGE_HEAD"
		}
		if !m.touched(edited, folder) {
			continue
		}
		m.halved[folder] = true
		m.tell(Outcome{Name: DeletedEdited, Conflict: true, Engine: path.Base(folder), Paths: []string{folder}, Message: folder + " was " + words,
			Mend: fmt.Sprintf("to keep the engine, whole: git checkout %s -- %s; to delete it: git rm -rf %s", kept, folder, folder)})
	}
}

// contend finds the folders that hold one engine here and another there.
func (m *merging) contend() {
	m.contested = map[string]bool{}
	for _, folder := range m.folders() {
		if spec := path.Join(folder, specName); equal(m.ours[spec], m.theirs[spec]) {
			continue
		}
		here, there := idIn(m.ours, folder), idIn(m.theirs, folder)
		if here == there || here == "" || there == "" {
			continue
		}
		m.contested[folder] = true
		m.tell(Outcome{Name: NumberTwice, Conflict: true, Engine: path.Base(folder), Paths: []string{folder},
			Message: fmt.Sprintf("%s is one engine here (id %s) and another there (id %s); only ours is in the merged book", folder, here, there),
			Mend:    "give their engine a number of its own on their branch, then merge again"})
	}
}

// idIn is the id of the engine in a folder of a side, "" for none.
func idIn(side map[string][]byte, folder string) string {
	file := path.Join(folder, specName)
	spec, _ := record.Read(record.File{Path: file, Data: side[file]}, "spec", 0)
	return spec.Text("id")
}

// numbers finds engine numbers, and ids, that the merged book has twice and
// neither side alone had.
func (m *merging) numbers() {
	merged := map[string][]byte{}
	for file, r := range m.merged {
		if r.Text != nil {
			merged[file] = r.Text
		}
	}
	numbers, here, there := numbersOf(merged), numbersOf(m.ours), numbersOf(m.theirs)
	told := map[string]bool{}
	for _, number := range slices.Sorted(maps.Keys(numbers)) {
		folders := numbers[number]
		if len(folders) <= max(1, len(here[number]), len(there[number])) {
			continue
		}
		told[strings.Join(folders, " ")] = true
		m.tell(Outcome{Name: NumberTwice, Conflict: true, Engine: number, Paths: folders,
			Message: fmt.Sprintf("%s is in two folders now: %s", number, strings.Join(folders, " and ")),
			Mend:    "give one of them another number: the folder's name and engine: in its records"})
	}
	ids, ours, theirs := m.idsOf(merged), m.idsOf(m.ours), m.idsOf(m.theirs)
	for _, id := range slices.Sorted(maps.Keys(ids)) {
		folders := ids[id]
		if len(folders) > max(1, len(ours[id]), len(theirs[id])) && !told[strings.Join(folders, " ")] {
			m.tell(Outcome{Name: NumberTwice, Conflict: true, Engine: path.Base(folders[0]), Paths: folders,
				Message: fmt.Sprintf("one engine, id %s, lies in two folders now: %s", id, strings.Join(folders, " and ")), Mend: "keep the one it is, and give the other an id of its own"})
		}
	}
}

// numbersOf gives the folders of each engine number, whatever its capitals.
func numbersOf(side map[string][]byte) map[string][]string {
	numbers := map[string][]string{}
	for _, file := range slices.Sorted(maps.Keys(side)) {
		if folder := folderOf(file); folder != "" && file == path.Join(folder, specName) {
			number := strings.ToUpper(path.Base(folder))
			numbers[number] = append(numbers[number], folder)
		}
	}
	return numbers
}
