package app

import (
	"fmt"
	"strconv"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/record/figure"
)

// figureRow is one line of a table of figures, the same on a terminal and on a
// page: title and name stand once where a figure has several lines.
type figureRow struct {
	Topic, Title, At, Value, Unit, Origin, Name string
	Off                                         string // expanded uncertainty; empty: not known
	Limit, Judge                                string // both bands of the limit; the one that judges
	Verdict                                     figure.Verdict
}

// figureRows prepares the lines of a state's figures.
func figureRows(l *act.Loaded) []figureRow {
	var rows []figureRow
	for _, r := range l.Figures.Results {
		text, unit := l.Display.Figure(r)
		row := figureRow{Topic: r.Figure.Topic, Title: titleOf(r.Figure), At: r.At, Value: text, Unit: unit, Origin: originText(l.Display, r),
			Name: r.Figure.ID, Limit: limitsText(l.Display, r), Verdict: r.Verdict}
		if r.Uncertainty != nil {
			row.Off = l.Display.Off(r, r.Uncertainty.Expanded)
		}
		if r.Limit != nil {
			row.Judge = limitText(l.Display, r, r.Limit)
		}
		rows = append(rows, row)
	}
	rows = joinRuns(rows)
	for i := len(rows) - 1; i > 0; i-- {
		if rows[i].Name == rows[i-1].Name {
			rows[i].Title, rows[i].Name = "", ""
		}
	}
	return rows
}

// titleOf is a figure's title with the word that bounds it: "compression ratio,
// geometric".
func titleOf(f *figure.Figure) string {
	if f.Mark == "" {
		return f.Title
	}
	return f.Title + ", " + f.Mark
}

// leastRun is how many alike lines in a row are told as one.
const leastRun = 4

// joinRuns tells lines that differ in nothing but a running number as one:
// eighteen bolts tightened alike are "bolt/1 to 18".
func joinRuns(rows []figureRow) []figureRow {
	var joined []figureRow
	for i := 0; i < len(rows); {
		n := runLength(rows[i:])
		if n < leastRun {
			n = 1
		}
		row := rows[i]
		if n > 1 {
			_, last := splitNumber(rows[i+n-1].At)
			row.At = fmt.Sprintf("%s to %d", row.At, last)
		}
		joined = append(joined, row)
		i += n
	}
	return joined
}

func runLength(rows []figureRow) int {
	head, first := splitNumber(rows[0].At)
	if first < 0 {
		return 1
	}
	n := 1
	for n < len(rows) {
		alike := rows[n]
		h, number := splitNumber(alike.At)
		alike.At = rows[0].At
		if h != head || number != first+n || alike != rows[0] {
			break
		}
		n++
	}
	return n
}

// splitNumber parts a position from the number at its end, -1 where there is
// none.
func splitNumber(at string) (head string, number int) {
	i := strings.LastIndex(at, "/")
	n, err := strconv.Atoi(at[i+1:])
	if err != nil {
		return at, -1
	}
	return at[:i+1], n
}
