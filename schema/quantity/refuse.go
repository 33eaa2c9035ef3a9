package quantity

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// refuseStart says why a text that does not begin with a number is refused.
func refuseStart(text string) error {
	switch strings.ToLower(strings.TrimLeft(firstWord(text), "+-.")) {
	case "":
		if text == "" {
			return errors.New("nothing is written here; write a number with its unit, such as 12.5 mm")
		}
	case "nan", "inf", "infinity":
		return fmt.Errorf("%s is not a measured number; leave the value empty where none was taken", shown(text))
	}
	return fmt.Errorf("%s does not begin with a number; write it like 12.5 mm", shown(text))
}

func firstWord(text string) string {
	word, _, _ := strings.Cut(text, " ")
	return word
}

// refuse says why text is refused of which the number was read and rest, not
// empty, is no unit.
func refuse(text, rest string) error {
	head := strings.TrimSuffix(text, rest)
	glued := strings.TrimRight(head, blanks) == head
	switch {
	case glued && strings.ContainsAny(rest[:1], ",_'."):
		return refuseMarks(text)
	case strings.ContainsAny(rest[:1], "xX") && strings.Trim(head, "+-") == "0":
		return fmt.Errorf("%s is hexadecimal; write a decimal number, such as 12.5 mm", shown(text))
	case startsNumber(rest):
		return refuseSecond(text, strings.TrimRight(head, blanks), rest)
	}
	if near := Nearest(rest); near != "" {
		return fmt.Errorf("%s: the unit %s is not known; the nearest is %s", shown(text), shown(rest), near)
	}
	return fmt.Errorf("%s: the unit %s is not known; write one such as mm, kg or kPa", shown(text), shown(rest))
}

func startsNumber(text string) bool {
	d, _ := scanDecimal(text)
	return d.digits() > 0
}

// refuseSecond refuses "12 13 mm", of which first is the 12. A group of three
// digits may be meant as thousands, "19 480 g mm", and a fraction behind a
// hyphen as part of the number, "1-3/4 in".
func refuseSecond(text, first, rest string) error {
	unit := strings.Trim(strings.TrimLeft(rest, "+-0123456789./"), blanks)
	if _, ok := Lookup(unit); !ok {
		unit = "mm"
	}
	mend := first + " " + unit
	digits, after := scanDigits(strings.TrimPrefix(rest, "-"))
	switch {
	case len(digits) == 3 && rest[0] != '-' && !strings.HasPrefix(after, "/"):
		return fmt.Errorf("%s holds two numbers; thousands are written without a gap: %s", shown(text), shown(first+rest))
	case rest[0] == '-' && strings.HasPrefix(after, "/"):
		mend = first + " " + rest[1:]
	}
	return fmt.Errorf("%s holds two numbers; write one, such as %s", shown(text), shown(mend))
}

// refuseMarks refuses numbers with a decimal comma or with marks between groups
// of digits, and gives the number as it would be right.
func refuseMarks(text string) error {
	run := len(text) - len(strings.TrimLeft(text, "+-0123456789.,_'"))
	number, unit := text[:run], text[run:]
	what := "has a mark between its digits"
	if strings.Contains(number, ",") {
		what = "has a comma in its number"
	}
	var mends []string
	for _, reading := range readings(number) {
		if d, rest := scanDecimal(reading); d.digits() > 0 && rest == "" {
			mends = append(mends, shown(reading+unit))
		}
	}
	if mends == nil {
		mends = []string{"it like 12.5 mm"}
	}
	return fmt.Errorf("%s %s; write %s", shown(text), what, strings.Join(mends, " or "))
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
