package figure_test

import (
	"math"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
)

// FuzzCompute gives the figure machine whatever a person could have written,
// right or wrong: it never panics, and what it shows is a number.
func FuzzCompute(f *testing.F) {
	for _, step := range []string{"07", "15"} {
		s := demoTo(f, step)
		for name, text := range s.files {
			if ok, _ := filepath.Match("measurements/*dyno*", name); ok {
				f.Add(s.files["spec.yaml"], text)
			}
		}
	}
	answers := knownAnswers(f)
	for _, row := range answersThroughFigures {
		files := row.filled(f, answers[row.ids[0]]).files()
		f.Add(string(files[0].Data), string(files[len(files)-1].Data))
	}
	f.Add(smallHead+fourRotorPorts, "")
	limits := readLimitsOfTheDemo(f)
	f.Fuzz(func(t *testing.T, spec, session string) {
		requireSense(t, []record.File{
			{Path: demoEngine + "/spec.yaml", Data: []byte(spec)},
			{Path: demoEngine + "/measurements/2024-03-02-dyno-KM.yaml", Data: []byte(session)},
		}, limits)
	})
}

// Every number of every chapter's record, one at a time, is made nothing, far too
// much, or negative.
func TestNastyNumbersOfEveryChapter(t *testing.T) {
	t.Parallel()
	answers, limits := knownAnswers(t), readLimitsOfTheDemo(t)
	number := regexp.MustCompile(`[-]?\d+(\.\d+)?( |\}|,|\])`)
	bad := []string{"0", "1e9", "-3.5", "1e-9"}
	if testing.Short() {
		bad = bad[:1]
	}
	for _, row := range answersThroughFigures {
		files := row.filled(t, answers[row.ids[0]]).files()
		for i, f := range files {
			for _, span := range number.FindAllIndex(f.Data, -1) {
				for _, nasty := range bad {
					changed := slices.Clone(files)
					changed[i].Data = slices.Concat(f.Data[:span[0]], []byte(nasty), f.Data[span[1]-1:])
					requireSense(t, changed, limits)
				}
			}
		}
	}
}

// requireSense computes an engine's figures: what is shown is a number, and what
// is not has its reason.
func requireSense(t *testing.T, files []record.File, limits *record.LimitSet) {
	t.Helper()
	e, _ := record.Load(path.Dir(files[0].Path), files)
	if e == nil {
		return
	}
	set := figure.Compute(e, limits)
	for _, r := range set.Results {
		requireNumbers(t, r)
	}
	set.Encode(nil)
	for _, m := range set.Missing {
		require.True(t, len(m.Needs) > 0 || m.Why != "", "%s at %s is missing for no reason", m.Figure.ID, m.At)
	}
}

func requireNumbers(t *testing.T, r *figure.Result) {
	t.Helper()
	finite := func(x float64) { require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s at %s", r.Figure.ID, r.At) }
	finite(r.Value)
	require.NotEmpty(t, r.Text())
	if r.Uncertainty != nil {
		finite(r.Uncertainty.Expanded)
	}
	if r.Extent != nil {
		finite(r.Extent.Low)
		finite(r.Extent.High)
	}
}

func readLimitsOfTheDemo(tb testing.TB) *record.LimitSet {
	tb.Helper()
	data, err := os.ReadFile(filepath.Join(demoRoot, "..", "book", "01-begin", "limits", "skarvik-race.yaml"))
	require.NoError(tb, err)
	set, problems := record.ReadLimits(record.File{Path: "limits/skarvik-race.yaml", Data: data})
	require.Empty(tb, problems)
	return set
}
