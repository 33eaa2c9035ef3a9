package schema

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A day in another order is given back in the one that is read, and both ways
// round where nobody can tell.
func TestDayMend(t *testing.T) {
	for text, want := range map[string]string{
		"02.03.2026":     "write 2026-03-02",
		"2. 3. 2026":     "write 2026-03-02",
		"02/03/2026":     "write 2026-03-02 or 2026-02-03",
		"13/03/2026":     "write 2026-03-13",
		"03/13/2026":     "write 2026-03-13",
		"3/3/2026":       "write 2026-03-03",
		"2026-3-2":       "write 2026-03-02",
		"2026/03/02":     "write 2026-03-02",
		"20260302":       "write 2026-03-02",
		" 2 March 2026 ": "write 2026-03-02",
		"Mar 2, 2026":    "write 2026-03-02",
		"02.03.26":       "write year, month and day, such as 2024-03-02, or 2024-03-02 14:30",
		"31.02.2026":     "write year, month and day, such as 2024-03-02, or 2024-03-02 14:30",
		"31.12.1200":     "write year, month and day, such as 2024-03-02, or 2024-03-02 14:30",
		"":               "write year, month and day, such as 2024-03-02, or 2024-03-02 14:30",
	} {
		assert.Equal(t, want, dayMend(text), text)
	}
}

// Of a number or letter that there is none of, all are named; of a word misspelt,
// the one it is.
func TestOneOf(t *testing.T) {
	keys := []string{"housing/1/at/A", "housing/1/at/B", "housing/2/at/A", "housing/2/at/B", "housing/3/at/A", "housing/3/at/B"}
	for written, want := range map[string]string{
		"housing/4/at/A": "write housing/1/at/A, housing/2/at/A or housing/3/at/A",
		"housing/2/at/E": "write housing/2/at/A or housing/2/at/B",
		"housng/2/at/A":  "did you mean housing/2/at/A?",
		"housing/2/at":   "did you mean housing/2/at/A?",
		"housing/4/at/E": "did you mean housing/1/at/A?",
	} {
		assert.Equal(t, want, oneOf(written, Nearest(written, keys), keys), written)
	}
	assert.Equal(t, "write one from rotor/1 to rotor/8", PositionMend("rotor/9", 8))
}
