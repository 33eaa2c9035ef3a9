package app

import (
	"fmt"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/schema/problem"
)

// shownBuild is one build of an engine with the state its page shows.
type shownBuild struct {
	build *history.Build
	*act.Loaded
	delivered bool // as it was delivered, and not as the folder has it
}

// builds lists the builds of which a state is known.
func (x *site) builds(e *act.WholeEngine) []shownBuild {
	var list []shownBuild
	for i := range e.Life.Builds {
		b := &e.Life.Builds[i]
		switch l := e.Delivered[b.Number]; {
		case l != nil:
			list = append(list, shownBuild{b, l, true})
		case b.Number == e.Now.Engine.Build:
			list = append(list, shownBuild{b, e.Now, false})
		}
	}
	return list
}

func engineTrail(from, number string) []page.Link {
	return []page.Link{{Text: "Engines", Href: way(from, sitePages)}, {Text: number, Href: way(from, enginePage(number))}}
}

// engineDocument is an engine's own page: its life, where it stands, its parts,
// figures and wear as the folder has them.
func (x *site) engineDocument(e *act.WholeEngine) *page.Document {
	at := enginePage(e.Number)
	d := &page.Document{Title: e.Number, Kind: "Engine", Trail: engineTrail(at, e.Number)[:1], Made: madeOf(e.Now)}
	d.Sections = problemSections(e.Problems)
	if e.Now.Engine == nil {
		d.Lead = append(goneText(e.Gone), "Its records cannot be read.")
		return d
	}
	d.Title += ": " + e.Now.Engine.Title
	if e.Life == nil {
		d.Lead = append(goneText(e.Gone), "Its spec names no build there could be, and so there is no life to tell.")
		return d
	}
	last := &e.Life.Builds[len(e.Life.Builds)-1]
	d.Facts = append(sheetFacts(e.Life, last, e.Now), page.Fact{Label: "State", Value: string(e.Line.Standing)})
	d.Lead = append(goneText(e.Gone), capital(verdictCount(e.Now.Figures.Count()))+".")
	d.Sections = append(d.Sections, x.lifeSection(e, at), lookFirst(e.Now, e.Life), x.partsSection(e.Now.Engine, at), figureSection(e.Now))
	if e.Gone == nil {
		d.Sections = append(d.Sections, wearSection(e.Wear))
	}
	return d
}

// goneText says of an engine that is gone what its page tells.
func goneText(g *act.Gone) []string {
	switch {
	case g == nil:
		return nil
	case g.By.Commit == "":
		return []string{"This engine is not in the book's folder any more. Told here is what the last commit has of it."}
	}
	return []string{fmt.Sprintf("This engine is gone from the book: commit %.10s of %s took it out. Told here is how it stood before.", g.By.Commit, g.By.Day)}
}

// madeOf says from what a page was made; of the folder it names no commit, so
// that a page stays the same while nothing it tells of is altered.
func madeOf(l *act.Loaded) string {
	if l.Figures == nil {
		return "Made by stackbook."
	}
	return madeFrom(l)
}

// mostProblems is how many problems in records a page lists.
const mostProblems = 20

func problemSections(list problem.List) []page.Section {
	if len(list) == 0 {
		return nil
	}
	s := page.Section{Heading: "Problems in the records", Note: "What is told below is of what could be read."}
	for _, p := range list[:min(len(list), mostProblems)] {
		s.List = append(s.List, p.Where()+": "+p.Message)
	}
	if more := len(list) - mostProblems; more > 0 {
		s.List = append(s.List, fmt.Sprintf("%d more: stackbook check tells them", more))
	}
	return []page.Section{s}
}

// lifeSection tells the builds of an engine, each with a way to its own page and
// to what it altered.
func (x *site) lifeSection(e *act.WholeEngine, at string) page.Section {
	s := page.Section{Heading: "Builds"}
	known := map[int]bool{}
	for _, b := range x.builds(e) {
		known[b.build.Number] = true
	}
	for i := range e.Life.Builds {
		b := &e.Life.Builds[i]
		inner := page.Section{Heading: capital(buildTitle(b))}
		if known[b.Number] {
			inner.Links = append(inner.Links, page.Link{Text: fmt.Sprintf("Build %d: figures, drawings, parts, readings", b.Number), Href: way(at, buildPage(e.Number, b.Number))})
		}
		if b.Altered != nil && known[b.Number-1] && known[b.Number] {
			inner.Links = append(inner.Links, page.Link{Text: fmt.Sprintf("What differs between build %d and %d", b.Number-1, b.Number), Href: way(at, differencePage(e.Number, b.Number-1, b.Number))})
		}
		inner.List = append(sessionLines(e.Now.Engine, b), alteredLines(b, e.Now.Display)...)
		if len(b.Changes) > 0 {
			inner.Table = changeTable(b.Changes)
		}
		s.Sections = append(s.Sections, inner)
	}
	return s
}

