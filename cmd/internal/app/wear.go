package app

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/diff/history"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

func (a *app) wear() *cli.Command {
	return a.command(cli.Command{
		Name:      "wear",
		Usage:     "sizes read more than once, over their part's hours",
		ArgsUsage: "[STATE]",
		Description: "Each size that was read at least twice on one part (by serial; without one,\n" +
			"until something was replaced there), over the part's own running hours. What\n" +
			"is found on arrival counts too; machining begins a size anew. From three\n" +
			"readings on, the rate of a straight line with its 95 % interval, by\n" +
			"Student's t: with three readings t is 12.7. 'Measure again by' is the hour\n" +
			"from which one more reading could lie at the re-use limit, no later than the\n" +
			"shop's interval after the last reading and no further than twice the hours\n" +
			"observed. Bedding-in and damage follow no straight line; how long a part\n" +
			"will last is not told.\n\n" +
			"Example: stackbook wear SK-07\n" +
			"         stackbook wear SK-07@2020-05-01",
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			name, err := a.engineOr(s, c.Args().First())
			if err != nil {
				return err
			}
			w, err := s.Wear(name)
			if err != nil {
				return err
			}
			if err := a.tell(w.Loaded); err != nil {
				return err
			}
			if a.json {
				return a.printJSON(wearJSON(w))
			}
			a.showWear(w)
			return nil
		},
	})
}

func (a *app) showWear(w *act.WearOf) {
	e := w.Engine
	a.term.Heading(fmt.Sprintf("%s: %s, build %d", w.Name, e.Title, e.Build))
	a.showEngineHours(e)
	if len(w.Sizes) == 0 {
		a.term.Line("no size was read twice on one part with hours run between")
		return
	}
	a.term.Line("")
	a.term.Table(wearTable(w))
	a.term.Line("")
	a.term.Prose(0, "Hours are the part's own; with * those since it was fitted, for what it had run before is not recorded.")
	a.term.Prose(0, "A rate is that of a straight line, with its 95 %% interval. Bedding-in and damage follow none, and how long a part will last is not told.")
}

func wearTable(w *act.WearOf) term.Table {
	t := term.Table{Columns: []term.Column{{Title: "at"}, {Title: "part"}, {Title: "read", Right: true}, {Title: "hours"}, {Title: "first", Decimal: true}, {Title: "last", Decimal: true},
		{Title: "unit"}, {Title: "by the hour", Flex: true}, {Title: "limit"}, {Title: "measure again by", Flex: true}}}
	title := ""
	for _, wear := range w.Sizes {
		if wear.Point.Title != title {
			title = wear.Point.Title
			t.Rows = append(t.Rows, term.Row{Cells: []string{title}, Group: true, Close: true})
		}
		t.Rows = append(t.Rows, term.Row{Cells: append([]string{"  " + wear.At}, wearCells(w.Display, wear)...)})
	}
	return t
}

func wearCells(d act.Display, w *history.Wear) []string {
	unit := d.Unit(w.Point.Unit, w.Point.Dim)
	first, last := w.Readings[0], w.Readings[len(w.Readings)-1]
	hours := hoursText(first.Hours) + " to " + hoursText(last.Hours)
	if !w.Own {
		hours += " *"
	}
	return []string{wornPart(w), fmt.Sprint(len(w.Readings)), hours, oneReading(first.Reading, unit), oneReading(last.Reading, unit), act.Symbol(w.Point.Unit, unit),
		rateText(w, unit), wearLimit(d, w, unit), nextText(w)}
}

// wornPart tells a part by its serial, else its lot, and whether it is gone.
func wornPart(w *history.Wear) string {
	switch part := w.Serial + w.Lot; {
	case w.Fitted:
		return part
	case part == "":
		return "before"
	default:
		return part + ", before"
	}
}

// rateText tells the rate with its interval, in the unit shown; the digits are
// those the interval has two of.
func rateText(w *history.Wear, unit quantity.Unit) string {
	if w.Trend == history.TooFew {
		return string(w.Trend)
	}
	kept, err := quantity.MustLookup(w.Point.Unit).As(w.Point.Dim)
	if err != nil {
		return ""
	}
	scale := (quantity.ToSI(1, kept) - quantity.ToSI(0, kept)) / (quantity.ToSI(1, unit) - quantity.ToSI(0, unit))
	rate, band := w.Line.B1*scale, w.Band*scale
	decimals := figure.DecimalsFor(band/20, quantity.MustLookup("1"))
	text := quantity.Format(rate, decimals) + " ± " + quantity.Format(band, decimals)
	if w.Trend == history.NoTrend {
		return "no trend (" + text + ")"
	}
	return text
}

