package history

import (
	"slices"
	"sort"

	"stackbook/record"
	"stackbook/schema"
)

// Moment is a commit: when something came to be known.
type Moment struct{ Commit, Day string }

// Spot is one part at one position of an engine.
type Spot struct{ Engine, Position, Number, Serial, Lot string }

// Use is a part that bears one of the names asked for, where it is fitted or
// ever was.
type Use struct {
	Spot
	Customers []string // that the engine was for by then, in order
	Builds    []int    // of the specs and changes that name it here
	Since     *Moment  // the first commit it stands in; nil: none yet, or no spec has it
	Until     *Moment  // of one that is not there now, the commit that took it out; nil: none, or not known
	Now       bool     // the spec of the state asked about has it
	Owner     string   // of one that is there now, the customer the engine is for now
	Removed   []Removal
	Read      []*record.Session // that read it here, as their serials say
}

// Removal is a part that a change says was taken out.
type Removal struct {
	record.Removed
	Engine string
	Now    bool // the change is there in the state asked about
}

// Names are serials, lots, part numbers and suppliers' codes asked for; nil asks
// for all there are.
type Names map[string]bool

func (n Names) has(word string) bool { return word != "" && (n == nil || n[word]) }

// bears tells whether a part of a spec is asked for.
func (n Names) bears(p record.Part) bool {
	return n.has(p.Serial) || n.has(p.Lot) || n.has(p.Number) || n.has(p.Supplier)
}

// Telling is what one version of a spec or a change tells of the parts asked
// for.
type Telling struct {
	Engine   string
	Customer string
	Build    int
	Spots    []Spot    // of a spec: fitted
	From     []string  // and the supplier of each, "" where none is named
	Removed  []Removal // of a change
}

// OfSpec is what a spec tells.
func (n Names) OfSpec(e *record.Engine) *Telling {
	t := &Telling{Engine: e.Number, Customer: e.Customer, Build: e.Build}
	for _, p := range e.Parts() {
		if n.bears(p) {
			t.Spots, t.From = append(t.Spots, Spot{e.Number, p.Position, p.Number, p.Serial, p.Lot}), append(t.From, p.Supplier)
		}
	}
	return t
}

// OfChange is what a change of an engine tells.
func (n Names) OfChange(engine string, c *record.Change) *Telling {
	t := &Telling{Engine: engine, Build: c.Build}
	for _, r := range c.Removed() {
		if n.has(r.Serial) || n.has(r.Lot) {
			t.Removed = append(t.Removed, Removal{Removed: r, Engine: engine})
		}
	}
	return t
}

// Turn is what a commit altered against one of its parents: what was told in
// the parent and is not in it, and the other way round.
type Turn struct{ Gone, Come []*Telling }

// Used gathers every use of the parts asked for, from commits and from the
// records of one state.
//
// A part came in with a commit that has it where no parent of it does, and went
// with one that lacks it where each parent has it; so a merge neither brings nor
// takes what one of its sides did before. Engines are told by their numbers, and
// a folder that moves takes nothing out.
type Used struct {
	Names Names
	uses  map[Spot]*Use
	outs  []Removal
}

// NewUsed begins to gather.
func NewUsed(names Names) *Used { return &Used{Names: names, uses: map[Spot]*Use{}} }

// Step takes in one commit. Commits come oldest first, each behind its parents.
func (u *Used) Step(at Moment, against []Turn) {
	come, gone := map[Spot]int{}, map[Spot]int{}
	for _, turn := range against {
		was, is := spotsOf(turn.Gone), spotsOf(turn.Come)
		for s := range is {
			if !was[s] {
				come[s]++
			}
		}
		for s := range was {
			if !is[s] {
				gone[s]++
			}
		}
		for _, t := range turn.Come {
			u.tell(t)
		}
	}
	for s, parents := range come {
		if use := u.at(s); parents == len(against) && use.Since == nil {
			use.Since = &at
		}
	}
	for s, parents := range gone {
		if parents == len(against) {
			u.at(s).Until = &at
		}
	}
}

func spotsOf(tellings []*Telling) map[Spot]bool {
	spots := map[Spot]bool{}
	for _, t := range tellings {
		for _, s := range t.Spots {
			spots[s] = true
		}
	}
	return spots
}

func (u *Used) at(s Spot) *Use {
	if u.uses[s] == nil {
		u.uses[s] = &Use{Spot: s}
	}
	return u.uses[s]
}

// tell notes builds, customers and removals.
func (u *Used) tell(t *Telling) {
	for _, s := range t.Spots {
		u.at(s).note(t.Build, t.Customer)
	}
	for _, r := range t.Removed {
		u.remove(r)
	}
}

func (use *Use) note(build int, customer string) {
	if build > 0 && !slices.Contains(use.Builds, build) {
		use.Builds = append(use.Builds, build)
		slices.Sort(use.Builds)
	}
	if customer != "" && !slices.Contains(use.Customers, customer) {
		use.Customers = append(use.Customers, customer)
	}
}

