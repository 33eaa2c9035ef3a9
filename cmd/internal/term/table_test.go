package term

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// show prints a table at a width and gives the text with a line break in front,
// so that it can be compared with a raw string.
func show(width int, tb Table) string {
	var out bytes.Buffer
	t := New(&out, nil, noEnv)
	t.Width = width
	t.Table(tb)
	return "\n" + out.String()
}

func rows(cells ...[]string) []Row {
	var list []Row
	for _, c := range cells {
		list = append(list, Row{Cells: c})
	}
	return list
}

// figures is a table of every kind of column, as a person would meet it.
func figures() Table {
	return Table{
		Columns: []Column{{Title: "figure", Flex: true}, {Title: "at"}, {Title: "value", Right: true, Decimal: true},
			{Title: "unit"}, {Title: "note"}, {Title: "limit", Flex: true}},
		Rows: []Row{
			{Group: true, Cells: []string{"geometry"}},
			{Cells: []string{"swept volume of a chamber", "engine", "567.15", "cm3"}},
			{Group: true, Cells: []string{"fits"}},
			{Cells: []string{"apex seal side clearance", "rotor/1/apex/1", "0.061", "mm", "", "0.05 to 0.09 new; at most 0.15 re-use"}},
			{Cells: []string{"", "rotor/1/apex/2", "not read", "mm"}},
		},
	}
}

func TestTableInAPipe(t *testing.T) {
	assert.Equal(t, `
figure                     at                 value  unit  limit
geometry
swept volume of a chamber  engine          567.15    cm3

fits
apex seal side clearance   rotor/1/apex/1    0.061   mm    0.05 to 0.09 new; at most 0.15 re-use
                           rotor/1/apex/2  not read  mm
`, "\n"+strings.TrimPrefix(show(0, figures()), "\n"))
}
