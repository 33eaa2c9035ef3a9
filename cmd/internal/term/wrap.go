package term

import (
	"strings"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// measure counts the columns of text. Characters of which the width is a
// matter of the locale (±, µ) count as one, so that a table is the same on
// every machine.
var measure = &runewidth.Condition{StrictEmojiNeutral: true}

// cells is the width of clean text in columns, styles not counted.
func cells(s string) int {
	if plainASCII(s) {
		return len(s)
	}
	s = unstyled(s)
	columns := 0
	for _, r := range s {
		if !narrow(r) {
			return measure.StringWidth(s)
		}
		columns++
	}
	return columns
}

// narrow tells whether a character fills one column beside any other: letters of
// western Europe, dashes, quotation marks, arrows and signs of mathematics. To
// know more, the library fills a table of two megabytes, which takes a fifth of
// the time of a short command.
func narrow(r rune) bool {
	switch {
	case r < 0x300:
		return r >= ' ' && r <= '~' || r > 0xa0 && r != 0xad
	case r < 0x2190:
		return r >= 0x2010 && r < 0x2028 || r >= 0x2030 && r < 0x205f
	}
	return r < 0x2300
}

// Wrap cleans text and breaks it into lines of at most width columns, at
// spaces where it can, within a longer word after a slash, a point or a low line,
// or else anywhere. The
// text's own line breaks stay, and the indentation of a line goes on in what is
// broken off it, unless it takes half the width. A width of 0 or less is no
// limit; 1 counts as 2, which a wide character needs.
func Wrap(text string, width int) []string {
	text = strings.ReplaceAll(CleanLines(text), "\t", "    ")
	var lines []string
	for line := range strings.SplitSeq(text, "\n") {
		lines = append(lines, wrapLine(strings.TrimRight(line, " "), width)...)
	}
	return lines
}

func wrapLine(line string, width int) []string {
	if width <= 0 || cells(line) <= width {
		return []string{line}
	}
	body := strings.TrimLeft(line, " ")
	indent := line[:len(line)-len(body)]
	if len(indent) >= width/2 {
		indent = ""
	}
	room := max(width-len(indent), 2)
	lines := fill(body, room, room)
	for i := range lines {
		lines[i] = indent + lines[i]
	}
	return lines
}

// hanging breaks a clean line at its words; all but the first of the lines are
// indented by hang columns, unless that takes half the width. What stands in
// front of that column, such as a date, is left as it is.
func hanging(line string, width, hang int) string {
	if width <= 0 || cells(line) <= width {
		return line
	}
	if hang >= width/2 {
		hang = 0
	}
	head := line[:len(line)-len(strings.TrimLeft(line, " "))]
	if len(head) < hang && hang < len(line) && strings.HasSuffix(line[:hang], " ") && plainASCII(line[:hang]) {
		head = line[:hang]
	}
	hang = max(hang, len(head))
	lines := fill(line[len(head):], max(width-len(head), 2), max(width-hang, 2))
	return head + strings.Join(lines, "\n"+strings.Repeat(" ", hang))
}

// fill puts as many words on each line as there is room for, on the first as
// many as first says. Only a plain
// space parts words: 12.5 and mm with a no-break space between stay together.
func fill(body string, first, room int) []string {
	var lines []string
	left := first
	end := func(line string) { lines, left = append(lines, line), room }
	current := ""
	for word := range strings.SplitSeq(body, " ") {
		switch {
		case word == "":
			continue
		case current == "":
		case cells(current)+1+cells(word) <= left:
			word = current + " " + word
		default:
			end(current)
		}
		for cells(word) > left {
			head := headOf(word, left)
			end(head)
			word = word[len(head):]
		}
		current = word
	}
	return append(lines, current)
}

// headOf is what of a word that is too long stays on a line: never nothing.
func headOf(word string, room int) string {
	head := measure.Truncate(word, room, "")
	if head == "" {
		_, size := utf8.DecodeRuneInString(word)
		return word[:size]
	}
	for _, after := range []string{"/", "._"} {
		if at := strings.LastIndexAny(head, after); at > 0 {
			return head[:at+1]
		}
	}
	return head
}
