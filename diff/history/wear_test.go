package history_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/travel"
)

// worn is a book of invented engines of one rotor.
type worn struct {
	t     *testing.T
	files map[string][]record.File
}

func wornBook(t *testing.T) *worn { return &worn{t, map[string][]record.File{}} }

func (w *worn) file(engine, name, text string) *worn {
	w.files[engine] = append(w.files[engine], record.File{Path: "engines/2020/" + engine + "/" + name, Data: []byte(text)})
	return w
}

// engine adds an engine with its parts: "  plate/1: {serial: P-1}\n".
func (w *worn) engine(number string, build int, parts string) *worn {
	return w.file(number, "spec.yaml", fmt.Sprintf("format: spec/1\nengine: %s\nid: 7f3a-91c0-%s\ntitle: an engine\ncustomer: C-01\nbuild: %d\ngeometry: {rotors: 1}\nparts:\n%s", number, number, build, parts))
}

// read adds a session of one reading.
func (w *worn) read(engine string, build int, date, stage string, hours float64, parts, point, key, value string) *worn {
	return w.file(engine, "measurements/"+date+"-"+stage+"-KM.yaml", fmt.Sprintf("format: measurements/1\nengine: %s\nbuild: %d\nstage: %s\ndate: %s\nby: KM\nhours: %v h\nparts: {%s}\nreadings:\n  %s: {unit: mm, %s: %s}\n",
		engine, build, stage, date, hours, parts, point, key, value))
}

func (w *worn) change(engine string, build int, date, kind string, hours float64, more string) *worn {
	return w.file(engine, "changes/"+date+"-"+kind+".yaml", fmt.Sprintf("format: change/1\nengine: %s\nbuild: %d\ndate: %s\nkind: %s\nby: KM\nhours: %v h\nwhat: a change\n%s", engine, build, date, kind, hours, more))
}

// series reads one size at several hours of one build, half a year apart.
func (w *worn) series(engine, point, key string, hours []float64, values []string) *worn {
	for i, h := range hours {
		w.read(engine, 1, fmt.Sprintf("20%02d-0%d-01", 20+i/2, 1+i%2*6), "after-cleaning", h, "", point, key, values[i])
	}
	return w
}

func (w *worn) load(engine string) *record.Engine {
	w.t.Helper()
	e, problems := record.Load("engines/2020/"+engine, w.files[engine])
	require.Empty(w.t, problems)
	return e
}

func (w *worn) limits(lines string) *record.LimitSet {
	w.t.Helper()
	set, problems := record.ReadLimits(record.File{Path: "limits/shop.yaml", Data: []byte("format: limits/1\nname: shop\nlimits:\n" + lines)})
	require.Empty(w.t, problems)
	return set
}

func (w *worn) wear(engine, limits string, interval *float64) []*history.Wear {
	w.t.Helper()
	var engines []*record.Engine
	for number := range w.files {
		engines = append(engines, w.load(number))
	}
	shop := travel.New(engines, nil, nil)
	for _, e := range shop.Engines {
		if e.Number == engine {
			var set *record.LimitSet
			if limits != "" {
				set = w.limits(limits)
			}
			return history.WearOf(shop, e, set, interval)
		}
	}
	return nil
}

const seal = "rotor/1/apex/1"

// Three series with their fits worked by an independent program in 50 digits:
// the rate, its 95 % interval, the scatter, and when the line and one more
// reading could be at a limit. These are own calculations, not measurements.
func TestWearAgainstWorkedCases(t *testing.T) {
	for _, row := range []struct {
		point, key, limit    string
		hours                []float64
		values               []string
		start, rate, band, s float64
		on, earliest, latest float64
		trend                history.Trend
		again                float64
		because              history.Because
	}{
		{"apex_seal_height", seal, "apex_seal_height: {reuse: {min: 7 mm}, source: shop}", []float64{0, 12, 25, 40, 58, 75}, []string{"8", "7.978", "7.951", "7.925", "7.888", "7.857"},
			8.0001889, -0.0019149202, 5.2905163e-05, 0.0012063486, 522.31362, 509.08024, 536.29149, history.Shrinks, 150, history.ByObserved},
		{"apex_seal_height", seal, "apex_seal_height: {reuse: {min: 7.5 mm}, source: shop}", []float64{0, 8, 15, 31, 44}, []string{"8.005", "7.99", "7.981", "7.948", "7.927"},
			8.0053443, -0.0017930762, 0.00017153644, 0.001917233, 281.83091, 258.65927, 309.84675, history.Shrinks, 88, history.ByObserved},
		{"step_wear", "plate/1/rear/track/side", "step_wear: {reuse: {max: 0.15 mm}, source: shop}", []float64{0, 20, 45, 70, 96, 120, 150}, []string{"0.062", "0.069", "0.074", "0.083", "0.089", "0.099", "0.106"},
			0.062020197, 0.00029512698, 2.3450379e-05, 0.001209689, 298.1083, 278.1976, 320.89772, history.Grows, 278.1976, history.ByLimit},
	} {
		sizes := wornBook(t).engine("SK-01", 1, "  plate/1: {part: PL-F}\n  "+seal+": {part: AS-3C, lot: B-1}\n").series("SK-01", row.point, row.key, row.hours, row.values).wear("SK-01", "  "+row.limit+"\n", nil)
		require.Len(t, sizes, 1)
		w := sizes[0]
		require.Equal(t, row.trend, w.Trend)
		require.True(t, w.Fitted && w.Own)
		for _, pair := range [][2]float64{{row.start, w.Line.B0}, {row.rate, w.Line.B1}, {row.band, w.Band}, {row.s, w.Line.S}, {row.on, w.Reach.On}, {row.earliest, w.Reach.Earliest}, {row.latest, w.Reach.Latest}, {row.again, w.Next.Hours}} {
			require.InEpsilon(t, pair[0], pair[1], 1e-6) // printed to eight digits
		}
		require.Equal(t, row.because, w.Next.Because)
		// By how these hours are defined: the line is at the limit at one, and an
		// end of the interval of one more reading at the other.
		limit, _, _, ok := w.Forecast(row.on)
		_, low, high, _ := w.Forecast(row.earliest)
		require.True(t, ok)
		require.InEpsilon(t, w.Limit.Value, limit, 1e-6)
		require.InEpsilon(t, w.Limit.Value, map[bool]float64{true: high, false: low}[w.Limit.Most], 1e-6)
		require.InDelta(t, w.Next.Hours, *w.Next.Engine, 1e-9)
	}
}

