package travel_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/travel"
	"stackbook/schema/problem"
)

// bench is a book of invented engines, a few words at a time.
type bench struct {
	t     *testing.T
	files map[string][]record.File // by engine
	parts []*record.PartFile
	every *travel.Interval
}

func begin(t *testing.T) *bench { return &bench{t: t, files: map[string][]record.File{}} }

// engine adds a two-rotor engine with its parts: "  rotor/1: {serial: R-1}\n".
func (b *bench) engine(number string, build int, parts string) *bench {
	text := fmt.Sprintf("format: spec/1\nengine: %s\nid: 7f3a-91c0-%s\ntitle: an engine\nbuild: %d\ngeometry: {rotors: 2}\n", number, number, build)
	if parts != "" {
		text += "parts:\n" + parts
	}
	return b.file(number, "spec.yaml", text)
}

func (b *bench) file(number, name, text string) *bench {
	b.files[number] = append(b.files[number], record.File{Path: "engines/2024/" + number + "/" + name, Data: []byte(text)})
	return b
}

// change adds a change; more are further lines of it.
func (b *bench) change(number string, build int, date, kind string, more string) *bench {
	return b.file(number, fmt.Sprintf("changes/%s-%s-%d.yaml", date, kind, len(b.files[number])),
		fmt.Sprintf("format: change/1\nengine: %s\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nwhat: a change\n%s", number, build, date, kind, more))
}

// test adds a session of crack tests.
func (b *bench) test(number string, build int, date, hours, parts, tests string) *bench {
	text := fmt.Sprintf("format: measurements/1\nengine: %s\nbuild: %d\nstage: crack-test\ndate: %s\nby: TR\nparts: {%s}\n", number, build, date, parts)
	if hours != "" {
		text += "hours: " + hours + "\n"
	}
	return b.file(number, "measurements/"+date+"-crack-test-TR.yaml", text+"readings:\n  crack_test: {method: magnetic particle, "+tests+"}\n")
}

func (b *bench) part(name, text string) *bench {
	p, problems := record.ReadPart(record.File{Path: "parts/" + name + ".yaml", Data: []byte("format: part/1\nwhat: a part\n" + text)})
	require.Empty(b.t, problems)
	b.parts = append(b.parts, p)
	return b
}

func (b *bench) interval(hours float64) *bench {
	b.every = &travel.Interval{Hours: hours}
	return b
}

func (b *bench) shop() *travel.Shop {
	b.t.Helper()
	var engines []*record.Engine
	for number, files := range b.files {
		e, problems := record.Load("engines/2024/"+number, files)
		require.Empty(b.t, problems)
		engines = append(engines, e)
	}
	return travel.New(engines, b.parts, b.every)
}

// check finds what is wrong between the engines, the same whether each is held
// against the others whole or in outline.
func (b *bench) check() problem.List {
	b.t.Helper()
	whole := b.shop()
	var outlines []*record.Engine
	for _, e := range whole.Engines {
		outlines = append(outlines, e.Outline())
	}
	outlined := travel.New(outlines, b.parts, b.every)
	tied := b.tied(whole.Engines)
	problems := whole.CheckFiles()
	require.Equal(b.t, problems, outlined.CheckFiles())
	require.Equal(b.t, problems, tied.CheckFiles())
	for _, e := range whole.Engines {
		found := whole.Check(e)
		require.Equal(b.t, found, outlined.Check(e))
		require.Equal(b.t, told(whole.Guards(e)), told(outlined.Guards(e)))
		require.Equal(b.t, outlined.Elsewhere(e), tied.Elsewhere(e))
		require.Equal(b.t, outlined.Elsewhere(e), tellsOther(whole.Engines, e), "%s by its serials alone", e.Number)
		if outlined.Elsewhere(e) {
			require.Equal(b.t, found, tied.Check(e), e.Number+" among those tied to others")
			require.Equal(b.t, told(whole.Guards(e)), told(tied.Guards(e)), e.Number+" among those tied to others")
		} else {
			alone := travel.New([]*record.Engine{e}, b.parts, b.every)
			require.Equal(b.t, found, alone.Check(e), e.Number+" alone")
			require.Equal(b.t, told(whole.Guards(e)), told(alone.Guards(e)), e.Number+" alone")
		}
		problems = append(problems, found...)
	}
	problems.Sort()
	return problems
}

