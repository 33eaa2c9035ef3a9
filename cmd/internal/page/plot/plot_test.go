package plot

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// samples are a drawing of each kind, of the invented SK-01.
var samples = map[string]func() Drawing{
	"curves": func() Drawing {
		return Curves{Title: "Power over speed", Words: "A line a run.", X: Axis{Label: "speed, rpm"}, Y: Axis{Label: "power, kW"}, Series: []Series{
			{Name: "build 1", Points: []Point{{X: 6000, Y: 107.4}, {X: 7600, Y: 145.8}, {X: 8400, Y: 158}, {X: 8800, Y: 156.2}}},
			{Name: "build 2", Points: []Point{{X: 6000, Y: 108.1}, {X: math.NaN(), Y: 1}, {X: 8400, Y: 161}}},
			{Name: "reckoned", Plain: true, Points: []Point{{X: 6000, Y: 100}, {X: 8800, Y: 160}}},
			{Name: "one point", Points: []Point{{X: 7000, Y: 120}}},
			{Name: "loose", Loose: true, Points: []Point{{X: 6500, Y: 130}, {X: 7500, Y: 140}}},
		}}.Draw()
	},
	"bands": func() Drawing {
		nan := math.NaN()
		return Bands{Title: "apex seal end gap", Words: "In the band each is judged by.", Axis: Axis{Label: "mm"}, Rows: []Banded{
			{Label: "rotor/2/apex/1", Value: 0.098, From: 0.092, To: 0.104, Low: 0.06, High: 0.12, Look: Disc},
			{Label: "rotor/2/apex/2", Value: 0.061, From: 0.055, To: 0.067, Low: 0.06, High: 0.12, Look: Ring},
			{Label: "rotor/2/apex/3", Value: 0.007, From: nan, To: nan, Low: 0.06, High: 0.12, Look: Cross},
			{Label: "open above", Value: 0.08, From: nan, To: nan, Low: 0.05, High: nan},
			{Label: "no band", Value: 0.08, From: nan, To: nan, Low: nan, High: nan},
		}}.Draw()
	},
	"spans": func() Drawing {
		return Spans{Title: "Port timing", Words: "When each is open.", Axis: Axis{Label: "shaft deg", Ticks: []Tick{{-540, "-540", "top"}, {0, "0", "top"}, {540, "540", "top"}}},
			Rows: []Span{{"rotor 1 exhaust", -345, 48, true}, {"rotor 1 intake", -86, 345, false}}}.Draw()
	},
	"bars": func() Drawing {
		return Bars{Title: "Port area", Words: "By rotor.", Axis: Axis{Label: "area, mm2"}, Rows: []Bar{{"rotor 1 exhaust", 1610, "1610", true}, {"rotor 1 intake", 1520, "1520", false}, {"less", -100, "-100", false}}}.Draw()
	},
	"vectors": func() Drawing {
		return Vectors{Title: "Unbalance", Words: "In two planes.", Planes: []Plane{
			{"counterweight/front", []Arrow{{"19480 g mm at 180 deg", 19480, 180}}},
			{"counterweight/rear", []Arrow{{"19284 g mm at 0 deg", 19284, 0}}},
		}}.Draw()
	},
}

// The same data give the same bytes, and those that were agreed on.
func TestGolden(t *testing.T) {
	for name, draw := range samples {
		t.Run(name, func(t *testing.T) {
			got := strings.ReplaceAll(draw().SVG("p1"), "><", ">\n<") + "\n"
			file := filepath.Join("testdata", name+".svg")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
			assert.Equal(t, draw().SVG("p1"), draw().SVG("p1"))
		})
	}
}

// element is one start tag of a picture.
type element struct {
	name string
	attr map[string]string
}

// elements reads a picture as XML; what is not well-formed is an error.
func elements(t *testing.T, svg string) []element {
	t.Helper()
	var list []element
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return list
		}
		require.NoError(t, err, svg)
		if start, ok := token.(xml.StartElement); ok {
			e := element{start.Name.Local, map[string]string{}}
			for _, a := range start.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			list = append(list, e)
		}
	}
}

// A picture names no colour, style, script, address or file: the page's style
// and policy hold. All of it lies inside its frame.
func TestPictureIsBare(t *testing.T) {
	for name, draw := range samples {
		svg := draw().SVG("p1")
		list := elements(t, svg)
		assert.NotRegexp(t, `style=|fill=|stroke=|#[0-9a-f]{3}|url\(|href|on[a-z]+=|<script|<image|<foreign`, svg, name)
		box := strings.Fields(list[0].attr["viewBox"])
		require.Len(t, box, 4)
		width, _ := strconv.ParseFloat(box[2], 64)
		height, _ := strconv.ParseFloat(box[3], 64)
		for _, e := range list[1:] {
			assert.Contains(t, []string{"title", "desc", "path", "rect", "circle", "text"}, e.name)
			for key, most := range map[string]float64{"x": width, "cx": width, "y": height, "cy": height} {
				if text, ok := e.attr[key]; ok {
					v, err := strconv.ParseFloat(text, 64)
					require.NoError(t, err, text)
					assert.True(t, v >= -0.05 && v <= most+0.05, "%s: %s of %s is %s", name, key, e.name, text)
				}
			}
			for _, place := range regexp.MustCompile(`(-?[0-9.]+),(-?[0-9.]+)`).FindAllStringSubmatch(e.attr["d"], -1) {
				x, _ := strconv.ParseFloat(place[1], 64)
				y, _ := strconv.ParseFloat(place[2], 64)
				assert.True(t, x >= -1 && x <= width+1 && y >= -1 && y <= height+1, "%s: %v", name, place)
			}
		}
	}
}

