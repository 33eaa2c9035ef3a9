package page

import (
	"image/color"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A palette is the colours of one scheme by name.
type palette map[string]color.RGBA

var (
	paletteBlock = regexp.MustCompile(`:root \{([^}]*)\}`)
	colourLine   = regexp.MustCompile(`--([a-z-]+): #([0-9a-f]{6});`)
)

// palettes reads the three schemes of the style in their order.
func palettes(t testing.TB) (light, dark, paper palette) {
	t.Helper()
	blocks := paletteBlock.FindAllStringSubmatch(sheetCSS, -1)
	require.Len(t, blocks, 3)
	var list [3]palette
	for i, b := range blocks {
		list[i] = palette{}
		for _, m := range colourLine.FindAllStringSubmatch(b[1], -1) {
			v, err := strconv.ParseUint(m[2], 16, 24)
			require.NoError(t, err)
			list[i][m[1]] = color.RGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
		}
	}
	return list[0], list[1], list[2]
}

// luminance is the relative luminance of WCAG 2.2, 0 (black) to 1 (white).
// Source: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance".
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// contrast is the contrast ratio of WCAG 2.2, 1 to 21.
func contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// Known answers: black on white is 21 by the definition; #777777 on white is
// just under 4.5 and #767676 just over (from memory).
func TestContrastItself(t *testing.T) {
	white := color.RGBA{255, 255, 255, 255}
	grey := func(v uint8) color.RGBA { return color.RGBA{v, v, v, 255} }
	assert.InDelta(t, 21, contrast(grey(0), white), 1e-9)
	assert.InDelta(t, 1, contrast(white, white), 1e-9)
	assert.Less(t, contrast(white, grey(0x77)), 4.5)
	assert.Greater(t, contrast(white, grey(0x76)), 4.5)
}

// The pairs that meet in the style, and the least contrast of each: 4.5 for
// text (WCAG 2.2, 1.4.3), 3 for lines and boxes that carry meaning (1.4.11).
// Hair and band only guide the eye and may be faint.
var pairs = []struct {
	front, ground string
	least         float64
}{
	{"ink", "paper", 4.5},
	{"ink", "band", 4.5},
	{"faint", "paper", 4.5},
	{"link", "paper", 4.5}, // also the mark of the focus
	{"good", "paper", 4.5},
	{"bad", "bad-ground", 4.5},
	{"bad", "paper", 3}, // its box
	{"open", "open-ground", 4.5},
	{"open", "paper", 3},
	{"edge", "paper", 3},
	{"edge", "band", 3}, // the ends of a band
	{"good", "band", 3}, // values in their bands
	{"bad", "band", 3},
	{"open", "band", 3},
	{"one", "paper", 4.5}, // lines and points of drawings
	{"two", "paper", 4.5},
	{"three", "paper", 4.5},
	{"hair", "paper", 1},
}

func TestContrast(t *testing.T) {
	light, dark, paper := palettes(t)
	for name, p := range map[string]palette{"light": light, "dark": dark, "print": paper} {
		measured := map[string]bool{}
		for _, c := range pairs {
			require.Contains(t, p, c.front, name)
			require.Contains(t, p, c.ground, name)
			measured[c.front], measured[c.ground] = true, true
			assert.GreaterOrEqual(t, contrast(p[c.front], p[c.ground]), c.least, "%s: %s on %s", name, c.front, c.ground)
		}
		for colour := range p {
			assert.True(t, measured[colour], "%s: %s is in no pair", name, colour)
		}
	}
}

// Rules name colours of the palette only, so that the pairs above are all there
// are. What is printed needs no ground to be read.
func TestRulesNameNoOtherColour(t *testing.T) {
	rules := paletteBlock.ReplaceAllString(sheetCSS, "")
	assert.NotRegexp(t, `#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(|opacity|: (?:black|white|red|green|gr[ae]y)\b`, rules)
	light, _, paper := palettes(t)
	for _, m := range regexp.MustCompile(`var\(--([a-z-]+)\)`).FindAllStringSubmatch(rules, -1) {
		assert.Contains(t, light, m[1])
	}
	white := color.RGBA{255, 255, 255, 255}
	for name, c := range paper {
		if name == "paper" || name == "band" || strings.HasSuffix(name, "-ground") {
			assert.Equal(t, white, c, name)
		}
	}
}