// tellsOther tells whether an engine asks for a serial that another tells of.
func tellsOther(engines []*record.Engine, e *record.Engine) bool {
	asked, _ := travel.Serials(e)
	return slices.ContainsFunc(engines, func(o *record.Engine) bool {
		_, told := travel.Serials(o)
		return o != e && slices.ContainsFunc(told, func(serial string) bool { return slices.Contains(asked, serial) })
	})
}

// tied are the outlines of no more engines than share a part with another.
func (b *bench) tied(engines []*record.Engine) *travel.Shop {
	ties := travel.NewTies(b.parts)
	for i, e := range engines {
		ties.Add(i, e)
	}
	var outlines []*record.Engine
	for _, i := range ties.Engines() {
		outlines = append(outlines, engines[i].Outline())
	}
	return travel.New(outlines, b.parts, b.every)
}

// told are guards without the records they rest on.
func told(guards []travel.Guard) []travel.Guard {
	var list []travel.Guard
	for _, g := range guards {
		list = append(list, g.Told())
	}
	return list
}

func seat(t *testing.T, s *travel.Shop, number, position string) travel.Seat {
	t.Helper()
	for _, e := range s.Engines {
		if e.Number == number {
			p, ok := e.PartAt(position)
			require.True(t, ok)
			return travel.Seat{Engine: e, Part: p}
		}
	}
	require.Fail(t, number+" is not there")
	return travel.Seat{}
}

const (
	delivered = "hours: 40 h\n"
	to60      = "hours: 60 h\nhours_error: 2 h\n"
)

// The hours of a part: what it had when fitted, by whatever tells it, and what
// the engine ran since. What nobody recorded is never none.
func TestRun(t *testing.T) {
	left := func(b *bench, more string) *bench {
		return b.engine("SK-02", 2, "").change("SK-02", 2, "2023-01-10", "teardown", "hours: 90 h\nremoved: [{from: rotor/1, serial: R-1"+more+"}]\n")
	}
	for _, row := range []struct {
		name string
		b    func(b *bench) *bench
		part string
		want string
		from string
	}{
		{"new, since the first build", nil, "serial: R-1, origin: new", "60 ± 2 h", "new"},
		{"not said, since the first build", nil, "serial: R-1", "60 ± 2 h", "there since the first build"},
		{"used, and nobody says how long", nil, "serial: R-1, origin: used", "", ""},
		{"by the spec", nil, "serial: R-1, origin: used, hours_at_fitting: 30 h", "90 ± 2 h", "the spec"},
		{"by the spec, fitted at 40 h", nil, "serial: R-1, origin: used, hours_at_fitting: 30 h, engine_hours_at_fitting: 40 h", "50 ± 2 h", "the spec"},
		{"fitted at 40 h, and nobody says how long it had run", nil, "serial: R-1, engine_hours_at_fitting: 40 h", "", ""},
		{"by its removal from another", func(b *bench) *bench { return left(b, ", hours: 75 h") }, "serial: R-1, origin: used, engine_hours_at_fitting: 40 h", "95 ± 2 h", "its removal from SK-02, engines/2024/SK-02/changes/2023-01-10-teardown-1.yaml:9"},
		{"a removal that tells no hours", func(b *bench) *bench { return left(b, "") }, "serial: R-1, origin: used", "", ""},
		{"by its file", func(b *bench) *bench {
			return b.part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: shelf, hours: 76 h, hours_error: 5 h}]\n")
		}, "serial: R-1, origin: used", "136 ± 5 h", "parts/R-1.yaml:4"},
		{"a removal of another", func(b *bench) *bench { return left(b, ", hours: 75 h") }, "serial: R-9, origin: used", "", ""},
	} {
		b := begin(t).engine("SK-01", 1, "  rotor/2: {"+row.part+"}\n").change("SK-01", 1, "2024-05-01", "event", to60)
		if row.b != nil {
			b = row.b(b)
		}
		s := b.shop()
		run := s.Run(seat(t, s, "SK-01", "rotor/2"))
		require.Equal(t, row.from, run.From, row.name)
		if row.want == "" {
			require.Nil(t, run.Now, row.name)
			require.NotEmpty(t, run.Why, row.name)
			continue
		}
		require.NotNil(t, run.Now, row.name+": "+run.Why)
		require.Equal(t, row.want, run.Now.String(), row.name)
	}
}

