package bigbook

import (
	"fmt"
	"math/rand/v2"
	"path"
	"sort"
	"strings"
	"time"

	"stackbook/record"
	"stackbook/record/figure"
)

// pattern is the life of one kind of engine, written with words to fill in.
type pattern struct {
	rotors, builds int
	given          bool // its first rotor ran in another engine before
	steps          []*step
}

// step is one commit of a life.
type step struct {
	day     int // since the engine was enrolled
	by      string
	message string
	build   int
	deliver bool // the build is delivered and sealed
	frees   bool // the last rotor goes to the shelf
	files   []file
	figures *template // nil where they stay as they are
	reads   *template // what the figures read, for their digest
}

// file is one file of an engine's folder. Its name holds words as well.
type file struct{ name, text *template }

// The days of a build's steps since it was begun, and its running.
const (
	toReopen  = 760 // from the day an engine was enrolled, or came back, to its coming back
	perBuild  = 80  // hours
	freedAt   = 61  // the hours of a rotor that goes to the shelf from build 1
	firstYear = 2011
)

// newPattern writes the life of an engine with that many builds.
func newPattern(rotors, builds int, given bool, rng *rand.Rand) *pattern {
	p := &pattern{rotors: rotors, builds: builds, given: given}
	s := &engineState{rotors: rotors, build: 1, limiter: 8800, rng: rng}
	for i := range rotors {
		s.serials = append(s.serials, fmt.Sprintf("R-$serial$%d", i+1))
		s.hours, s.used = append(s.hours, "0 h"), append(s.used, false)
	}
	if given {
		s.serials[0], s.hours[0], s.used[0] = "$given$", fmt.Sprintf("%d h", freedAt), true
	}
	p.add(s, 0, "KM", "$number$ enrolled", "spec.yaml", s.spec())
	p.build(s, 0, 0)
	for s.build < builds {
		begun, hours := toReopen*s.build, 61+perBuild*(s.build-1)
		p.rebuild(s, begun, hours)
		p.build(s, begun+30, hours)
	}
	return p
}

// add adds a step with its files, given by name and text.
func (p *pattern) add(s *engineState, day int, by, message string, files ...string) *step {
	st := &step{day: day, by: by, message: message, build: s.build}
	for i := 0; i < len(files); i += 2 {
		st.files = append(st.files, file{parseTemplate(files[i]), parseTemplate(strings.ReplaceAll(files[i+1], "$$", "$dollar$"))})
	}
	p.steps = append(p.steps, st)
	return st
}

// build adds what is written from the mock-up to the delivery and the year
// after it.
func (p *pattern) build(s *engineState, begun, hours int) {
	h := fmt.Sprint(hours)
	day := begun + 21
	name := func(what string) string { return fmt.Sprintf("measurements/$d%d$-%s.yaml", day, what) }
	session := s.mockUp(day, h)
	p.add(s, day, "KM", "Mock-up measured", name("mock-up-KM"), session)
	p.add(s, day+2, "KM", "A width read again", name("mock-up-KM"), s.again(session))
	day = begun + 40
	p.add(s, day, "TR", "Assembled and held under pressure", name("assembly-TR"), s.assembly(day, h))
	day = begun + 60
	h = fmt.Sprint(hours + 4)
	p.add(s, day, "KM", "Run in and on the dyno", name("dyno-KM"), s.dyno(day, h))
	s.limiter += 100
	p.add(s, day+5, "KM", "Limiter raised after the run", "spec.yaml", s.spec())
	s.sent = fmt.Sprintf("$d%d$", day+9)
	p.add(s, day+9, "KM", "Operating limits sent to the customer", "spec.yaml", s.spec())
	day = begun + 70
	p.add(s, day, "KM", fmt.Sprintf("Delivered build %d", s.build), fmt.Sprintf("changes/$d%d$-delivery.yaml", day),
		s.change("delivery", day, "KM", h, "delivered to $customer$ with the handover sheet")).deliver = true
	day = begun + 400
	h = fmt.Sprint(hours + 30)
	p.add(s, day, "KM", "The customer calls", fmt.Sprintf("changes/$d%d$-telephone.yaml", day),
		s.change("event", day, "KM", h, "a season without trouble", "source: telephone", "recorded:", "  coolant, highest: 91 degC"))
}

