package bigbook

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"sync"
	"time"

	"stackbook/record"
)

// The days of the first enrolment, of the last, and of the last commit.
var (
	first = time.Date(firstYear, 1, 10, 0, 0, 0, 0, zone)
	last  = time.Date(firstYear+14, 12, 15, 0, 0, 0, 0, zone)
	end   = time.Date(firstYear+15, 1, 27, 0, 0, 0, 0, zone)
)

// perLot is how many engines are built of one lot, about.
const perLot = 8

// plan is a book that is to be made: who is built when, and every commit.
type plan struct {
	size    Size
	rng     *rand.Rand
	begin   map[string]string // the files a book begins with
	engines []*engine
	events  []event
}

// event is one commit: the next step of an engine's life, a note on it, or a
// file of a part.
type event struct {
	when   time.Time
	engine *engine
	step   *step  // nil: a note on the engine, or
	part   string // the file of a part and
	text   string // its text
	by     string
}

func newPlan(size Size, seed uint64) (*plan, error) {
	p := &plan{size: size, rng: rand.New(rand.NewPCG(seed, 7))}
	p.readFiles()
	patterns, err := patterns()
	if err != nil {
		return nil, err
	}
	p.enrol(patterns)
	for _, e := range p.engines {
		p.live(e)
	}
	p.move()
	if err := p.note(); err != nil {
		return nil, err
	}
	sort.SliceStable(p.events, func(i, j int) bool { return p.events[i].when.Before(p.events[j].when) })
	return p, nil
}

// patterns are the lives that engines have, with their figures: the same for
// every book, and worked out once.
var patterns = sync.OnceValues(func() ([]*pattern, error) {
	limits, problems := record.ReadLimits(record.File{Path: limitFile, Data: []byte(limitText)})
	if len(problems) > 0 {
		return nil, problems
	}
	var list []*pattern
	rng := rand.New(rand.NewPCG(1, 7))
	for rotors := 1; rotors <= 3; rotors++ {
		for builds := 1; builds <= 3; builds++ {
			list = append(list, newPattern(rotors, builds, false, rng))
		}
	}
	list = append(list, newPattern(2, 1, true, rng), newPattern(3, 1, true, rng))
	errs := make([]error, len(list))
	var all sync.WaitGroup
	for i, one := range list {
		all.Go(func() { errs[i] = one.work(limits) })
	}
	all.Wait()
	return list, errors.Join(errs...)
})

// enrol spreads the engines over the years and gives each its life. One in
// twelve is given a rotor that lies on the shelf, where one does.
func (p *plan) enrol(patterns []*pattern) {
	find := func(rotors, builds int, given bool) *pattern {
		return patterns[slices.IndexFunc(patterns, func(one *pattern) bool {
			return one.rotors == rotors && one.builds == builds && one.given == given
		})]
	}
	span := last.Sub(first).Hours() / 24
	var givers []*engine
	for i := range p.size.Engines {
		day := int(span * float64(i) / float64(max(1, p.size.Engines-1)))
		e := newEngine(i+1, i+1, first.AddDate(0, 0, day))
		e.lots, e.customer = p.lot, fmt.Sprintf("C-%02d", 1+i/2%max(1, p.size.Engines/5))
		rotors := []int{1, 2, 2, 2, 2, 2, 2, 3}[p.rng.IntN(8)]
		e.p = find(rotors, p.builds(), false)
		if len(givers) > 0 && rotors > 1 && i%12 == 11 && givers[0].freedOn().Before(e.start) {
			e.giver, givers = givers[0], givers[1:]
			e.p, e.given = find(rotors, 1, true), e.giver.freed()
		}
		if e.p.builds > 1 && rotors > 1 && e.freedOn().AddDate(0, 0, 60).Before(end) {
			givers = append(givers, e)
		}
		p.engines = append(p.engines, e)
	}
}

// builds is how many builds an engine is to have, so that the commits come out
// about right.
func (p *plan) builds() int {
	n := p.rng.IntN(100)
	if p.size.Commits < 15*p.size.Engines {
		if n < 5 {
			return 2
		}
		return 1
	}
	switch {
	case n < 30:
		return 1
	case n < 70:
		return 2
	}
	return 3
}

// freedOn is the day the engine's first rotor goes to the shelf.
func (e *engine) freedOn() time.Time {
	i := slices.IndexFunc(e.p.steps, func(st *step) bool { return st.frees })
	return e.start.AddDate(0, 0, e.p.steps[i].day)
}