// A part fitted by a replacement counts from there; an engine nobody counted
// tells nothing.
func TestRunSinceAReplacement(t *testing.T) {
	s := begin(t).engine("SK-01", 2, "  rotor/2: {serial: R-1, origin: new}\n  rotor/1: {serial: R-2}\n").
		change("SK-01", 2, "2024-05-01", "replacement", "hours: 40 h\ntouches: [rotor/1, rotor/2]\n").change("SK-01", 2, "2024-06-01", "event", to60).shop()
	require.Equal(t, "20 ± 2 h", s.Run(seat(t, s, "SK-01", "rotor/2")).Now.String())
	require.Nil(t, s.Run(seat(t, s, "SK-01", "rotor/1")).Now, "what a part of no said origin had run in build 2 is not none")
	s = begin(t).engine("SK-01", 1, "  rotor/2: {serial: R-1, origin: new}\n").shop()
	require.Equal(t, "no record gives the engine's hours", s.Run(seat(t, s, "SK-01", "rotor/2")).Why)
}

// Where a part was and is, as its present records tell: fitted at and found at
// apart, crack tests apart from readings.
func TestFind(t *testing.T) {
	s := begin(t).engine("SK-01", 2, "  rotor/2: {serial: R-1, part: RT-80, origin: used, hours_at_fitting: 30 h}\n  rotor/1/apex/1: {lot: B-14}\n  rotor/1/apex/2: {lot: B-14}\n").
		change("SK-01", 2, "2024-05-01", "replacement", delivered+"touches: [rotor/2]\nremoved: [{from: rotor/1/apex/1, found_at: rotor/1/apex/3, lot: B-14, to: kept as evidence}]\n").
		engine("SK-02", 1, "").change("SK-02", 1, "2023-01-10", "teardown", "removed: [{from: rotor/1, serial: R-1, hours: 30 h, to: another engine, where: SK-01}]\n").
		test("SK-01", 2, "2024-05-03", "", "rotor/2: R-1", "rotor/2: clear").
		part("B-14", "lot: B-14\npieces: 12\nwhereabouts: [{since: 2023-01-01, is: another engine, pieces: 6}]\n").shop()
	life, ok := s.Find("R-1")
	require.True(t, ok)
	require.False(t, life.Lot)
	require.Equal(t, "fitted in SK-01 at rotor/2", life.Place.String())
	require.Equal(t, "30 h", life.Place.Hours.String())
	var told []string
	for _, e := range life.Events {
		told = append(told, fmt.Sprint(e.Date.Day(), " ", e.What, " ", e.Engine, " ", e.Position))
	}
	require.Equal(t, []string{"2023-01-10 removed SK-02 rotor/1", "2024-05-01 fitted SK-01 rotor/2", "2024-05-03 crack test SK-01 rotor/2"}, told)

	lot, ok := s.Find("B-14")
	require.True(t, ok)
	require.True(t, lot.Lot)
	require.Equal(t, "fitted at 2 positions of SK-01", lot.Place.String())
	left, _ := lot.File.Left()
	require.Equal(t, 6, left)
	for _, e := range lot.Events {
		if e.What == travel.Removed {
			require.Equal(t, []string{"rotor/1/apex/1", "rotor/1/apex/3", "kept as evidence"}, []string{e.Position, e.FoundAt, e.To})
		}
	}
	_, ok = s.Find("R-2")
	require.False(t, ok)
}

// The latest of removals and moves tells where a part is that no spec has.
func TestPlaceOutsideEngines(t *testing.T) {
	b := func() *bench {
		return begin(t).engine("SK-02", 1, "").change("SK-02", 1, "2023-01-10", "teardown", "removed: [{from: rotor/1, serial: R-1, to: shelf, where: C 2}, {from: rotor/2, serial: R-2}]\n")
	}
	place := func(b *bench, name string) string {
		life, ok := b.shop().Find(name)
		require.True(t, ok)
		return life.Place.String()
	}
	require.Equal(t, "shelf, C 2", place(b(), "R-1"))
	require.Equal(t, "taken out of SK-02", place(b(), "R-2"))
	require.Equal(t, "out for plating, S-04", place(b().part("R-1", "serial: R-1\nwhereabouts: [{since: 2023-02-01, is: out for plating, where: S-04}]\n"), "R-1"))
	require.Equal(t, "shelf, C 2", place(b().part("R-1", "serial: R-1\nwhereabouts: [{since: 2022-02-01, is: scrap}]\n"), "R-1"))
	require.Equal(t, "not recorded", place(b().part("R-3", "serial: R-3\n"), "R-3"))
}