// What bounds the time to measure again, and what tells nothing. Where it is the
// limit, bisection of the band by a script of five lines gave the hours.
func TestWearMeasureAgain(t *testing.T) {
	eighty, five := 80.0, 5.0
	steady := []string{"0.010", "0.020", "0.031", "0.040", "0.051"}
	at := []float64{0, 10, 20, 30, 40}
	for _, row := range []struct {
		name     string
		hours    []float64
		values   []string
		limit    string
		interval *float64
		trend    history.Trend
		because  history.Because
		again    float64
	}{
		{"twice the hours observed", at, steady, "{max: 0.5 mm}", &eighty, history.Grows, history.ByObserved, 80},
		{"the shop's interval", at, steady, "{max: 0.5 mm}", &five, history.Grows, history.ByInterval, 45},
		{"the limit", at, steady, "{max: 0.07 mm}", nil, history.Grows, history.ByLimit, 56.27},
		{"beyond it", at, steady, "{max: 0.05 mm}", nil, history.Grows, history.Already, 40},
		{"away from its limit", at, steady, "{min: 0.001 mm}", nil, history.Grows, "", 0},
		{"no limit for re-use", at, steady, "", nil, history.Grows, "", 0},
		{"three readings leave t at 12.7", at[:3], []string{"0.010", "0.020", "0.040"}, "{max: 0.5 mm}", nil, history.NoTrend, "", 0},
		{"two readings", at[:2], steady[:2], "{max: 0.5 mm}", nil, history.TooFew, "", 0},
		{"nothing moves", at, []string{"0.01", "0.01", "0.01", "0.01", "0.01"}, "{max: 0.5 mm}", nil, history.NoTrend, "", 0},
	} {
		limits := "  step_wear: {new: {max: 1 mm}, source: shop}\n"
		if row.limit != "" {
			limits = "  step_wear: {reuse: " + row.limit + ", source: shop}\n"
		}
		sizes := wornBook(t).engine("SK-01", 1, "  plate/1: {serial: P-1}\n").series("SK-01", "step_wear", "plate/1/rear/track/side", row.hours, row.values).wear("SK-01", limits, row.interval)
		require.Len(t, sizes, 1, row.name)
		require.Equal(t, row.trend, sizes[0].Trend, row.name)
		if row.because == "" {
			require.Nil(t, sizes[0].Next, row.name)
			continue
		}
		require.Equal(t, row.because, sizes[0].Next.Because, row.name)
		require.InDelta(t, row.again, sizes[0].Next.Hours, 0.05, row.name)
	}
}

// A limit that only stands for reference says nothing, nor does one of another
// size; and of masses, words and the assembly no wear is told.
func TestWearOfWhatDoesNotWear(t *testing.T) {
	at := []float64{0, 10, 20, 30}
	sizes := wornBook(t).engine("SK-01", 1, "  plate/1: {serial: P-1}\n").series("SK-01", "step_wear", "plate/1/rear/track/side", at, []string{"0.01", "0.02", "0.031", "0.04"}).
		wear("SK-01", "  step_wear: {reuse: {max: 0.1 mm}, reference_only: yes, source: shop}\n", nil)
	require.Nil(t, sizes[0].Limit)
	require.Nil(t, sizes[0].Next)
	require.Empty(t, wornBook(t).engine("SK-01", 1, "  plate/1: {serial: P-1}\n").series("SK-01", "end_float", "engine", at, []string{"0.05", "0.06", "0.07", "0.08"}).wear("SK-01", "", nil))
	require.Empty(t, wornBook(t).engine("SK-01", 1, "  plate/1: {serial: P-1}\n").series("SK-01", "step_wear", "plate/1/rear/track/side", []float64{0, 0}, []string{"0.01", "0.02"}).wear("SK-01", "", nil), "nothing ran between")
}