func wearLimit(d act.Display, w *history.Wear, unit quantity.Unit) string {
	if w.Limit == nil || w.Trend == history.NoTrend {
		return ""
	}
	kept, err := quantity.MustLookup(w.Point.Unit).As(w.Point.Dim)
	if err != nil {
		return ""
	}
	word := "at least "
	if w.Limit.Most {
		word = "at most "
	}
	return word + quantity.FormatSig(quantity.FromSI(quantity.ToSI(w.Limit.Value, kept), unit), 4)
}

func nextText(w *history.Wear) string {
	n := w.Next
	switch {
	case n == nil:
		return ""
	case n.Because == history.Already:
		return "before it runs again: " + string(n.Because)
	}
	text := hoursText(n.Hours) + " h"
	if n.Engine != nil {
		text += fmt.Sprintf(", the engine's %s h", hoursText(*n.Engine))
	}
	return text + " (" + string(n.Because) + ")"
}

// The shape of wear: wear/1. Sizes are in the dictionary's unit, hours in h.
type wearDocument struct {
	Format   string      `json:"format"`
	State    string      `json:"state"`
	Engine   string      `json:"engine"`
	Build    int         `json:"build"`
	Commit   *string     `json:"commit"`   // null for the working folder
	Interval *float64    `json:"interval"` // from one opening to the next; null: none is set
	Sizes    []wearEntry `json:"sizes"`
}

type wearEntry struct {
	Point    string        `json:"point"`
	Title    string        `json:"title"`
	At       string        `json:"at"`
	Serial   string        `json:"serial"`
	Lot      string        `json:"lot"`
	Fitted   bool          `json:"fitted"`
	Own      bool          `json:"own_hours"` // false: since it was fitted
	Unit     string        `json:"unit"`
	Readings []wearReading `json:"readings"`
	Trend    string        `json:"trend"`
	Start    *float64      `json:"start"`     // of the line at 0 h; null: too few readings
	Rate     *float64      `json:"rate"`      // in the unit by the hour
	RateBand *float64      `json:"rate_band"` // half of its 95 % interval
	Scatter  *float64      `json:"scatter"`   // residual standard deviation
	Limit    *wearBound    `json:"limit"`     // of re-use, that it moves towards
	Reach    *wearReach    `json:"reach"`     // when it comes to the limit; null where nothing says
	Again    *wearAgain    `json:"measure_again"`
}

type wearReading struct {
	Hours  float64 `json:"hours"`
	Value  float64 `json:"value"`
	Date   string  `json:"date"`
	Stage  string  `json:"stage"`
	Engine string  `json:"engine"`
	File   string  `json:"file"`
	Line   int     `json:"line"`
}

type wearBound struct {
	Value float64 `json:"value"`
	End   string  `json:"end"` // least or most
	Set   string  `json:"set"`
}

type wearReach struct {
	On       float64 `json:"on"`
	Earliest float64 `json:"earliest"`
	Latest   float64 `json:"latest"`
}

type wearAgain struct {
	Hours   float64  `json:"hours"`        // of the part
	Engine  *float64 `json:"engine_hours"` // null: not known
	Because string   `json:"because"`
}

func wearJSON(w *act.WearOf) wearDocument {
	d := wearDocument{Format: "wear/1", State: w.Name, Engine: w.Engine.Number, Build: w.Engine.Build, Commit: orNull(w.Commit), Sizes: []wearEntry{}}
	if w.Interval != nil {
		d.Interval = &w.Interval.Hours
	}
	for _, size := range w.Sizes {
		d.Sizes = append(d.Sizes, sizeJSON(size))
	}
	return d
}

func sizeJSON(w *history.Wear) wearEntry {
	e := wearEntry{Point: w.Point.ID, Title: w.Point.Title, At: w.At, Serial: w.Serial, Lot: w.Lot, Fitted: w.Fitted, Own: w.Own, Unit: w.Point.Unit, Readings: []wearReading{}, Trend: string(w.Trend)}
	for _, r := range w.Readings {
		e.Readings = append(e.Readings, wearReading{tidy(r.Hours), tidy(r.Value), r.Session.Date.String(), r.Session.Text("stage"), r.Engine.Number, r.Session.Path, r.Node.Line()})
	}
	if w.Trend != history.TooFew {
		e.Start, e.Rate, e.RateBand, e.Scatter = tidied(w.Line.B0), tidied(w.Line.B1), tidied(w.Band), tidied(w.Line.S)
	}
	if w.Limit != nil {
		e.Limit = &wearBound{tidy(w.Limit.Value), "least", w.Limit.Set}
		if w.Limit.Most {
			e.Limit.End = "most"
		}
	}
	if w.Reach != nil {
		e.Reach = &wearReach{tidy(w.Reach.On), tidy(w.Reach.Earliest), tidy(w.Reach.Latest)}
	}
	if n := w.Next; n != nil {
		e.Again = &wearAgain{Hours: tidy(n.Hours), Because: string(n.Because)}
		if n.Engine != nil {
			e.Again.Engine = tidied(*n.Engine)
		}
	}
	return e
}

func tidied(x float64) *float64 {
	t := tidy(x)
	return &t
}
