package quantity

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// RefusedError says why a text is no quantity, and what would be right.
type RefusedError struct {
	What  string   // what is wrong
	Write []string // what may have been meant, ready to type, the likeliest first; none: nobody can tell
	Hint  string   // what would be right in words; empty: a quantity like Like
	Like  string   // any quantity that would be read
	Unit  string   // the unit that is not known, where that is what is wrong
}

func (e *RefusedError) Error() string { return e.What + "; " + e.Mend() }

// Mend says what would be right: "write 12.5 mm".
func (e *RefusedError) Mend() string {
	switch {
	case e.Hint != "":
		return e.Hint
	case len(e.Write) == 0:
		return "write it like " + e.Like
	}
	return "write " + strings.Join(e.Write, " or ")
}

// refused makes the error of a text, with those of the meanings that would be
// read.
func (w wish) refused(what string, meanings ...string) error {
	e := &RefusedError{What: what, Like: w.example()}
	if w.trying {
		return e
	}
	w.trying = true
	for _, m := range meanings {
		if _, err := w.read(m); err == nil && shown(m) == m {
			e.Write = append(e.Write, m)
		}
	}
	return e
}

// example is a right text.
func (w wish) example() string {
	example := w.dim.Example()
	if _, unit, _ := strings.Cut(example, " "); unit != w.symbol {
		example = withSymbol("12.5", w.symbol)
	}
	if w.given != nil {
		example, _, _ = strings.Cut(example, " ")
	}
	return example
}

// ofAnother says that a quantity is of another dimension than the one wanted.
func ofAnother(q Quantity, want Dimension) string {
	return fmt.Sprintf("%s is %s, and %s is wanted", shown(q.String()), q.unit.dim, want)
}

// refuseStart says why a text that does not begin with a number is refused.
func (w wish) refuseStart(text string) error {
	switch strings.ToLower(strings.TrimLeft(firstWord(text), "+-.")) {
	case "":
		if text == "" {
			return w.refused("nothing is written here")
		}
	case "nan", "inf", "infinity":
		return &RefusedError{What: shown(text) + " is not a measured number", Hint: "leave the value empty where none was taken"}
	}
	rest := text
	if i := strings.IndexFunc(text, func(r rune) bool { return unicode.IsDigit(r) }); i > 0 && about[strings.ToLower(strings.Trim(text[:i], blanks+"."))] {
		rest = text[i:]
	}
	return w.refused(shown(text)+" does not begin with a number", plainSigns.Replace(rest))
}

// about are words and signs for a number that is not exact: how exact it is stands
// elsewhere.
var about = map[string]bool{"ca": true, "c": true, "circa": true, "about": true, "approx": true, "approximately": true, "abt": true, "~": true, "≈": true, "±": true}

// plainSigns turns signs that look like those of a number into them.
var plainSigns = strings.NewReplacer("−", "-", "–", "-", "·", ".", "٫", ".", "½", "1/2", "¼", "1/4", "¾", "3/4",
	"０", "0", "１", "1", "２", "2", "３", "3", "４", "4", "５", "5", "６", "6", "７", "7", "８", "8", "９", "9")

func firstWord(text string) string {
	word, _, _ := strings.Cut(text, " ")
	return word
}

// refuse says why text is refused of which the number was read and rest, not
// empty, is no unit.
func (w wish) refuse(text, rest string) error {
	head := strings.TrimSuffix(text, rest)
	number := strings.TrimRight(head, blanks)
	switch glued := number == head; {
	case glued && rest[0] == ':':
		return w.refused(shown(text) + " has a colon in its number")
	case glued && strings.ContainsAny(rest[:1], ",_'."):
		return w.refuseMarks(text)
	case glued && strings.ContainsAny(rest[:1], "xXoObB") && strings.Trim(head, "+-") == "0" && len(rest) > 1 && isHexDigit(rest[1]):
		return w.refused(shown(text) + " is not a decimal number")
	case startsNumber(rest):
		return w.refuseSecond(text, number, rest)
	}
	what := fmt.Sprintf("%s: the unit %s is not known", shown(text), shown(rest))
	err := w.refused(what, w.with(number, Nearest(rest)), plainSigns.Replace(text))
	if e := new(RefusedError); errors.As(err, &e) {
		e.Unit = rest
	}
	return err
}

