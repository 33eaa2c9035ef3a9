package app

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/travel"
)

var update = flag.Bool("update", false, "write the golden pages anew")

// wornEngine is a one-rotor of which some sizes were read at several hours: a
// seal that wears, a groove that shows no trend, a plate read twice.
func wornEngine(t *testing.T) *act.WearOf {
	t.Helper()
	file := func(name, text string) record.File {
		return record.File{Path: "engines/2020/SK-05/" + name, Data: []byte(text)}
	}
	files := []record.File{file("spec.yaml", "format: spec/1\nengine: SK-05\nid: 7f3a-91c0-55de\ntitle: one rotor\nbuild: 1\ngeometry: {rotors: 1}\nparts:\n"+
		"  rotor/1: {part: RT-80, serial: R-1}\n  rotor/1/apex/1: {part: AS-3C, lot: B-1}\n  plate/1: {part: PL-F, serial: P-1}\n")}
	groove := []string{"3.060", "3.066", "3.061", "3.067", "3.062", "3.064"}
	for i, hours := range []float64{0, 12, 25, 40, 58, 75} {
		plate := ""
		if i == 0 || i == 3 {
			plate = fmt.Sprintf("  step_wear: {unit: mm, plate/1/rear/track/side: 0.0%d}\n", i+1)
		}
		files = append(files, file(fmt.Sprintf("measurements/2020-0%d-01-after-cleaning-KM.yaml", i+1), fmt.Sprintf(
			"format: measurements/1\nengine: SK-05\nbuild: 1\nstage: after-cleaning\ndate: 2020-0%d-01\nby: KM\nhours: %v h\nreadings:\n  apex_seal_height: {unit: mm, rotor/1/apex/1: %s}\n  apex_groove_width: {unit: mm, rotor/1/apex/1/mouth/front: %s}\n%s",
			i+1, hours, []string{"8", "7.978", "7.951", "7.925", "7.888", "7.857"}[i], groove[i], plate)))
	}
	e, problems := record.Load("engines/2020/SK-05", files)
	require.Empty(t, problems)
	limits, problems := record.ReadLimits(record.File{Path: "limits/shop.yaml", Data: []byte("format: limits/1\nname: shop\nlimits:\n  apex_seal_height: {reuse: {min: 7 mm}, source: shop}\n")})
	require.Empty(t, problems)
	w := &act.WearOf{Loaded: &act.Loaded{}, Sizes: history.WearOf(travel.New([]*record.Engine{e}, nil, nil), e, limits, nil)}
	w.Engine = e
	return w
}

func photograph(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 2, 1))))
	return b.Bytes()
}

// Wear and photographs on the page, as was agreed on.
func TestWearAndPicturesGolden(t *testing.T) {
	const by = "engines/2020/SK-05/changes/2020-03-01-found.yaml"
	d := &page.Document{Title: "SK-05", Sections: []page.Section{wearSection(wornEngine(t)), pictureSection([]act.Picture{
		{File: "photos/a.png", Caption: "chatter", At: "housing/1", Record: by, Data: photograph(t)},
		{File: "photos/gone.png", Record: by, Missing: "the attachment photos/gone.png is not there"},
		{File: "photos/b.png", Record: by, LeftOut: true, Missing: "left out"},
	})}}
	for form, write := range map[string]func(*bytes.Buffer) error{
		"html": func(b *bytes.Buffer) error { return page.HTML(b, d) },
		"md":   func(b *bytes.Buffer) error { return page.Markdown(b, d) },
	} {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		// The head and its style have golden pages of their own.
		got := b.String()[max(0, strings.Index(b.String(), "<body>")):]
		file := filepath.Join("testdata", "wear."+form)
		if *update {
			require.NoError(t, os.MkdirAll("testdata", 0o755))
			require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), got)
	}
}

// A size with a trend has a picture of its own, those without stand over one
// another, and of one read twice there is nothing to draw. No picture goes
// further than to where it is to be measured again.
func TestDrawWear(t *testing.T) {
	w := wornEngine(t)
	require.Len(t, w.Sizes, 3)
	list := drawWear(w)
	require.Len(t, list, 2)
	assert.Equal(t, "Apex seal height at rotor/1/apex/1 (B-1)", list[0].Title)
	assert.Equal(t, "Apex seal groove width at rotor/1 (R-1)", list[1].Title)
	assert.Subset(t, list[0].Texts(), []string{"as read", "straight line", "one more reading, 95 %", "limit: at least 7.000 mm", "150"})
	assert.NotContains(t, list[0].Texts(), "200")
	assert.Contains(t, list[1].Texts(), "apex/1/mouth/front")

	many := &act.WearOf{Loaded: w.Loaded}
	seal := slices.IndexFunc(w.Sizes, func(size *history.Wear) bool { return size.Trend == history.Shrinks })
	require.GreaterOrEqual(t, seal, 0)
	for range mostWearDrawings + 3 {
		many.Sizes = append(many.Sizes, w.Sizes[seal])
	}
	s := wearSection(many)
	assert.Len(t, s.Drawings, mostWearDrawings)
	assert.Equal(t, []string{"3 drawings more would show the rest of the table."}, s.Text)
	assert.NotEmpty(t, wearSection(&act.WearOf{Loaded: w.Loaded}).Text)
}
