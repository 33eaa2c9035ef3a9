package act

import (
	"path"
	"slices"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// Checked is what a check finds of one engine: no more than is told of it, so
// that a whole book can be checked in the memory of a few engines.
type Checked struct {
	Number    string
	Folder    string
	Problems  problem.List
	Verdicts  map[figure.Verdict]int // nil: the engine cannot be read
	Remarked  []*figure.Result       // what does not conform, and what no reading could show to
	Overlaps  []figure.Overlap       // sizes that cannot go together
	Slips     []record.Slip          // readings whose decimal point seems to have slipped
	Guards    []travel.Guard         // the parts that must not burst, where there is something to tell
	Display   Display
	Stale     string // why its figures.yaml cannot be trusted
	StaleMend string // what mends that
	Unsealed  int    // the build, where it is delivered and no tag seals it; else 0
}

// Check checks the named engines as they are in the folder, or all of them, on all
// cores; they come in the order of their numbers. steps is told how far it has
// come. What is wrong with the book itself comes as a Checked without a number.
func (s *Shop) Check(numbers []string, steps Steps) ([]*Checked, error) {
	tree, err := s.folder()
	if err != nil {
		return nil, err
	}
	if _, _, err := s.Book.Head(); err != nil { // what is committed cannot be read
		return nil, err
	}
	places, whole, err := s.toCheck(tree, numbers)
	if err != nil {
		return nil, err
	}
	c := &checking{Shop: s, tree: tree, places: places, list: make([]*Checked, len(places)), whole: len(numbers) == 0,
		ids: make([]identity, len(places)), travelled: make([]problem.List, len(places))}
	if c.tags, err = s.tagsOf(numbers); err != nil {
		whole = append(whole, problem.Problem{Rule: "R2", Message: "the tags that seal builds cannot be read: " + err.Error(), Mend: "git tag -l 'build/*' lists them"})
	}
	if c.rules, err = readRules(tree); err != nil {
		return nil, err
	}
	found, err := c.run(steps)
	if err != nil {
		return nil, err
	}
	if whole = append(whole, found...); c.whole {
		whole = append(whole, sameID(c.ids)...)
	}
	if whole.Sort(); len(whole) > 0 {
		c.list = append(c.list, &Checked{Problems: whole})
	}
	return c.list, nil
}

// tagsOf gives the tags that seal builds of the named engines, or of all.
func (s *Shop) tagsOf(numbers []string) ([]book.Tag, error) {
	if len(numbers) == 0 {
		return s.Book.Tags("")
	}
	var tags []book.Tag
	for _, n := range numbers {
		list, err := s.Book.Tags(n)
		if err != nil {
			return nil, err
		}
		tags = append(tags, list...)
	}
	return tags, nil
}

// checking is a check on its way.
type checking struct {
	*Shop
	tree   book.Tree
	rules  *rules
	tags   []book.Tag
	places []Place

	list []*Checked // by place

	// Of a check of the whole book, what is wrong between engines.
	whole     bool
	files     map[string][]*record.PartFile // by serial or lot
	ids       []identity                    // by place
	ties      *travel.Ties                  // which engines share a part
	travelled []problem.List                // by place, what is wrong with its parts
}

// run checks the engines and, of a whole book, what belongs to none of them
// alone, which it gives.
func (c *checking) run(steps Steps) (problem.List, error) {
	if !c.whole {
		return nil, c.engines(steps.of("checking"))
	}
	files, ofFiles, err := partFiles(c.tree)
	if err != nil {
		return nil, err
	}
	c.files, c.ties = byNumber(files), travel.NewTies(files)
	if err := c.engines(steps.of("checking")); err != nil {
		return nil, err
	}
	own, err := checkBook(c.rules)
	if err != nil {
		return nil, err
	}
	between, err := c.between(files, steps)
	return slices.Concat(ofFiles, between, notYetTold(own, c.list)), err
}

// engines checks each engine by itself.
func (c *checking) engines(step func(done, of int)) error {
	return onAllCores(len(c.places), step, func(i int) error {
		l, err := c.rules.load(c.tree, c.places[i], c.places[i].Number)
		if err != nil {
			return err
		}
		if err := c.seals(l); err != nil {
			return err
		}
		c.list[i] = l.checked(c.tags)
		if c.whole && l.Engine != nil {
			c.alone(i, l.Engine)
		}
		return nil
	})
}

// seals adds what is wrong with an engine's attachments and with what was
// delivered of it.
func (c *checking) seals(l *Loaded) error {
	l.checkAttachments(c.tree)
	odd, err := c.checkSeals(l.Place, l.Engine, c.tags)
	if err != nil {
		return err
	}
	closed, err := c.checkClosed(c.tree, l)
	if err != nil {
		return err
	}
	l.Problems = slices.Concat(l.Problems, odd, closed)
	l.Problems.Sort()
	return nil
}

// checked takes from an engine what is told of it.
func (l *Loaded) checked(tags []book.Tag) *Checked {
	c := &Checked{Number: l.Place.Number, Folder: l.Place.Folder, Problems: l.Problems, Display: l.Display, Unsealed: unsealed(l.Engine, tags)}
	if l.Figures == nil {
		return c
	}
	c.Verdicts = l.Figures.Count()
	if c.Stale = l.Stale(); c.Stale != "" {
		c.StaleMend = l.StaleMend()
	}
	for _, r := range l.Figures.Results {
		if r.Verdict == figure.Fails || r.Verdict == figure.Undecided || r.TooNarrow() {
			c.Remarked = append(c.Remarked, r.Told())
		}
	}
	for _, o := range l.Figures.Overlaps() {
		o.Result = o.Result.Told()
		c.Overlaps = append(c.Overlaps, o)
	}
	c.Guards, c.Slips = toldGuards(l.Guards), l.Engine.Slips()
	return c
}

// toldGuards are the parts of which a check has something to tell.
func toldGuards(guards []travel.Guard) []travel.Guard {
	var list []travel.Guard
	for _, g := range guards {
		if g.Standing != travel.Tested {
			list = append(list, g.Told())
		}
	}
	return list
}

// unsealed is the build of an engine if it is delivered and no tag seals it, as
// where a delivery was broken off or made with plain git; else 0 (R2).
func unsealed(e *record.Engine, tags []book.Tag) int {
	if e == nil || e.Delivered(e.Build) == nil || slices.ContainsFunc(tags, func(t book.Tag) bool { return t.Name == TagName(e.Number, e.Build) }) {
		return 0
	}
	return e.Build
}

// checkBook checks the book's own files: book.yaml, with the limit set it names,
// and every limit set and part, whether an engine uses it or not.
func checkBook(r *rules) (problem.List, error) {
	tree, problems := r.tree, r.problems
	if name := r.book.Text("limits"); name != "" {
		_, list, err := r.limits(r.book, name)
		if err != nil {
			return nil, err
		}
		problems = append(problems, list...)
	}
	entries, err := list(tree, "limits")
	problems = append(problems, unfit(err)...)
	if err != nil && unfit(err) == nil {
		return nil, err
	}
	for _, e := range entries {
		name := path.Join("limits", e.Name)
		if e.Dir || path.Ext(name) != ".yaml" {
			continue
		}
		data, err := tree.Read(name)
		if found := unfit(err); found != nil {
			problems = append(problems, found...)
			continue
		}
		if err != nil {
			return nil, err
		}
		problems = append(problems, checkBookFile(name, data)...)
	}
	return problems, nil
}

// notYetTold leaves out what an engine's check told already.
func notYetTold(problems problem.List, checked []*Checked) problem.List {
	told := map[problem.Problem]bool{}
	for _, c := range checked {
		for _, p := range c.Problems {
			told[p] = true
		}
	}
	return slices.DeleteFunc(problems, func(p problem.Problem) bool { return told[p] })
}

// toCheck finds the engines meant. Only a check of the whole book reports what
// is wrong between engines.
func (s *Shop) toCheck(tree book.Tree, numbers []string) ([]Place, problem.List, error) {
	if len(numbers) == 0 {
		places, problems, err := Engines(tree)
		if err != nil {
			return nil, nil, err
		}
		return places, problems, nil
	}
	var places []Place
	for _, n := range numbers {
		p, err := FindEngine(tree, n)
		if err != nil {
			return nil, nil, err
		}
		if !slices.Contains(places, p) {
			places = append(places, p)
		}
	}
	return places, nil, nil
}

// byNumber sorts part files by the serial or lot they bear.
func byNumber(files []*record.PartFile) map[string][]*record.PartFile {
	known := map[string][]*record.PartFile{}
	for _, f := range files {
		known[f.Bears()] = append(known[f.Bears()], f)
	}
	return known
}
