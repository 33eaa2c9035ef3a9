package app

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Any name becomes the name of a file that every system takes.
func TestFileNameOf(t *testing.T) {
	for name, want := range map[string]string{
		"R-1177": "R-1177", "r-1177": "_72-1177", "R_1177": "R_5F1177", "L-2304/7": "L-2304_2F7", "..": "_2E_2E", "00123": "00123", "a b": "_61_20_62", "CON": "_43ON", "COM1": "_43OM1",
		"CONE": "CONE", "å": "_C3_A5", "index": "_69_6E_64_65_78", "<b>": "_3C_62_3E", "x\u202ey": "_78_E2_80_AE_79",
	} {
		assert.Equal(t, want, fileNameOf(name), "%q", name)
	}
	long := fileNameOf(strings.Repeat("å", 5000))
	assert.LessOrEqual(t, len(long)+len(".html"), 255) // the most that common systems take (from memory)
	assert.NotEqual(t, long, fileNameOf(strings.Repeat("å", 5001)))
}

// No two names become one, also where capitals and small letters are the same,
// and no name leads out of its folder.
func TestFileNamesFoldApart(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	letters := []rune("aAbBrR0-_./\\ éÉſK\u212a%:*?\"<>|\x00\n")
	seen := map[string]string{}
	for range 20000 {
		var b strings.Builder
		for range 1 + r.IntN(5) {
			b.WriteRune(letters[r.IntN(len(letters))])
		}
		name := b.String()
		file := fileNameOf(name)
		require.Regexp(t, `^[A-Z0-9_-]+$`, file, "%q", name)
		folded := strings.ToUpper(strings.ToLower(file))
		if before, there := seen[folded]; there {
			require.Equal(t, before, name)
		}
		seen[folded] = name
	}
}

// A way leads from one page to another by their folders.
func TestWay(t *testing.T) {
	assert.Equal(t, "engines/SK-01/index.html", way("index.html", enginePage("SK-01")))
	assert.Equal(t, "../../used/R-1177.html", way(buildPage("SK-01", 2), usedPage("R-1177")))
	assert.Equal(t, "../../engines/SK-01/build-1-to-2.html", way(enginePage("SK-01"), differencePage("SK-01", 1, 2)))
	assert.Equal(t, "../parts-2.html", way(usedPage("x"), partsPage(2)))
}
