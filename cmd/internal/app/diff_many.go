package app

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// filterFlags choose what of a difference is shown.
var filterFlags = []cli.Flag{
	&cli.StringSliceFlag{Name: "only", Usage: "only this `KIND` of difference; again for more"},
	&cli.StringFlag{Name: "topic", Usage: "a `TOPIC`: section of the spec or of figures"},
	&cli.StringFlag{Name: "at", Usage: "only at this `POSITION` and within it"},
}

func filterOf(c *cli.Context) (diff.Filter, error) {
	f := diff.Filter{Kinds: c.StringSlice("only"), Topic: c.String("topic"), At: c.String("at")}
	for _, name := range []string{"topic", "at"} { // a script's unset variable would pass for no filter
		if c.IsSet(name) && c.String(name) == "" {
			return f, &act.UsageError{Message: "--" + name + " is empty", Mend: "leave it out, or write what is meant"}
		}
	}
	for _, k := range f.Kinds {
		if !slices.Contains(diff.Kinds, k) {
			return f, unknown("kind of difference", k, diff.Kinds, "--only takes "+strings.Join(diff.Kinds, ", "))
		}
	}
	if topics := knownTopics(); f.Topic != "" && !slices.Contains(topics, f.Topic) {
		return f, unknown("topic", f.Topic, topics, "--topic takes "+strings.Join(topics, ", "))
	}
	if f.At != "" {
		if err := schema.CheckPosition(f.At, 0); err != nil {
			mend := "positions look like rotor/2, housing/1, plate/1/rear"
			if near := schema.NearestPosition(f.At, 0); near != "" {
				mend = "did you mean " + near + "?"
			}
			return f, &act.UsageError{Message: err.Error(), Mend: mend}
		}
	}
	return f, nil
}

// knownTopics are the sections of a spec and the topics of figures.
func knownTopics() []string {
	var topics []string
	for i := range schema.Spec.Fields {
		if f := &schema.Spec.Fields[i]; f.Type == schema.Group {
			topics = append(topics, f.Key)
		}
	}
	for _, f := range figure.All() {
		if !slices.Contains(topics, f.Topic) {
			topics = append(topics, f.Topic)
		}
	}
	return topics
}

func (a *app) showSide(t *diff.Table, d act.Display) {
	a.term.Heading(strings.Join(t.States, ", "))
	if t.Empty() {
		a.term.Line("Nothing differs.")
	}
	var rows []term.Row
	for _, texts := range sideChanges(t.Changes) {
		rows = append(rows, term.Row{Cells: texts})
	}
	a.sideTable("records", t.States, rows)
	a.sideTable("  readings that count", t.States, sideReadings(t, d))
	a.sideTable("  figures", t.States, sideFigures(t, d))
	a.showNotCompared(&t.Apart, t.States)
}

func (a *app) sideTable(title string, states []string, rows []term.Row) {
	if len(rows) == 0 {
		return
	}
	t := term.Table{Columns: []term.Column{{Title: title, Flex: true}}, Rows: rows}
	numbers := title != "records"
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
