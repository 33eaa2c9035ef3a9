package app

import (
	"fmt"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/figure"
)

// What is said once, and not at every place, and what no verdict says.

// hopeless tells whether a figure is undecided and no reading with this gauge
// could make it anything else: that is said of its band.
func hopeless(r *figure.Result) bool { return r.Verdict == figure.Undecided && r.TooNarrow() }

// tooNarrow names the bands that no value could be shown to lie in, one line a
// figure, with how many places are undecided for it.
func tooNarrow(d act.Display, results []*figure.Result) []string {
	var first []*figure.Result
	undecided := map[string]int{}
	for _, r := range results {
		if !r.TooNarrow() {
			continue
		}
		if _, met := undecided[r.Figure.ID]; !met {
			first = append(first, r)
		}
		undecided[r.Figure.ID] += 0
		if hopeless(r) {
			undecided[r.Figure.ID]++
		}
	}
	var lines []string
	for _, r := range first {
		low, high := d.Band(r, r.Limit)
		_, unit := d.Figure(r)
		line := fmt.Sprintf("%s: the band of %s is too narrow for this gauge: ± %s %s", r.Figure.Title, bandText(r.Limit, low, high, unit), d.Off(r, r.Uncertainty.Expanded), unit)
		if n := undecided[r.Figure.ID]; n > 0 {
			line += "; undecided at " + count(n, "place")
		}
		lines = append(lines, line)
	}
	return lines
}

// overlaps tells of sizes that cannot go together, such as a bearing smaller
// than its journal, each with the lines it stands on.
func overlaps(d act.Display, list []figure.Overlap) []string {
	var lines []string
	for _, o := range list {
		text, unit := d.Figure(o.Result)
		lines = append(lines, fmt.Sprintf("%s at %s is %s %s, below nought: %s %s (%s) is less than %s %s (%s)", o.Result.Figure.Title, o.Result.At, text, unit,
			o.Outer.Name, o.Outer.Text, o.Outer.Ref, o.Inner.Name, o.Inner.Text, o.Inner.Ref))
	}
	return lines
}

type overlapEntry struct {
	ID    string     `json:"id"`
	At    string     `json:"at"`
	Value float64    `json:"value"`
	Unit  string     `json:"unit"`
	Outer inputEntry `json:"outer"`
	Inner inputEntry `json:"inner"`
}

func overlapsJSON(overlaps []figure.Overlap) []overlapEntry {
	list := []overlapEntry{}
	for _, o := range overlaps {
		list = append(list, overlapEntry{o.Result.Figure.ID, o.Result.At, tidy(o.Result.In()), o.Result.Figure.Unit, inputOf(o.Outer), inputOf(o.Inner)})
	}
	return list
}

// showSlips asks of readings that are ten times as large as all others of their
// kind, or a tenth.
func (a *app) showSlips(slips []record.Slip) {
	for _, s := range slips {
		times := fmt.Sprintf("%g times", s.Times)
		if s.Times < 1 {
			times = fmt.Sprintf("1/%g of", 1/s.Times)
		}
		a.term.Prose(8, "  has a decimal point slipped? %s at %s is %s (%s), %s the others of this session, %s", s.Point, s.At, s.Text, s.Ref, times, s.Others)
	}
}

type slipEntry struct {
	Point  string  `json:"point"`
	At     string  `json:"at"`
	Text   string  `json:"text"`
	Others string  `json:"others"`
	Times  float64 `json:"times"`
	File   string  `json:"file"`
	Line   int     `json:"line"`
}

func slipsJSON(slips []record.Slip) []slipEntry {
	list := []slipEntry{}
	for _, s := range slips {
		list = append(list, slipEntry{s.Point, s.At, s.Text, s.Others, s.Times, s.Ref.File, s.Ref.Line})
	}
	return list
}
