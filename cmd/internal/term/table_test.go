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
swept volume of a chamber  engine           567.15   cm3

fits
apex seal side clearance   rotor/1/apex/1     0.061  mm    0.05 to 0.09 new; at most 0.15 re-use
                           rotor/1/apex/2  not read  mm
`, show(0, figures()))
}

func TestTableWrapsFlexibleColumns(t *testing.T) {
	assert.Equal(t, `
figure            at                 value  unit  limit
geometry
swept volume of   engine           567.15   cm3
a chamber

fits
apex seal side    rotor/1/apex/1     0.061  mm    0.05 to 0.09
clearance                                         new; at most
                                                  0.15 re-use
                  rotor/1/apex/2  not read  mm
`, show(66, figures()))
}

func TestTableTooNarrowBecomesBlocks(t *testing.T) {
	assert.Equal(t, `
geometry

figure: swept volume of
  a chamber
at: engine
value: 567.15
unit: cm3

fits

figure: apex seal side
  clearance
at: rotor/1/apex/1
value: 0.061
unit: mm
limit: 0.05 to 0.09 new;
  at most 0.15 re-use

at: rotor/1/apex/2
value: not read
unit: mm
`, show(26, figures()))
}

func TestTableDecimals(t *testing.T) {
	for _, c := range []struct {
		name  string
		cells []string
		want  string
	}{
		{"points under each other", []string{"9.31", "123.4", "0.061", "12"}, `
  value
  9.31
123.4
  0.061
 12
`},
		{"signs and uncertainties", []string{"+0.05", "-12.5", "9.3 ± 0.1", "±3"}, `
      value
 +0.05
-12.5
  9.3 ± 0.1
 ±3
`},
		{"words to the right edge", []string{"9.31", "not read", "–", ""}, `
   value
    9.31
not read
       –

`},
		{"whole numbers", []string{"9438", "17"}, `
value
 9438
   17
`},
		{"a limit in front", []string{"≤ 0.15", "12.10"}, `
 value
≤ 0.15
 12.10
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			tb := Table{Columns: []Column{{Title: "value", Decimal: true}}}
			for _, cell := range c.cells {
				tb.Rows = append(tb.Rows, Row{Cells: []string{cell}})
			}
			assert.Equal(t, c.want, show(0, tb))
		})
	}
}