// sessionLines tells the sessions of a build, a line each.
func sessionLines(e *record.Engine, b *history.Build) []string {
	var lines []string
	for _, s := range b.Sessions {
		line := fmt.Sprintf("%s: %s, %s", s.Date.Day(), stageTitle(s), count(len(s.Readings), "reading"))
		if tests := sessionTests(e, s); tests != "" {
			line += "; crack test: " + tests
		}
		lines = append(lines, line)
	}
	return lines
}

// alteredLines sums up what a build altered, as history does.
func alteredLines(b *history.Build, d act.Display) []string {
	if b.Altered == nil {
		return nil
	}
	lines := []string{fmt.Sprintf("Against build %d: %s altered in the spec, %s, %s", b.Number-1, count(len(b.Altered.Changes), "value"), count(len(b.Altered.Readings), "reading"), count(len(b.Altered.Figures), "figure"))}
	return append(append(lines, partLines(b.Altered.Changes)...), movedLines(b.Altered.Figures, d)...)
}

// partsSection lists what is fitted, each serial and lot with a way to where it
// ever was.
func (x *site) partsSection(e *record.Engine, at string) page.Section {
	s := partsSection(e)
	for i, p := range e.Parts() {
		s.Table.Rows[i].Cells[2], s.Table.Rows[i].Cells[3] = toName(at, p.Serial), toName(at, p.Lot)
	}
	return s
}

// buildDocument is the page of one build: as it was delivered or, where it is
// open, as the folder has it.
func (x *site) buildDocument(e *act.WholeEngine, s shownBuild) (*page.Document, error) {
	at := buildPage(e.Number, s.build.Number)
	as := "as the folder has it"
	switch {
	case s.delivered:
		as = "as it was delivered"
	case e.Gone != nil:
		as = "as it last stood"
	}
	d := &page.Document{Title: fmt.Sprintf("%s, build %d: %s", e.Number, s.build.Number, s.Engine.Title), Kind: "Build", Made: madeFrom(s.Loaded),
		Lead:  []string{fmt.Sprintf("Build %d of %s, %s. %s.", s.build.Number, e.Number, as, capital(verdictCount(s.Figures.Count())))},
		Facts: sheetFacts(e.Life, s.build, s.Loaded), Trail: append(engineTrail(at, e.Number), page.Link{Text: fmt.Sprintf("Build %d", s.build.Number)})}
	changes := page.Section{Heading: "Sessions and changes", List: sessionLines(s.Engine, s.build)}
	if len(s.build.Changes) > 0 {
		changes.Table = changeTable(s.build.Changes)
	}
	alone := &history.Life{Engine: s.Engine, Builds: []history.Build{{Number: s.build.Number, Figures: s.Figures}}}
	d.Sections = append(d.Sections, lookFirst(s.Loaded, alone), changes, figureSection(s.Loaded))
	d.Sections = append(d.Sections, drawnSections(alone, s.Loaded)...)
	d.Sections = append(d.Sections, x.partsSection(s.Engine, at))
	d.Sections = append(d.Sections, specSections(s.Engine)...)
	d.Sections = append(d.Sections, readingSection(s.Loaded))
	pictures, err := e.Shop.PicturesIn(s.Loaded)
	if err != nil {
		return nil, err
	}
	if len(pictures) > 0 {
		d.Sections = append(d.Sections, pictureSection(pictures))
	}
	d.Cautions = cautions
	return d, nil
}

// differenceDocument is the page of what differs between two neighbours.
func (x *site) differenceDocument(e *act.WholeEngine, before, after shownBuild) *page.Document {
	at := differencePage(e.Number, before.build.Number, after.build.Number)
	c := &comparison{states: []*act.Loaded{before.Loaded, after.Loaded}, pair: after.build.Altered}
	c.table = diff.Side([]diff.State{before.State, after.State}, diff.Filter{})
	c.shared = map[string]int{"figure": c.sharedFigures(), "part": c.sharedParts()}
	d := c.document()
	d.Title = fmt.Sprintf("%s, build %d and %d: %s", e.Number, before.build.Number, after.build.Number, e.Now.Engine.Title)
	d.Trail = append(engineTrail(at, e.Number), page.Link{Text: fmt.Sprintf("Build %d", before.build.Number), Href: way(at, buildPage(e.Number, before.build.Number))},
		page.Link{Text: fmt.Sprintf("Build %d", after.build.Number), Href: way(at, buildPage(e.Number, after.build.Number))})
	return d
}