// lot is the lot that was being fitted on a day.
func (p *plan) lot(kind string, day time.Time) string {
	share := float64(day.Sub(first)) / float64(end.Sub(first))
	return fmt.Sprintf("%04d", 1+int(share*float64(p.size.Engines)/perLot))
}

// at is the time of day at which an engine is worked on.
func (e *engine) at(day time.Time) time.Time {
	return day.Add(8*time.Hour + time.Duration(e.index*37%600)*time.Minute)
}

// live adds the commits of an engine's life, as far as they lie before the end.
func (p *plan) live(e *engine) {
	for _, st := range e.p.steps {
		if day := e.start.AddDate(0, 0, st.day); !day.After(end) {
			p.events = append(p.events, event{when: e.at(day), engine: e, step: st, by: st.by})
		}
	}
}

// move writes down where the rotors lie that went from engine to engine.
func (p *plan) move() {
	for _, e := range p.engines {
		if e.giver == nil {
			continue
		}
		name := "parts/" + e.given + ".yaml"
		freed := e.giver.freedOn()
		text := fmt.Sprintf("# yaml-language-server: $schema=../schemas/part-1.json\nformat: part/1\nserial: %s\npart: RT-80\nsupplier: S-02\nwhat: rotor, out of %s\nmaterial: cast iron\nreceived: %s\nwhereabouts:\n"+
			"  - {since: %s, is: another engine, where: %s, hours: 0 h}\n  - {since: %s, is: shelf, where: rotor cupboard, hours: %d h, by: TR}\n",
			e.given, e.giver.number, e.giver.start.Format(time.DateOnly), e.giver.start.Format(time.DateOnly), e.giver.number, freed.Format(time.DateOnly), freedAt)
		p.events = append(p.events, event{when: e.giver.at(freed).Add(time.Minute), part: name, text: text, by: "TR"})
		text += fmt.Sprintf("  - {since: %s, is: another engine, where: %s rotor/1, hours: %d h, by: KM}\n", e.start.Format(time.DateOnly), e.number, freedAt)
		p.events = append(p.events, event{when: e.at(e.start).Add(time.Minute), part: name, text: text, by: "KM"})
	}
}

// note adds notes on engines here and there until there are as many commits as
// there are to be; the one that begins the book is among them.
func (p *plan) note() error {
	free := p.size.Commits - 1 - len(p.events)
	if free = p.thin(free); free < 0 {
		return fmt.Errorf("bigbook: %d engines need %d commits at the least, and there are to be %d", p.size.Engines, p.size.Commits-free, p.size.Commits)
	}
	for range free {
		e := p.engines[p.rng.IntN(len(p.engines))]
		days := int(end.Sub(e.start).Hours() / 24)
		day := e.start.AddDate(0, 0, 1+p.rng.IntN(days))
		p.events = append(p.events, event{when: e.at(day).Add(time.Duration(p.rng.IntN(240)) * time.Minute), engine: e, by: "TR"})
	}
	return nil
}

// thin leaves the last step of lives out, which is a telephone call, as long as
// there are too many commits.
func (p *plan) thin(free int) int {
	p.events = slices.DeleteFunc(p.events, func(ev event) bool {
		if free >= 0 || ev.step == nil || ev.step != ev.engine.p.steps[len(ev.engine.p.steps)-1] {
			return false
		}
		free++
		return true
	})
	return free
}

// firstWidth is the line of a mock-up's first reading.
func firstWidth(session string) string {
	for line := range strings.Lines(session) {
		if strings.HasPrefix(line, "    housing/1/at/A: ") {
			return line
		}
	}
	return ""
}

// names finds what can be asked for in the book.
func (p *plan) names() *Made {
	m := &Made{Size: p.size}
	for _, e := range p.engines {
		m.Numbers = append(m.Numbers, e.number)
		second := e.p.builds > 1 && e.done >= 20 // its second build was delivered
		if second && e.p.rotors == 2 && m.Rebuilt == "" {
			m.Rebuilt, m.Customer, m.Lot = e.number, e.customer, "L-1"+e.word("coolant1")
			m.Date = e.start.AddDate(0, 0, toReopen).Format(time.DateOnly)
		}
		if e.giver != nil && m.Serial == "" {
			m.Serial, m.From, m.To = e.given, e.giver.number, e.number
		}
		if e.done > 2 && e.done < 7 {
			m.OnBench = e.number
			m.Session = e.folder + "/" + e.session.name.text(e.word)
			m.Reading = firstWidth(e.session.text.text(e.word))
		}
	}
	return m
}
