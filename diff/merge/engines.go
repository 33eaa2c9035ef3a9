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

// folders lists the engines' folders of all sides.
func (m *merging) folders() []string {
	seen := map[string]bool{}
	for _, file := range m.paths() {
		if folder := folderOf(file); folder != "" {
			seen[folder] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// inFolder lists a side's files in a folder.
func inFolder(side map[string][]byte, folder string) []string {
	var list []string
	for file := range side {
		if strings.HasPrefix(file, folder+"/") {
			list = append(list, file)
		}
	}
	slices.Sort(list)
	return list
}

// altered lists the files of an engine that a side has otherwise than the
// base, figures.yaml aside, which follows from the others.
func (m *merging) altered(side map[string][]byte, folder string) []string {
	var list []string
	for _, file := range m.paths() {
		if folderOf(file) == folder && !isFigures(file) && !equal(side[file], m.base[file]) {
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

// follow brings an engine's files of all sides under one folder where a side
// moved it, and finds folders that hold two engines.
func (m *merging) follow() {
	base, ours, theirs := m.idsOf(m.base), m.idsOf(m.ours), m.idsOf(m.theirs)
	for _, id := range slices.Sorted(maps.Keys(base)) {
		b, o, t := base[id], ours[id], theirs[id]
		if len(b) == 1 && len(o) == 1 && len(t) == 1 {
			m.move(b[0], o[0], t[0])
		}
	}
	m.contested = map[string]bool{}
	for _, folder := range m.folders() {
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

// move follows one engine from the folder of the base to where it lies now.
func (m *merging) move(base, ours, theirs string) {
	to := ours
	if ours == base {
		to = theirs
	}
	rename(m.base, base, to)
	rename(m.ours, ours, to)
	rename(m.theirs, theirs, to)
	switch {
	case ours == theirs:
	case ours != base && theirs != base:
		m.tell(Outcome{Name: MovedTwoWays, Conflict: true, Engine: path.Base(ours), Paths: []string{ours, theirs},
			Message: fmt.Sprintf("%s was moved to %s here and to %s there", base, ours, theirs), Mend: "it is left where ours is; move it where it should be"})
	case ours == base && m.touched(m.ours, to), theirs == base && m.touched(m.theirs, to):
		m.tell(Outcome{Name: Moved, Engine: path.Base(to), Paths: []string{base, to},
			Message: fmt.Sprintf("%s was moved to %s on one side; what the other side wrote went with it", base, to)})
	}
}

func rename(side map[string][]byte, from, to string) {
	if from == to {
		return
	}
	for _, file := range inFolder(side, from) {
		side[to+strings.TrimPrefix(file, from)] = side[file]
		delete(side, file)
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