func TestTable(t *testing.T) {
	two := []Column{{Title: "part"}, {Title: "n", Right: true}}
	for _, c := range []struct {
		name  string
		width int
		table Table
		want  string
	}{
		{"no rows", 0, Table{Columns: two}, "\n"},
		{"to the right edge", 0, Table{two, rows([]string{"plate", "3"}, []string{"seal", "12"})}, `
part    n
plate   3
seal   12
`},
		{"no titles", 0, Table{[]Column{{}, {}}, rows([]string{"a", "b"})}, `
a  b
`},
		{"empty columns go", 0, Table{[]Column{{Title: "a"}, {Title: "b"}, {Title: "c"}}, rows([]string{"1", "  ", "3"}, []string{"1"})}, `
a  c
1  3
1
`},
		{"unless kept", 0, Table{[]Column{{Title: "point"}, {Title: "reading", Keep: true}, {Title: "unit"}}, rows([]string{"width", "", "mm"})}, `
point  reading  unit
width           mm
`},
		{"a cell under no title", 0, Table{[]Column{{Title: "a"}}, rows([]string{"1", "more"}, []string{"2"})}, `
a
1  more
2
`},
		{"wide characters and accents", 0, Table{two, rows([]string{"水温計", "1"}, []string{"re\u0301e", "2"}, []string{"plate", "3"})}, "\n" +
			"part    n\n" +
			"水温計  1\n" +
			"re\u0301e     2\n" +
			"plate   3\n"},
		{"wide characters wrapped", 16, Table{[]Column{{Title: "part", Flex: true}, {Title: "n"}}, rows([]string{"水温計水温計水温計", "1"})}, `
part           n
水温計水温計   1
水温計
`},
		{"cleaned", 0, Table{[]Column{{Title: "a\x1b[1m"}, {Title: "b"}}, rows([]string{"x\ny\tz", "R-\u202e77"})}, `
a\x1b[1m  b
x y z     R-\u202e77
`},
		{"group cleaned", 0, Table{two, []Row{{Group: true, Cells: []string{"one\x1b\ntwo"}}, {Cells: []string{"seal", "3"}}}}, `
part  n
one\x1b two
seal  3
`},
		{"indented cells", 30, Table{[]Column{{Title: "  from", Flex: true}, {Title: "value"}}, rows([]string{"  housing/1/at/A chamber width", "78.012 mm"})}, `
  from               value
  housing/1/at/A     78.012 mm
  chamber width
`},
		{"long group", 20, Table{two, []Row{{Group: true, Cells: []string{"motion of the apex seals"}}, {Cells: []string{"seal", "3"}}}}, `
part  n
motion of the apex
  seals
seal  3
`},
		{"long title", 18, Table{[]Column{{Title: "readings that count", Flex: true}, {Title: "at"}}, rows([]string{"width", "A"})}, `
readings that   at
count
width           A
`},
		{"words among numbers wrapped", 22, Table{[]Column{{Title: "at"}, {Title: "was", Decimal: true, Flex: true}}, rows([]string{"A", "78.01"}, []string{"rotor/1", "pitted near the plug"})}, `
at                 was
A                78.01
rotor/1  pitted near
         the plug
`},
		{"too narrow for anything", 1, Table{two, rows([]string{"plate", "3"})}, `
pa
  rt
  :
  pl
  at
  e
n:
  3
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, show(c.width, c.table))
		})
	}
}

func TestTableKeepsToItsWidth(t *testing.T) {
	whole := strings.Join(strings.Fields(show(0, figures())), "")
	for width := 18; width < 110; width++ {
		text := show(width, figures())
		for line := range strings.SplitSeq(text, "\n") {
			assert.LessOrEqual(t, cells(line), width, "at %d: %q", width, line)
			assert.Equal(t, strings.TrimRight(line, " "), line, "at %d: spaces at the end", width)
		}
		for _, word := range []string{"567.15", "rotor/1/apex/2", "re-use"} {
			assert.Contains(t, text, word, "at %d", width)
		}
	}
	assert.Equal(t, whole, strings.Join(strings.Fields(show(110, figures())), ""))
}

func TestTableColours(t *testing.T) {
	term, out := coloured()
	term.Table(Table{
		Columns: []Column{{Title: "figure", Flex: true}, {Title: "verdict"}},
		Rows: []Row{
			{Group: true, Cells: []string{"fits"}},
			{Cells: []string{"end float", term.Good("conforms")}},
			{Style: StyleBad, Cells: []string{"seal gap", term.Good("fails")}},
		},
	})
	assert.Equal(t, "\x1b[2mfigure\x1b[0m     \x1b[2mverdict\x1b[0m\n"+
		"\x1b[1mfits\x1b[0m\n"+
		"end float  \x1b[32mconforms\x1b[0m\n"+
		"\x1b[1;31mseal gap\x1b[0m   \x1b[1;31mfails\x1b[0m\n", out.String())
}

func TestTableColourLeavesTheLayout(t *testing.T) {
	for _, width := range []int{0, 26, 66} {
		term, out := coloured()
		term.Width = width
		tb := figures()
		for i := range tb.Rows {
			for j, cell := range tb.Rows[i].Cells {
				tb.Rows[i].Cells[j] = term.Warn(cell)
			}
		}
		term.Table(tb)
		assert.NotEqual(t, out.String(), unstyled(out.String()))
		assert.Equal(t, show(width, figures()), "\n"+unstyled(out.String()))
	}
}

func TestTableLeavesTheCallersCells(t *testing.T) {
	tb := figures()
	show(40, tb)
	assert.Equal(t, figures(), tb)
}
