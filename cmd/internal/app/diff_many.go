package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

func (a *app) showSide(t *diff.Table, d act.Display) {
	a.term.Heading(strings.Join(t.States, ", "))
	if t.Empty() {
		a.term.Line("%s", nothingText(&t.Apart))
	}
	for _, kind := range []string{diff.Parts, diff.Spec, diff.Records} {
		var rows []term.Row
		for _, texts := range sideChanges(ofKind(t.Changes, kind)) {
			rows = append(rows, term.Row{Cells: texts})
		}
		a.sideTable(kind, t.States, rows, false)
	}
	a.sideTable("  readings that count", t.States, sideReadings(t, d), true)
	a.sideTable("  figures", t.States, sideFigures(t, d), true)
	a.showBeside(advice(t.Figures, func(r diff.FigureRow) *figure.Figure { return r.Figure }))
	a.showNotCompared(&t.Apart, t.States)
}

// ofKind gives the rows of one kind of difference.
func ofKind(all []diff.ChangeRow, kind string) []diff.ChangeRow {
	var rows []diff.ChangeRow
	for _, r := range all {
		if r.Kind() == kind {
			rows = append(rows, r)
		}
	}
	return rows
}

func (a *app) sideTable(title string, states []string, rows []term.Row, numbers bool) {
	if len(rows) == 0 {
		return
	}
	t := term.Table{Columns: []term.Column{{Title: title, Flex: true}}, Rows: rows}
	for _, s := range states {
		t.Columns = append(t.Columns, term.Column{Title: s, Right: numbers, Decimal: numbers, Flex: true, Keep: true})
	}
	if numbers {
		t.Columns = append(t.Columns, term.Column{Title: "unit"})
	}
	a.term.Line("")
	a.term.Table(t)
}

// sideChanges tells what is written in each state, a row each, that of one part
// together.
func sideChanges(changes []diff.ChangeRow) [][]string {
	var rows [][]string
	at := ""
	for _, r := range changes {
		position, key, isPart := partPath(r.Path)
		if !isPart || position != at {
			rows, at = append(rows, append([]string{whereOf(r)}, make([]string, len(r.Values))...)), position
		}
		row := rows[len(rows)-1]
		for i, v := range r.Values {
			if isPart {
				v = also(row[i+1], key, v)
			}
			row[i+1] = v
		}
	}
	for _, row := range rows {
		for i, text := range row {
			row[i] = orDefault(text, text == "")
		}
	}
	return rows
}

// whereOf names the place a row is about.
func whereOf(r diff.ChangeRow) string {
	if r.Serial != "" {
		return r.Serial + " moved"
	}
	if position, _, isPart := partPath(r.Path); isPart {
		return position
	}
	return r.Path
}

func sideReadings(t *diff.Table, d act.Display) []term.Row {
	var rows []term.Row
	last := ""
	for _, r := range t.Readings {
		point := schema.FindPoint(r.Point)
		if point.Title != last {
			last = point.Title
			rows = append(rows, term.Row{Group: true, Close: true, Cells: []string{last}})
		}
		cells := []string{"  " + r.At}
		unit := ""
		for i, v := range r.Values {
			text, u := sideReading(point, v, r.Digits[i], r.Steps[i], d)
			cells = append(cells, text)
			unit = u
		}
		rows = append(rows, term.Row{Cells: append(cells, unit)})
	}
	return rows
}

func sideReading(point *schema.Point, v any, digits int, step float64, d act.Display) (text, unit string) {
	if point.Text {
		return words(v), ""
	}
	shown := d.Unit(point.Unit, point.Dim)
	unit = act.Symbol(point.Unit, shown)
	x, ok := v.(float64)
	if !ok {
		return "", unit
	}
	kept, err := quantity.MustLookup(point.Unit).As(point.Dim)
	if err != nil {
		kept = quantity.MustLookup(point.Unit)
	}
	return quantity.Format(quantity.FromSI(quantity.ToSI(x, kept), shown), act.Decimals(digits, step, point.Unit, shown)), unit
}

func sideFigures(t *diff.Table, d act.Display) []term.Row {
	var rows []term.Row
	last := ""
	for _, r := range t.Figures {
		if r.Figure.IsReading() {
			continue // it stands among the readings
		}
		if title := titleOf(r.Figure); title != last {
			last = title
			rows = append(rows, term.Row{Group: true, Close: true, Cells: []string{last}})
		}
		cells, unit := []string{"  " + r.At}, ""
		for _, result := range r.Results {
			text := ""
			if result != nil {
				text, unit = d.Figure(result)
				text += verdictMark(result.Verdict)
			}
			cells = append(cells, text)
		}
		rows = append(rows, term.Row{Cells: append(cells, unit)})
	}
	return rows
}

// verdictMark is put behind a value that does not conform.
func verdictMark(v figure.Verdict) string {
	if v == figure.Fails || v == figure.Undecided {
		return fmt.Sprintf(" %s", v)
	}
	return ""
}
