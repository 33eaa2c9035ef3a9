package act_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

// A new spec is in order as it is, and with every sample of a part taken in; each
// section that it names may be written.
func TestEnrolledSpecIsInOrder(t *testing.T) {
	b := demoBook(t)
	file, _, err := b.Enrol(act.EnrolOptions{Number: "SK-90", Title: "three-rotor", Rotors: 3, Group: "2026"})
	require.NoError(t, err)
	problems := func() (list []string) {
		checked, err := b.Check([]string{"SK-90"}, func(string, int, int) {})
		require.NoError(t, err)
		for _, c := range checked {
			for _, p := range c.Problems {
				list = append(list, p.Error())
			}
		}
		return list
	}
	before := problems()
	name := filepath.Join(b.dir, file)
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	sample := regexp.MustCompile(`(?m)^  # (\S+: \{.*\})$`)
	require.Len(t, sample.FindAllString(string(text), -1), 10)
	filled := sample.ReplaceAllString(string(text), "  $1")
	require.NoError(t, os.WriteFile(name, []byte(filled), 0o666))
	assert.Equal(t, before, problems())

	_, further, ok := strings.Cut(string(text), "# further sections")
	require.True(t, ok)
	for _, want := range []string{"\n# porting: intake, exhaust,", "\n# cooling:", "\n# fasteners:", " runner_length,", " oil_volume,"} {
		assert.Contains(t, further, want)
	}
	for line := range strings.Lines(further) {
		assert.LessOrEqual(t, len(line), 101, line)
	}
}
