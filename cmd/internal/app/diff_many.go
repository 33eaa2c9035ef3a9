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

// diffMany lines three states or more up side by side.
func (a *app) diffMany(s *act.Shop, names []string, f diff.Filter) (differs bool, err error) {
	var states []diff.State
	var display act.Display
	for _, name := range names {
		l, err := s.State(name)
		if err != nil {
			return false, err
		}
		if err := a.tell(l); err != nil {
			return false, err
		}
		states, display = append(states, l.State), l.Display
	}
	t := diff.Side(states, f)
	if a.json {
		return !t.Empty(), a.printJSON(sideJSON(t))
	}
	a.showSide(t, display)
	return !t.Empty(), nil
}

func (a *app) showSide(t *diff.Table, d act.Display) {
	a.term.Heading(strings.Join(t.States, ", "))
	if t.Empty() {
		a.term.Line("Nothing differs.")
	}
	a.sideTable("records", t.States, sideChanges(t))
	a.sideTable("  readings that count", t.States, sideReadings(t, d))
	a.sideTable("  figures", t.States, sideFigures(t, d))
	for _, state := range t.States {
		if alone := t.Alone[state]; len(alone) > 0 {
			a.term.Line("")
			a.term.Prose(2, "Only %s has %s: there is nothing to compare with. What is said of a whole engine is of different numbers of rotors.", state, act.Some(topPositions(alone), 12))
		}
	}
}

// topPositions leaves out positions within others of the list.
func topPositions(all []string) []string {
	var top []string
	for _, p := range all {
		if !slices.ContainsFunc(all, func(q string) bool { return q != p && schema.Below(p, q) }) {
			top = append(top, p)
		}
	}
	return top
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

// sideChanges tells the values of the specs, those of one part together.
func sideChanges(t *diff.Table) []term.Row {
	var rows []term.Row
	at := ""
	for _, r := range t.Changes {
		position, key, isPart := partPath(r.Path)
		if isPart && position == at {
			cells := rows[len(rows)-1].Cells
			for i, v := range r.Values {
				cells[i+1] = also(cells[i+1], key, v)
			}
			continue
		}
		at = position
		cells := []string{r.Path}
		if isPart {
			cells[0] = position
		}
		for _, v := range r.Values {
			if isPart {
				v = also("", key, v)
			}
			cells = append(cells, v)
		}
		rows = append(rows, term.Row{Cells: cells})
	}
	for _, r := range rows {
		for i, text := range r.Cells {
			r.Cells[i] = orDefault(text, text == "")
		}
	}
	return rows
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

// The shape of several states side by side: compare/1. A missing value is null.
type sideDocument struct {
	Format   string              `json:"format"`
	States   []string            `json:"states"`
	Changes  []sideChange        `json:"changes"`
	Readings []sideReadingEntry  `json:"readings"`
	Figures  []sideFigure        `json:"figures"`
	Alone    map[string][]string `json:"alone"` // by state: positions no other state has
}

type sideChange struct {
	Path   string    `json:"path"`
	Values []*string `json:"values"`
}

type sideReadingEntry struct {
	Point  string `json:"point"`
	At     string `json:"at"`
	Unit   string `json:"unit"`
	Values []any  `json:"values"`
}

type sideFigure struct {
	ID       string     `json:"id"`
	At       string     `json:"at"`
	Unit     string     `json:"unit"`
	Values   []*float64 `json:"values"`
	Verdicts []string   `json:"verdicts"`
}

func sideJSON(t *diff.Table) sideDocument {
	doc := sideDocument{Format: "compare/1", States: t.States, Changes: []sideChange{}, Readings: []sideReadingEntry{}, Figures: []sideFigure{}, Alone: t.Alone}
	for _, r := range t.Changes {
		entry := sideChange{Path: r.Path}
		for _, v := range r.Values {
			entry.Values = append(entry.Values, orNull(v))
		}
		doc.Changes = append(doc.Changes, entry)
	}
	for _, r := range t.Readings {
		entry := sideReadingEntry{Point: r.Point, At: r.At, Unit: r.Unit}
		for _, v := range r.Values {
			entry.Values = append(entry.Values, tidyAny(v))
		}
		doc.Readings = append(doc.Readings, entry)
	}
	for _, r := range t.Figures {
		entry := sideFigure{ID: r.Figure.ID, At: r.At, Unit: r.Figure.Unit}
		for _, result := range r.Results {
			value, verdict := (*float64)(nil), ""
			if result != nil {
				v := tidy(result.In())
				value, verdict = &v, string(result.Verdict)
			}
			entry.Values, entry.Verdicts = append(entry.Values, value), append(entry.Verdicts, verdict)
		}
		doc.Figures = append(doc.Figures, entry)
	}
	return doc
}