// remove notes a removal once, however often its change was committed.
func (u *Used) remove(r Removal) {
	for i := range u.outs {
		if o := &u.outs[i]; o.sameAs(r) {
			o.Now = o.Now || r.Now
			return
		}
	}
	u.outs = append(u.outs, r)
}

func (r Removal) sameAs(o Removal) bool {
	return r.Engine == o.Engine && r.From == o.From && r.FoundAt == o.FoundAt && r.Serial == o.Serial && r.Lot == o.Lot && r.To == o.To &&
		r.Where == o.Where && r.Change.Date == o.Change.Date && r.Change.Path == o.Change.Path
}

// Present takes in one engine of the state asked about.
func (u *Used) Present(e *record.Engine) {
	spec := u.Names.OfSpec(e)
	u.tell(spec)
	for _, s := range spec.Spots {
		use := u.at(s)
		use.Now, use.Owner = true, e.Customer
	}
	for _, c := range e.Changes {
		t := u.Names.OfChange(e.Number, c)
		for i := range t.Removed {
			t.Removed[i].Now = true
		}
		u.tell(t)
	}
	for _, session := range e.Sessions {
		u.read(e, session)
	}
}

// read notes the serials a session read, also where no spec has them.
func (u *Used) read(e *record.Engine, session *record.Session) {
	n := session.Node("parts")
	if n == nil {
		return
	}
	for _, entry := range n.Entries() {
		serial := session.Serial(entry.Key)
		found := u.matching(e.Number, entry.Key, func(s Spot) bool { return s.Serial == serial && serial != "" })
		if len(found) == 0 && u.Names.has(serial) {
			found = []*Use{u.at(Spot{Engine: e.Number, Position: entry.Key, Serial: serial})}
		}
		for _, use := range found {
			use.Read = append(use.Read, session)
			use.note(session.Build, e.Customer)
		}
	}
}

func (u *Used) matching(engine, position string, is func(Spot) bool) []*Use {
	var list []*Use
	for s, use := range u.uses {
		if s.Engine == engine && s.Position == position && is(s) {
			list = append(list, use)
		}
	}
	return list
}

// Uses lists what was gathered, by engine, then position front to rear, then
// when it came. A removal stands with the part it took out; where no spec ever
// had that, it is a use of its own.
func (u *Used) Uses() []*Use {
	for _, r := range u.outs {
		found := u.matching(r.Engine, r.From, func(s Spot) bool {
			return r.Serial != "" && s.Serial == r.Serial || r.Serial == "" && s.Lot == r.Lot
		})
		if len(found) == 0 {
			found = []*Use{u.at(Spot{Engine: r.Engine, Position: r.From, Serial: r.Serial, Lot: r.Lot})}
		}
		for _, use := range found {
			use.Removed = append(use.Removed, r)
			if use.Since == nil && !use.Now {
				use.note(r.Change.Build, "")
			}
		}
	}
	u.outs = nil
	list := make([]*Use, 0, len(u.uses))
	for _, use := range u.uses {
		sort.SliceStable(use.Removed, func(i, j int) bool { return use.Removed[i].Change.Date.Time.Before(use.Removed[j].Change.Date.Time) })
		if use.Now {
			use.Until = nil
		}
		list = append(list, use)
	}
	sortUses(list)
	return list
}

func sortUses(list []*Use) {
	sort.SliceStable(list, func(i, j int) bool { return list[i].before(list[j]) })
}

func (use *Use) before(o *Use) bool {
	switch {
	case use.Engine != o.Engine:
		return use.Engine < o.Engine
	case use.Position != o.Position:
		return schema.Less(use.Position, o.Position)
	case use.day() != o.day():
		return use.day() < o.day()
	}
	return use.Serial+" "+use.Lot+" "+use.Number < o.Serial+" "+o.Lot+" "+o.Number
}

// day is when a use came, for sorting; what no commit has comes last.
func (use *Use) day() string {
	if use.Since == nil {
		return "~"
	}
	return use.Since.Day
}

// Caller is one customer's engines that a part bearing one of the names was in:
// whom to call when a batch proves bad.
type Caller struct {
	Customer string // "" where the specs name none
	Engines  []string
	Now      []string // of these, the engines that have one fitted now
	Uses     []*Use
}

// Callers lists the customers, those first who have one fitted now.
func Callers(uses []*Use) []*Caller {
	byCode := map[string]*Caller{}
	var list []*Caller
	for _, use := range uses {
		codes := use.Customers
		if len(codes) == 0 {
			codes = []string{""}
		}
		for _, code := range codes {
			c := byCode[code]
			if c == nil {
				c = &Caller{Customer: code}
				byCode[code], list = c, append(list, c)
			}
			c.Uses = append(c.Uses, use)
			c.Engines = with(c.Engines, use.Engine)
			if use.Now && code == use.Owner {
				c.Now = with(c.Now, use.Engine)
			}
		}
	}
	sort.SliceStable(list, func(i, j int) bool {
		if a, b := len(list[i].Now) > 0, len(list[j].Now) > 0; a != b {
			return a
		}
		return list[i].Customer < list[j].Customer
	})
	return list
}

func with(list []string, word string) []string {
	if slices.Contains(list, word) {
		return list
	}
	return append(list, word)
}
