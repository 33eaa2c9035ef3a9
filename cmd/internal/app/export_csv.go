package app

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/figure"
)

// figureColumns are the columns of the table of figures. Values are in the unit
// beside them, always the dictionary's, as in JSON; an empty uncertainty is not
// known.
var figureColumns = []string{"state", "engine", "build", "figure", "at", "title", "value", "unit", "uncertainty (k = 2)", "verdict",
	"limit low", "limit high", "limit kind", "limit set", "origin", "carried from build", "missing"}

// writeFigures writes the figures of some states as one table, a line each, as
// RFC 4180 has it. What a limit asks for and was not measured has a line too,
// without a value.
func writeFigures(w io.Writer, states []*act.Loaded) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{figureColumns}
	for _, l := range states {
		for _, r := range l.Figures.Results {
			rows = append(rows, append(firstCells(l, r.Figure, r.At), figureCells(r)...))
		}
		for _, m := range l.Figures.Missing {
			low, high, kind, set := limitCells(m.Figure, m.Limit)
			needs := strings.Join(append(append([]string{}, m.Needs...), m.Why), "; ")
			rows = append(rows, append(firstCells(l, m.Figure, m.At), "", m.Figure.Unit, "", string(m.Judged), low, high, kind, set, "", "", strings.Trim(needs, "; ")))
		}
	}
	for _, row := range rows {
		for i := range row {
			row[i] = tableCell(row[i])
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func firstCells(l *act.Loaded, f *figure.Figure, at string) []string {
	return []string{l.Name, l.Engine.Number, strconv.Itoa(l.Engine.Build), f.ID, at, titleOf(f)}
}

func figureCells(r *figure.Result) []string {
	uncertain, from := "", ""
	if u := uncertaintyOf(r); u != nil {
		uncertain = number(&u.Expanded)
	}
	if r.From > 0 {
		from = strconv.Itoa(r.From)
	}
	low, high, kind, set := limitCells(r.Figure, r.Limit)
	return []string{r.Text(), r.Figure.Unit, uncertain, string(r.Verdict), low, high, kind, set, string(r.Origin), from, ""}
}

func limitCells(f *figure.Figure, l *figure.Limit) (low, high, kind, set string) {
	e := limitOf(f, l)
	if e == nil {
		return "", "", "", ""
	}
	return number(e.Low), number(e.High), e.Kind, e.Set
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

// tableCell makes a text harmless in a spreadsheet: one that begins as a
// formula does gets an apostrophe in front, unless it is a plain number.
func tableCell(text string) string {
	text = term.Clean(text)
	if text == "" || !strings.Contains("=+-@\t\r", text[:1]) {
		return text
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text
	}
	return "'" + text
}
