package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// TestChecksFindFaults holds that a check can fail, in each of the ways it may.
func TestChecksFindFaults(t *testing.T) {
	for _, c := range []struct{ name, check, fault string }{
		{"right", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 6, unit: mm}},
			expected: {K: {value: 6, unit: '1'}, phi_max: {value: 390.0000001, unit: deg}}, tolerance: {abs: 0.001}}`, ""},
		{"out of tolerance", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 6, unit: mm}},
			expected: {K: {value: 6.1, unit: '1'}}, tolerance: {rel: 0.001, abs: 0.01}}`, "K: got 6, want 6.1 within 0.01 1"},
		{"no tolerance given", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 6, unit: mm}},
			expected: {K: {value: 6.000001, unit: '1'}}}`, "K: got 6, want 6.000001 within 0 1"},
		{"no formula", `{id: geometry.lean.1, expected: {K: {value: 6, unit: '1'}}}`, "no formula for the check geometry.lean.1"},
		{"prefix of a word", `{id: geo.leaning, expected: {K: {value: 6, unit: '1'}}}`, "no formula for the check geo.leaning"},
		{"input unknown", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 6, unit: mm}, q: {value: 1, unit: mm}},
			expected: {K: {value: 6, unit: '1'}}}`, "no formula takes the input q"},
		{"input missing", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}},
			expected: {K: {value: 6, unit: '1'}}}`, "leaning-angle needs R"},
		{"output unknown", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 6, unit: mm}},
			expected: {Q: {value: 6, unit: '1'}}}`, "no formula gives Q"},
		{"unit unknown", `{id: geo.lean.99, inputs: {e: {value: 1, unit: furlong}, R: {value: 6, unit: mm}},
			expected: {K: {value: 6, unit: '1'}}}`, `the unit "furlong" is not known`},
		{"out of range", `{id: geo.lean.99, inputs: {e: {value: 1, unit: mm}, R: {value: 2, unit: mm}},
			expected: {K: {value: 2, unit: '1'}}}`, "three times the eccentricity"},
		{"wrong word", `{id: cl.decide.99, inputs: {y: {value: 1, unit: mm}, u: {value: 0, unit: mm}, USL: {value: 2, unit: mm}},
			expected: {verdict: {value: fail, unit: text}}}`, `verdict: got "conforms", want "fails"`},
		{"angle of a vector", `{id: bal.plane.99, inputs: {m1: {value: 1, unit: kg}, phase1: {value: 0, unit: deg}, z1: {value: 0, unit: mm},
			e: {value: 1, unit: mm}, zF: {value: 0, unit: mm}, zR: {value: 1, unit: mm}},
			expected: {U_F: {value: 1000, unit: g mm}, ang_F: {value: 90, unit: deg}}, tolerance: {rel: 1.0e-6}}`, "ang_F: got 180, want 90"},
		{"angle of nothing", `{id: bal.plane.99, inputs: {m1: {value: 1, unit: kg}, phase1: {value: 0, unit: deg}, z1: {value: 0, unit: mm},
			e: {value: 1, unit: mm}, zF: {value: 0, unit: mm}, zR: {value: 1, unit: mm}},
			expected: {U_R: {value: 0, unit: g mm}, ang_R: {value: 77, unit: deg}}, tolerance: {abs: 0.001}}`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var one check
			require.NoError(t, yaml.Unmarshal([]byte(c.check), &one))
			faults := one.faults(checkRows)
			if c.fault == "" {
				assert.Empty(t, faults)
				return
			}
			require.NotEmpty(t, faults)
			assert.Contains(t, faults[0], c.fault)
		})
	}
}

func TestPrintedRounding(t *testing.T) {
	assert.Zero(t, printedRounding(67.5))
	assert.Zero(t, printedRounding(0))
	assert.InEpsilon(t, 0.5e-11, printedRounding(1.35581794833), 1e-9)
	assert.InEpsilon(t, 0.5e-12, printedRounding(-0.112984829028), 1e-9)
	assert.True(t, math.Abs(printedRounding(48.0911234567e6)/0.5e-4-1) < 1e-9)
}
