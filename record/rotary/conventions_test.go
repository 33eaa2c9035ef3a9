package rotary

import (
	"encoding/xml"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "draw the conventions anew")

// The sketch of all conventions, drawn with the formulas of this package so
// that the bore and the rotor in it are true:
//
//	go test ./record/rotary -run TestConventionsDrawing -args -update
func TestConventionsDrawing(t *testing.T) {
	drawn, _ := conventions(t)
	file := filepath.Join("..", "..", "schema", "conventions.svg")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(drawn), 0o666))
	}
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(kept), drawn, "the drawing is not what the formulas give: draw it anew with -args -update")
	require.NoError(t, xml.Unmarshal(kept, new(struct{})))
}

// No label lies on another or outside the drawing.
func TestConventionsAreLegible(t *testing.T) {
	_, c := conventions(t)
	for i, a := range c.labels {
		require.True(t, a.left > 0 && a.top > 0 && a.right < drawingWidth && a.bottom < drawingHeight, "%q leaves the drawing", a.text)
		for _, b := range c.labels[:i] {
			require.False(t, a.overlaps(b), "%q lies on %q", a.text, b.text)
		}
	}
}

const drawingWidth, drawingHeight = 1300.0, 720.0

const drawingTitle = "Conventions: how positions and places are counted"

const drawingDescription = "Left, a two-rotor engine cut along its shaft. The front, the accessory or pulley end, is at the left; the rear, " +
	"the flywheel or output end, at the right. From the front: pulley, counterweight/front, plate/1, housing/1 with rotor/1 on lobe/1, plate/2, " +
	"housing/2 with rotor/2 on lobe/2, plate/3, counterweight/rear, flywheel. A plate has a front face and a rear face. Axial places count from the " +
	"middle of rotor 1, rearward positive: stations 0 and 128 mm, balance planes −118 and 250 mm. " +
	"Right, one rotor in its housing seen from the front, turning clockwise. Apex 1 is at the witness mark; apexes 1, 2, 3 are counted in the direction " +
	"of rotation; face 1 lies between apex 1 and apex 2. Corner seals are numbered as their apex, side seals as their face. With the ports at the left " +
	"the intake port is above and the exhaust port below the waist; at the right the trailing plug is above and the leading plug below the other waist. " +
	"The housing width is measured at A, at the end of the long axis between intake and compression, away from plugs and ports, then in the direction of " +
	"rotation at B by the trailing plug, C by the leading plug and D at the other end of the long axis. Clock positions are those of a clock seen from the front."

// conventions draws the whole sketch.
func conventions(t *testing.T) (string, *canvas) {
	t.Helper()
	bore, err := NewBore("conventions", 14e-3, 98e-3, 2e-3)
	require.NoError(t, err)
	c := &canvas{}
	sideView{canvas: c, station0: 225, axis: 330, scale: 1.12}.draw()
	frontView{canvas: c, bore: bore, centre: spot{955, 375}, scale: 2000, turn: 15 * math.Pi / 180}.draw()
	return c.document(drawingWidth, drawingHeight, drawingTitle, drawingDescription), c
}
