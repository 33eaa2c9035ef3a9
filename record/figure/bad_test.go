package figure_test

import (
	"encoding/hex"
	"math"
	"math/rand/v2"
	"regexp"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// sound holds what is true of every set, whatever the records say: numbers are
// finite, what is missing says why, and the file written of it reads back.
func sound(t testing.TB, s *figure.Set) {
	t.Helper()
	for _, r := range s.Results {
		require.False(t, math.IsNaN(r.Value) || math.IsInf(r.Value, 0), "%s at %s", r.Figure.ID, r.At)
		_, err := strconv.ParseFloat(r.Text(), 64)
		require.NoError(t, err, "%s at %s", r.Figure.ID, r.At)
	}
	for _, m := range s.Missing {
		require.True(t, len(m.Needs) > 0 != (m.Why != ""), "%s at %s: %v, %q", m.Figure.ID, m.At, m.Needs, m.Why)
	}
	digest, err := hex.DecodeString(s.Digest())
	require.NoError(t, err)
	require.Len(t, digest, 32)
	stored, ok := figure.Decode(s.Encode(nil))
	require.True(t, ok)
	require.True(t, stored.Fresh(s))
}

// What a formula does not hold for is said in its words, and nothing is made
// up: neither a number nor a stop of the program.
func TestImpossibleSizesSayWhy(t *testing.T) {
	spec := func(raw string, path ...string) func(s *shelf) {
		return func(s *shelf) { s.set(t, "spec.yaml", raw, path...) }
	}
	for _, row := range []struct {
		name   string
		change func(s *shelf)
		id, at string
		why    string // behind the file and the line it stands on
	}{
		{"bore crossing itself", spec("42 mm", "geometry", "generating_radius"), "geometry.bore_perimeter", "engine", "generating-radius"},
		{"bore far too small", spec("10 mm", "geometry", "generating_radius"), "chamber.swept_volume", "engine", "generating-radius"},
		{"no throw", spec("0 mm", "geometry", "eccentricity"), "counterweight.unbalance", "counterweight/front", "eccentricity must be greater than zero"},
		{"throw below nothing", spec("-14 mm", "geometry", "eccentricity"), "chamber.swept_volume", "engine", "eccentricity must be greater than zero"},
		{"no width", spec("0 mm", "geometry", "chamber_width"), "chamber.swept_volume", "engine", "chamber-width must be greater than zero"},
		{"tip below nothing", spec("-2 mm", "geometry", "seal_tip_radius"), "geometry.bore_major", "engine", "seal-tip-radius must not be negative"},
		{"relief below nothing", spec("-1 mm", "geometry", "flank_relief"), "compression.ratio", "engine", "flank-clearance"},
		{"three phases", spec("[0 deg, 120 deg, 240 deg]", "geometry", "phases"), "counterweight.unbalance", "counterweight/rear", "geometry.phases has 3 entries for 2 rotors"},
		{"one station", spec("[0 mm]", "geometry", "stations"), "balance.couple", "engine", "geometry.stations has 1 entries for 2 rotors"},
		{"planes at one place", spec("250 mm", "balance", "front_plane"), "balance.oil_effect", "counterweight/front", "counterweights: "},
		{"no speed told", spec("0 rpm", "balance", "speed"), "balance.permissible", "counterweight/front", "speed must be greater than zero"},
		{"speed below nothing", spec("-8800 rpm", "operating", "speed_momentary"), "apex_seal.sliding_speed_mean", "engine", "speed must not be negative"},
		{"a ratio beyond reach", spec("19", "targets", "compression_ratio"), "compression.pocket_for_target", "engine", "pocket-volume: "},
		{"intake closing a turn late", spec("720 deg", "porting", "intake_closes"), "compression.effective_ratio", "engine", "intake-closing"},
		{"nominal pocket below nothing", func(s *shelf) {
			s.replace(t, "spec.yaml", "geometry:\n", "geometry:\n  pocket_volume: -5 cm3\n")
			s.cut(t, mockUp1, "readings", "pocket_volume")
		}, "compression.ratio", "engine", "pocket-volume"},
		{"a run standing still", func(s *shelf) {
			s.replace(t, "measurements/2017-05-04-dyno-KM.yaml", "columns: [speed rpm, torque N m]", "columns: [speed rpm, power kW]")
			s.replace(t, "measurements/2017-05-04-dyno-KM.yaml", "[6000, 171.0]", "[0, 0.1]")
		}, "torque.peak", "engine", "speed must be greater than zero"},
	} {
		s := build1(t)
		row.change(s)
		set := s.computeAnyway(t)
		sound(t, set)
		why := needed(t, set, row.id, row.at).Why
		require.Contains(t, why, row.why, row.name)
		require.Regexp(t, `^engines/2017/SK-01/\S+\.yaml:\d+: `, why, row.name)
	}
}

// A journal larger than its bearing is a number below nothing and fails: it is
// the person's slip or the person's trouble, and both want to be seen.
func TestJournalLargerThanItsBearing(t *testing.T) {
	s := build1(t).replace(t, mockUp1, "shaft/lobe/1/front/x: 73.998", "shaft/lobe/1/front/x: 74.070").replace(t, mockUp1, "shaft/lobe/1/rear/x: 73.999", "shaft/lobe/1/rear/x: 74.071")
	set := s.compute(t)
	sound(t, set)
	r := result(t, set, "bearing.oil_clearance", "bearing/rotor/1")
	require.Equal(t, "-0.006", r.Text()) // 74.064 − 74.070
	require.Equal(t, figure.Fails, r.Verdict)
	require.Equal(t, "-0.008", result(t, set, "bearing.oil_clearance_smallest", "bearing/rotor/1").Text())
	overlap := set.Overlaps()
	require.Len(t, overlap, 1, "the largest and the smallest clearance are one fit")
	require.Equal(t, "bearing_bore at bearing/rotor/1/rear/x", overlap[0].Outer.Name, "the smallest bore, 74.063")
	require.Equal(t, "journal_diameter at shaft/lobe/1/rear/x", overlap[0].Inner.Name, "the largest journal, 74.071")
	require.Empty(t, build1(t).compute(t).Overlaps())
}

// A run that stands still gives no power, and the other rows still count.
func TestRowAtNoSpeed(t *testing.T) {
	s := build1(t).replace(t, "measurements/2017-05-04-dyno-KM.yaml", "[6000, 171.0]", "[0, 171.0]")
	set := s.compute(t)
	sound(t, set)
	require.Equal(t, "158.0", result(t, set, "power.peak", "engine").Text())
}

// Without a number of rotors nothing is reckoned as if there were none: no
// ratio without pockets, no shaft in perfect balance.
func TestWithoutANumberOfRotors(t *testing.T) {
	for _, raw := range []string{"0", "13", "-2", "many", "~"} {
		set := build1(t).set(t, "spec.yaml", raw, "geometry", "rotors").computeAnyway(t)
		sound(t, set)
		for _, f := range []struct{ id, at string }{
			{"compression.ratio", "engine"}, {"balance.static", "engine"}, {"balance.couple", "engine"}, {"engine.displacement", "engine"},
			{"counterweight.unbalance", "counterweight/front"}, {"power.per_rotor", "engine"}, {"power.bmep", "engine"},
		} {
			require.Contains(t, needed(t, set, f.id, f.at).Needs, "geometry.rotors in spec.yaml", "%s, rotors: %s", f.id, raw)
		}
		require.Equal(t, "567.15", result(t, set, "chamber.swept_volume", "engine").Text(), "one chamber needs no count")
	}
}

// numbersIn are the spans of all numbers in the records of an engine.
type span struct {
	file       string
	start, end int
}

func numbersIn(s *shelf) []span {
	var all []span
	for file, text := range s.files {
		for _, at := range regexp.MustCompile(`[\d.]*\d`).FindAllStringIndex(text, -1) {
			all = append(all, span{file, at[0], at[1]})
		}
	}
	sort.Slice(all, func(i, j int) bool {
		if all[i].file != all[j].file {
			return all[i].file < all[j].file
		}
		return all[i].start < all[j].start
	})
	return all
}

// with writes another number at a span.
func (s *shelf) with(at span, number string) *shelf {
	text := s.files[at.file]
	s.files[at.file] = text[:at.start] + number + text[at.end:]
	return s
}

// Whatever numbers stand in the records, every figure is a finite number or
// says why there is none.
func TestNastyNumbers(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(1, 2026))
	nasty := []string{"0", "-1", "-0.0", "1e30", "-1e30", "1e-30", "0.0000001", "3", "99", "99999999999", "1/3", ".5", "1e999", "NaN"}
	demo := build2(t)
	spans := numbersIn(demo)
	require.Greater(t, len(spans), 900)
	rounds := 60
	if testing.Short() {
		rounds = 6
	}
	for range rounds {
		s := demo.clone()
		for range 1 + random.IntN(3) {
			at := spans[random.IntN(len(spans))]
			if at.end <= len(s.files[at.file]) {
				s.with(at, nasty[random.IntN(len(nasty))])
			}
		}
		if e, limits, _ := s.load(); e != nil {
			sound(t, figure.Compute(e, limits))
		}
	}
}

// The same, with numbers and places of the fuzzer's own choice.
func FuzzFigures(f *testing.F) {
	demo := build2(f)
	spans := numbersIn(demo)
	f.Add(uint16(0), 0.0, uint16(40), 1.0)
	f.Add(uint16(700), -1e300, uint16(701), 1e-300)
	f.Add(uint16(900), 14.0, uint16(905), 42.0)
	f.Fuzz(func(t *testing.T, first uint16, x float64, second uint16, y float64) {
		s := demo.clone()
		a, b := spans[int(first)%len(spans)], spans[int(second)%len(spans)]
		if a.file == b.file && a.start > b.start {
			a, b, x, y = b, a, y, x
		}
		s.with(b, strconv.FormatFloat(y, 'f', -1, 64)) // the later one first: it moves no span before it
		if a != b {
			s.with(a, strconv.FormatFloat(x, 'g', -1, 64))
		}
		if e, limits, _ := s.load(); e != nil {
			sound(t, figure.Compute(e, limits))
		}
	})
}