// told is each size with the hours of its readings.
func toldWear(sizes []*history.Wear) []string {
	var lines []string
	for _, w := range sizes {
		var hours []string
		for _, r := range w.Readings {
			hours = append(hours, record.HoursText(r.Hours))
		}
		lines = append(lines, fmt.Sprintf("%s %s fitted %v own %v: %s", w.At, w.Serial, w.Fitted, w.Own, strings.Join(hours, " ")))
	}
	return lines
}

// A new part begins a new series, and so does machining; one found on arrival
// counts; a part keeps its hours from engine to engine.
func TestWearSeries(t *testing.T) {
	const key, side = "plate/1/rear/track/side", "rotor/1/apex/1/mouth/front"
	for _, row := range []struct {
		name string
		w    *worn
		want []string
	}{
		{"another serial", wornBook(t).engine("SK-01", 2, "  plate/1: {serial: P-2, origin: new}\n").
			read("SK-01", 1, "2020-01-01", "mock-up", 0, "plate/1: P-1", "step_wear", key, "0.00").read("SK-01", 2, "2021-01-01", "after-cleaning", 50, "plate/1: P-1", "step_wear", key, "0.05").
			change("SK-01", 2, "2021-02-01", "replacement", 50, "touches: [plate/1]\nremoved: [{from: plate/1, serial: P-1, hours: 70 h}]\n").
			read("SK-01", 2, "2021-03-01", "mock-up", 50, "plate/1: P-2", "step_wear", key, "0.00").read("SK-01", 2, "2022-01-01", "running", 80, "plate/1: P-2", "step_wear", key, "0.02"),
			[]string{key + " P-1 fitted false own true: 20 70", key + " P-2 fitted true own true: 0 30"}},
		{"replaced, without serials", wornBook(t).engine("SK-01", 2, "  plate/1: {part: PL-F}\n").
			read("SK-01", 1, "2020-01-01", "mock-up", 0, "", "step_wear", key, "0.00").read("SK-01", 2, "2021-01-01", "as-found", 50, "", "step_wear", key, "0.05").
			change("SK-01", 2, "2021-01-01", "replacement", 50, "touches: [plate/1]\n").
			read("SK-01", 2, "2021-01-01", "mock-up", 50, "", "step_wear", key, "0.00").read("SK-01", 2, "2022-01-01", "running", 80, "", "step_wear", key, "0.02"),
			[]string{key + "  fitted false own false: 0 50", key + "  fitted true own false: 0 30"}},
		{"lapped", wornBook(t).engine("SK-01", 2, "  plate/1: {serial: P-1}\n").
			read("SK-01", 1, "2020-01-01", "mock-up", 0, "plate/1: P-1", "step_wear", key, "0.00").read("SK-01", 2, "2021-01-01", "after-cleaning", 50, "plate/1: P-1", "step_wear", key, "0.05").
			change("SK-01", 2, "2021-02-01", "machining", 50, "touches: [plate/1/rear]\n").
			read("SK-01", 2, "2021-03-01", "machining", 50, "plate/1: P-1", "step_wear", key, "0.00"),
			[]string{key + " P-1 fitted false own true: 0 50"}},
		{"machined elsewhere", wornBook(t).engine("SK-01", 2, "  plate/1: {serial: P-1}\n").
			read("SK-01", 1, "2020-01-01", "mock-up", 0, "plate/1: P-1", "step_wear", key, "0.00").change("SK-01", 2, "2021-02-01", "machining", 50, "touches: [plate/1/front]\n").
			read("SK-01", 2, "2021-03-01", "after-cleaning", 50, "plate/1: P-1", "step_wear", key, "0.05"),
			[]string{key + " P-1 fitted true own true: 0 50"}},
		{"out of another engine", wornBook(t).engine("SK-02", 2, "  plate/1: {serial: P-9}\n").
			read("SK-02", 1, "2019-01-01", "mock-up", 10, "rotor/1: R-1", "apex_groove_width", side, "3.060").
			change("SK-02", 2, "2020-01-01", "replacement", 90, "touches: [rotor/1]\nremoved: [{from: rotor/1, serial: R-1, hours: 60 h, to: another engine}]\n").
			engine("SK-01", 1, "  rotor/1: {serial: R-1, origin: used, hours_at_fitting: 60 h}\n").
			read("SK-01", 1, "2020-02-01", "mock-up", 0, "rotor/1: R-1", "apex_groove_width", side, "3.064").read("SK-01", 1, "2021-02-01", "running", 40, "rotor/1: R-1", "apex_groove_width", side, "3.066"),
			[]string{side + " R-1 fitted true own true: -20 60 100"}},
	} {
		require.Equal(t, row.want, toldWear(row.w.wear("SK-01", "", nil)), row.name)
	}
}