// What is no number is left out, and pictures of nothing are whole pictures.
func TestNoNumbers(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, d := range []Drawing{
		Curves{}.Draw(), Bands{}.Draw(), Spans{}.Draw(), Bars{}.Draw(), Vectors{}.Draw(),
		Curves{Series: []Series{{Name: "x", Points: []Point{{nan, 1}, {1, inf}, {2, 2}, {-inf, nan}}}}}.Draw(),
		Bands{Rows: []Banded{{Value: nan, From: nan, To: inf, Low: -inf, High: inf}}}.Draw(),
		Spans{Rows: []Span{{From: nan, To: 1}}}.Draw(),
		Bars{Rows: []Bar{{Value: inf}, {Value: nan}}}.Draw(),
		Vectors{Planes: []Plane{{Arrows: []Arrow{{Length: nan}, {Length: inf}, {Length: 1, Angle: nan}}}}}.Draw(),
		Curves{Series: []Series{{Points: []Point{{5, 5}}}}}.Draw(),
		Bars{Rows: []Bar{{Value: 1e300}, {Value: -1e300}}}.Draw(),
	} {
		svg := d.SVG("p")
		elements(t, svg)
		assert.NotRegexp(t, `NaN|Inf|[0-9]{12}`, svg)
	}
}

// Text of a record is data: shown, cut where it is long, and harmless.
func TestTextIsData(t *testing.T) {
	for _, text := range []string{`<script>alert(1)</script>`, `"/><image href=x onerror=alert(1)>`, "R-\u202e7711", "a\x00b\x1b[31m", strings.Repeat("long ", 4000), "javascript:alert(1)", "&amp;]]>", "\xff"} {
		svg := Curves{Title: text, Words: text, X: Axis{Label: text}, Y: Axis{Label: text}, Series: []Series{{Name: text, Points: []Point{{1, 1}}}, {Name: text}}}.Draw().SVG(text)
		list := elements(t, svg)
		for _, e := range list {
			assert.NotContains(t, []string{"script", "image"}, e.name)
		}
		assert.NotContains(t, svg, "\u202e")
		assert.NotContains(t, svg, "\x1b")
		inside := regexp.MustCompile(`<text [^>]*>([^<]*)`).FindAllStringSubmatch(svg, -1)
		for _, m := range inside {
			assert.LessOrEqual(t, len(m[1]), 60*len("&quot;"))
		}
	}
}

// Texts names all that is written in a picture, whole.
func TestTexts(t *testing.T) {
	texts := samples["bars"]().Texts()
	assert.Subset(t, texts, []string{"Port area", "By rotor.", "rotor 1 exhaust", "1610", "area, mm2"})
}

func TestRoundStep(t *testing.T) {
	for _, c := range []struct {
		wanted, step float64
		decimals     int
	}{{1, 1, 0}, {1.2, 2, 0}, {2.3, 2.5, 1}, {3, 5, 0}, {7, 10, 0}, {0.011, 0.02, 2}, {0.0023, 0.0025, 4}, {0.07, 0.1, 1}, {130, 200, 0}, {240, 250, 0}} {
		step, decimals := roundStep(c.wanted)
		assert.InEpsilon(t, c.step, step, 1e-9, "%v", c.wanted)
		assert.Equal(t, c.decimals, decimals, "%v", c.wanted)
	}
}

// An axis holds all its values between round ends, and places keep their order.
func TestScale(t *testing.T) {
	s := Axis{}.newScale([]float64{107.4, 161}, 0, 100, 5)
	assert.Equal(t, []string{"100", "120", "140", "160", "180"}, s.labels())
	assert.InDelta(t, 0, s.place(100), 1e-9)
	assert.InDelta(t, 50, s.place(140), 1e-9)
	assert.InDelta(t, 100, s.place(999), 1e-9, "what lies outside is set at the end")
	assert.Equal(t, []string{"0", "50", "100", "150", "200"}, Axis{Zero: true}.newScale([]float64{161}, 0, 100, 4).labels())
	assert.Equal(t, []string{"-0.005", "0.000", "0.005"}, Axis{}.newScale([]float64{-0.003, 0.004}, 0, 1, 2).labels())
}

// No end of a band lies at the edge, and sizes begin at nought at the least.
func TestWithRoom(t *testing.T) {
	assert.Equal(t, []float64{1, 3, 0.9, 3.1}, withRoom([]float64{1, 3}))
	assert.Equal(t, []float64{0, 1, 1.05}, withRoom([]float64{0, 1, math.NaN()}))
}