// with puts a unit behind a number where one may stand there.
func (w wish) with(number, symbol string) string {
	if w.alone {
		return number
	}
	return strings.TrimRight(number+" "+symbol, blanks)
}

func isHexDigit(c byte) bool { return isDigit(c) || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F' }

func startsNumber(text string) bool {
	d, _ := scanDecimal(text)
	return d.digits() > 0
}

// refuseSecond refuses "12 13 mm", of which first is the 12. A group of three
// digits may be meant as thousands, "19 480 g mm", and a fraction behind a
// hyphen as part of the number, "1-3/4 in".
func (w wish) refuseSecond(text, first, rest string) error {
	what := shown(text) + " holds two numbers"
	digits, after := scanDigits(strings.TrimPrefix(rest, "-"))
	switch {
	case len(digits) == 3 && rest[0] != '-' && !strings.HasPrefix(after, "/"):
		return w.refused(what+": thousands are written without a gap", first+rest, w.with(first+rest, w.symbol))
	case rest[0] == '-' && strings.HasPrefix(after, "/"):
		return w.refused(what, first+" "+rest[1:], w.with(first+" "+rest[1:], w.symbol))
	}
	unit := strings.Trim(strings.TrimLeft(rest, "+-0123456789./"), blanks)
	if _, ok := Lookup(unit); !ok {
		unit = w.symbol
	}
	return w.refused(what, w.with(first, unit))
}

// refuseMarks refuses numbers with a decimal comma or with marks between groups
// of digits, and gives the number as it would be right.
func (w wish) refuseMarks(text string) error {
	run := len(text) - len(strings.TrimLeft(text, "+-0123456789.,_'"))
	number, unit := text[:run], text[run:]
	what := shown(text) + " has a mark between its digits"
	if strings.Contains(number, ",") {
		what = shown(text) + " has a comma in its number"
	}
	var meanings []string
	for _, reading := range readings(number) {
		if d, rest := scanDecimal(reading); d.digits() == 0 || rest != "" {
			continue
		}
		if unit == "" && w.given == nil {
			reading += " " + w.symbol
		}
		meanings = append(meanings, reading+unit)
	}
	return w.refused(what, meanings...)
}

// readings gives what a number with commas and other marks may stand for, the
// likeliest first: 12,5 is 12.5; 1,200 is 1.200 or 1200; 1.234,5 is 1234.5.
func readings(number string) []string {
	number = strings.TrimRight(strings.NewReplacer("_", "", "'", "").Replace(number), ",.")
	asPoint := strings.ReplaceAll(number, ",", ".")
	dropped := strings.ReplaceAll(number, ",", "")
	before, after, hasComma := strings.Cut(strings.TrimLeft(number, "+-"), ",")
	switch {
	case !hasComma:
		return []string{number}
	case strings.Contains(after, ","):
		return []string{dropped}
	case strings.Contains(before, "."):
		return []string{strings.ReplaceAll(strings.ReplaceAll(number, ".", ""), ",", ".")}
	case strings.Contains(after, "."):
		return []string{dropped}
	case len(after) == 3 && 0 < len(before) && len(before) <= 3 && before[0] != '0':
		return []string{asPoint, dropped}
	}
	return []string{asPoint}
}

// shown gives a text for a message: cut where it is long, quoted where it holds
// what cannot be printed or nothing at all.
func shown(text string) string {
	const most = 60 // characters
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "…"
	}
	if text == "" || strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(text)
	}
	return text
}
