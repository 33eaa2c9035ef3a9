package schema

import (
	"strings"
	"unicode/utf8"

	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Within brackets and braces YAML ends a value at a comma: [12,5 mm, 3 mm] is
// three values and {thickness: 2,5 mm} has a key "5 mm" (R13). What gives such a
// decimal comma away is that no space stands behind it.

// goesOn tells whether a number goes on behind the comma in what stands next, on
// the given line and column.
func goesOn(n *source.Node, next string, line, column int) bool {
	text := n.Text()
	return n.Kind() == source.Scalar && !n.Quoted() && isDigits(strings.TrimLeft(text, "+-")) &&
		next != "" && isDigits(next[:1]) &&
		line == n.Line() && column == n.Column()+utf8.RuneCountInString(text)+1
}

func isDigits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// commaBetween tells whether two values of a list are one number with a decimal
// comma.
func commaBetween(a, b *source.Node) bool {
	return b.Kind() == source.Scalar && !b.Quoted() && goesOn(a, b.Text(), b.Line(), b.Column())
}

// CommaInList finds the first value of a list that a decimal comma took apart, and
// tells how it would be right. Where every comma stands without a space, as in
// [3,4,5], they may as well be values; sure says that for another reason they
// are not.
func CommaInList(items []*source.Node, sure bool) (first *source.Node, whole string) {
	tight := 0
	for i := 0; i+1 < len(items); i++ {
		if !commaBetween(items[i], items[i+1]) {
			continue
		}
		if tight++; first == nil {
			first, whole = items[i], items[i].Text()+"."+items[i+1].Text()
		}
	}
	if !sure && tight == len(items)-1 {
		return nil, ""
	}
	return first, whole
}

// commaInMap tells whether the value of an entry goes on in the key of the next,
// and gives both parts.
func commaInMap(entries []source.Entry, i int) (head, tail string, ok bool) {
	if i+1 >= len(entries) {
		return "", "", false
	}
	e, next := entries[i], entries[i+1]
	if !next.Value.IsNull() || !goesOn(e.Value, next.Key, next.KeyLine, next.KeyColumn) {
		return "", "", false
	}
	return e.Value.Text(), next.Key, true
}

// decimalComma is the problem of a number that a decimal comma took apart; right
// is what to write instead.
func decimalComma(file string, n *source.Node, path, right string) problem.Problem {
	return problem.Problem{File: file, Line: n.Line(), Column: n.Column(), Rule: "decimal-comma",
		Message: path + ": the comma ends the value here, so YAML reads two", Mend: "write " + right}
}

// withPoint is a field's value as it was meant: a number with a decimal point and
// a unit, or a text in quotes.
func (f *Field) withPoint(head, tail string) string {
	point := head + "." + tail
	switch {
	case f == nil || f.Type == Code || f.Type == Name:
		return source.Quote(head + "," + tail)
	case f.Type != Quantity:
		return point
	case f.check(point, 0) != nil && f.check(point+" "+f.Unit, 0) == nil:
		return point + " " + f.Unit
	}
	return point
}

// commaPairs tells whether repeats without any space between them are what is
// left of decimal commas: in [78,108,78,112] every second number is the tail of
// the one before.
func commaPairs(items []*source.Node, values []quantity.Quantity) bool {
	if len(items)%2 != 0 {
		return false
	}
	for i, item := range items {
		if !isDigits(item.Text()) {
			return false
		}
		tail := i%2 == 1
		if tail && strings.HasPrefix(item.Text(), "0") && len(item.Text()) > 1 {
			return true
		}
		if tail && len(item.Text()) < 2 {
			return false
		}
	}
	if len(items) < 4 || !values[0].Equal(values[2]) {
		return false
	}
	ratio := values[1].SI() / values[0].SI()
	return ratio < 0.8 || ratio > 1.2 // repeats at one place lie closer
}