// rebuild adds what is written from the day an engine comes back until it is
// put together again.
func (p *pattern) rebuild(s *engineState, begun, hours int) {
	h := fmt.Sprint(hours)
	change := func(day int, what string) string { return fmt.Sprintf("changes/$d%d$-%s.yaml", day, what) }
	last := s.rotors - 1
	s.build, s.sent = s.build+1, ""
	p.add(s, begun, "KM", "Received and opened", "spec.yaml", s.specBefore(),
		change(begun, "teardown"), s.change("teardown", begun, "KM", h, "opened for rebuild", "why: down on power"))
	p.add(s, begun+4, "KM", "Read after cleaning", fmt.Sprintf("measurements/$d%d$-after-cleaning-KM.yaml", begun+4), s.cleaned(begun+4, h))
	old, ran := s.serials[last], perBuild
	if s.build == 2 {
		ran = freedAt
	}
	removed := fmt.Sprintf("removed: [{from: rotor/%d, serial: %s, hours: %d h, to: shelf}]", s.rotors, old, ran)
	s.serials[last], s.hours[last], s.used[last] = fmt.Sprintf("R-$serial$%d", 4+s.build), "0 h", false
	for i := range last {
		if !s.used[i] {
			s.used[i] = true
		}
	}
	day := begun + 20
	st := p.add(s, day, "TR", fmt.Sprintf("Rotor %d, all seals and the coolant seals renewed", s.rotors), "spec.yaml", s.spec(),
		change(day, "rotor"), s.change("replacement", day, "TR", h, fmt.Sprintf("rotor %d replaced", s.rotors), "why: worn at its corners", fmt.Sprintf("touches: [rotor/%d]", s.rotors), removed),
		change(day, "seals"), s.change("replacement", day, "TR", h, "all apex seals renewed", "touches: ["+s.apexes()+"]", fmt.Sprintf("removed: [{from: rotor/1/apex/1, lot: B-$seals%d$, to: scrap, note: all of them}]", s.build-1)),
		change(day, "coolant-seals"), s.change("replacement", day, "TR", h, "all coolant seals renewed", "touches: ["+s.joints()+"]"))
	st.frees = s.build == 2
}

// specBefore is the spec of a build just opened: its parts are still those of
// the build before.
func (s *engineState) specBefore() string {
	text := s.spec()
	for _, lot := range []string{"seals", "coolant"} {
		text = strings.ReplaceAll(text, fmt.Sprintf("$%s%d$", lot, s.build), fmt.Sprintf("$%s%d$", lot, s.build-1))
	}
	return text
}

func (s *engineState) apexes() string {
	var list []string
	for i := 1; i <= s.rotors; i++ {
		for a := 1; a <= 3; a++ {
			list = append(list, fmt.Sprintf("rotor/%d/apex/%d", i, a))
		}
	}
	return strings.Join(list, ", ")
}

func (s *engineState) joints() string {
	var list []string
	for i := 1; i <= s.rotors; i++ {
		list = append(list, fmt.Sprintf("joint/housing-%d/front/inner, joint/housing-%d/rear/inner", i, i))
	}
	return strings.Join(list, ", ")
}

// work fills in the figures of each step: they are worked out for one engine
// by the program's own formulas, and its names and days are taken out again.
func (p *pattern) work(limits *record.LimitSet) error {
	one := newEngine(0, 999_999, time.Date(firstYear-10, 1, 1, 0, 0, 0, 0, zone))
	one.p, one.given = p, "R-GIVEN"
	one.lots = func(kind string, _ time.Time) string { return "77" + kind }
	days := map[string]string{}
	word := func(w string) string {
		if isDay(w) {
			days[one.word(w)] = w
		}
		return one.word(w)
	}
	folder := map[string]string{}
	digest := ""
	for _, st := range p.steps {
		for _, f := range st.files {
			folder[path.Join(one.folder, f.name.text(word))] = f.text.text(word)
		}
		set, err := figuresOf(one.folder, folder, limits)
		if err != nil {
			return fmt.Errorf("the life of an engine with %d rotors and %d builds, day %d: %w", p.rotors, p.builds, st.day, err)
		}
		if set.Digest() == digest {
			continue
		}
		digest = set.Digest()
		st.figures = parseTemplate(strings.NewReplacer(digest, "$digest$", one.number, "$number$").Replace(string(set.Encode(nil))))
		st.reads = readsOf(set, days)
	}
	return nil
}

func figuresOf(folder string, texts map[string]string, limits *record.LimitSet) (*figure.Set, error) {
	var files []record.File
	for name, text := range texts {
		files = append(files, record.File{Path: name, Data: []byte(text)})
	}
	sort.Slice(files, func(i, j int) bool { return files[i].Path < files[j].Path })
	e, problems := record.Load(folder, files)
	if len(problems) > 0 {
		return nil, problems
	}
	return figure.Compute(e, limits), nil
}

// readsOf gives the lines that the digest is made of, with the days taken out:
// the only words of an engine that stand in them. The order of the lines does
// not depend on them, since they follow one another in every life alike.
func readsOf(set *figure.Set, days map[string]string) *template {
	var pairs []string
	for text, word := range days {
		pairs = append(pairs, text, "$"+word+"$")
	}
	return parseTemplate(strings.NewReplacer(pairs...).Replace(set.Read()))
}
