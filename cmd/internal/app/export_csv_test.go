package app

import (
	"bytes"
	"encoding/csv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/figure"
)

// What a spreadsheet would take for a formula is a text with an apostrophe in
// front; numbers stay numbers, also negative ones.
func TestTableCell(t *testing.T) {
	for in, want := range map[string]string{
		"=1+1": "'=1+1", "+1+1": "'+1+1", "-1+1": "'-1+1", "@SUM(A1)": "'@SUM(A1)", "=": "'=", "\t=1": " =1",
		"-2642": "-2642", "-0.005": "-0.005", "+3": "+3", "1e-3": "1e-3", "": "", "rotor/1": "rotor/1", "R-\u202e7711": `R-\u202e7711`,
	} {
		assert.Equal(t, want, tableCell(in), "%q", in)
	}
}

// The table reads back as it was meant, quotes and commas included.
func TestWriteFigures(t *testing.T) {
	e := engineOf(t, spec)
	l := &act.Loaded{}
	l.Name, l.Engine, l.Figures = `SK-01, "as said"`, e, figure.Compute(e, nil)
	var b bytes.Buffer
	require.NoError(t, writeFigures(&b, []*act.Loaded{l}))
	assert.Contains(t, b.String(), "\r\n")
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(l.Figures.Results)+len(l.Figures.Missing))
	assert.Equal(t, figureColumns, rows[0])
	for _, row := range rows[1:] {
		assert.Equal(t, []string{`SK-01, "as said"`, "SK-01", "1"}, row[:3])
		assert.Equal(t, row[6] == "", row[16] != "", "a value, or what it lacks: %v", row)
	}
}
