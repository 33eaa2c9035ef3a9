package merge

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/record"
)

// deliveries finds what both sides did to one build of an engine, apart.
func (m *merging) deliveries() {
	for _, folder := range m.folders() {
		if m.contested[folder] || !m.touched(m.ours, folder) || !m.touched(m.theirs, folder) {
			continue
		}
		here, there := m.delivered(m.ours, folder), m.delivered(m.theirs, folder)
		for build := 1; build <= 99; build++ {
			switch {
			case here[build] != "" && there[build] != "":
				m.deliveredTwice(folder, build, here[build], there[build])
			case here[build] != "":
				m.deliveredEdited(folder, build, "here", "there", m.theirs)
			case there[build] != "":
				m.deliveredEdited(folder, build, "there", "here", m.ours)
			}
		}
		m.openedTwice(folder)
	}
}

// read reads a side's record, nil where there is none.
func (m *merging) read(side map[string][]byte, folder, file string) *record.Record {
	if side[file] == nil {
		return nil
	}
	r, _ := record.Read(record.File{Path: file, Data: side[file]}, record.KindOf(strings.TrimPrefix(file, folder+"/")), 0)
	return r
}

// delivered gives the deliveries a side wrote since the base: their files by
// the build.
func (m *merging) delivered(side map[string][]byte, folder string) map[int]string {
	files := map[int]string{}
	for _, file := range m.altered(side, folder) {
		if path.Base(path.Dir(file)) != "changes" {
			continue
		}
		before, now := m.read(m.base, folder, file), m.read(side, folder, file)
		if now.Text("kind") == "delivery" && before.Text("kind") != "delivery" {
			files[now.Number("build")] = file
		}
	}
	return files
}

func (m *merging) deliveredTwice(folder string, build int, here, there string) {
	if here == there && equal(m.ours[here], m.theirs[there]) {
		return
	}
	number := path.Base(folder)
	m.tell(Outcome{Name: DeliveredTwice, Conflict: true, Engine: number, Paths: slices.Compact([]string{here, there}),
		Message: fmt.Sprintf("build %d of %s was delivered on both sides", build, number),
		Mend:    "an engine leaves once: keep the delivery that happened, and the seal that is on it"})
}

// deliveredEdited finds what one side did to a build that the other delivered
// meanwhile, and that a delivered build takes no more (R18).
func (m *merging) deliveredEdited(folder string, build int, delivered, edited string, side map[string][]byte) {
	other := m.ours
	if delivered == "there" {
		other = m.theirs
	}
	var files []string
	for _, file := range m.altered(side, folder) {
		if !equal(side[file], other[file]) && m.breaksSeal(side, folder, file, build) {
			files = append(files, file)
		}
	}
	if len(files) == 0 {
		return
	}
	number := path.Base(folder)
	m.tell(Outcome{Name: DeliveredEdited, Conflict: true, Engine: number, Paths: files,
		Message: fmt.Sprintf("build %d of %s was delivered %s, and %s altered %s; a delivered build takes events, claims, notes and running sessions only", build, number, delivered, edited, some(files)),
		Mend:    fmt.Sprintf("keep these files as delivered; open the next build (stackbook reopen %s --why ...) and write there, under build: %d, what was done", number, build+1)})
}

// breaksSeal tells whether what a side did to a file may not be done to a build
// after its delivery: to alter or take out what was there, or to add what the
// build takes no more.
func (m *merging) breaksSeal(side map[string][]byte, folder, file string, build int) bool {
	r := m.read(side, folder, file)
	return m.base[file] != nil || IsRecord(file) && r.Number("build") == build && !r.AllowedLater()
}

// openedTwice tells that both sides opened the next build.
func (m *merging) openedTwice(folder string) {
	file := path.Join(folder, specName)
	b, o, t := m.read(m.base, folder, file).Number("build"), m.read(m.ours, folder, file).Number("build"), m.read(m.theirs, folder, file).Number("build")
	if b == 0 || o <= b || t <= b {
		return
	}
	number := path.Base(folder)
	m.tell(Outcome{Name: OpenedTwice, Conflict: o != t, Engine: number, Paths: []string{file},
		Message: fmt.Sprintf("the next build of %s was opened on both sides: %d here, %d there", number, o, t),
		Mend:    "if it is one visit of the engine, see that its teardown and why it was opened are told once; of two visits the later has the higher number"})
}

// some names the first few of a list.
func some(files []string) string {
	const most = 3
	if len(files) <= most {
		return strings.Join(files, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(files[:most], ", "), len(files)-most)
}
