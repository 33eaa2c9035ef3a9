package page

import (
	"regexp"
	"strings"
)

// special makes the characters that mean something anywhere in Markdown stand
// for themselves. Angle brackets and the ampersand become entities, since some
// readers pass markup behind a backslash on.
var special = strings.NewReplacer(
	`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`,
	"|", `\|`, "~", `\~`, "$", `\$`, "#", `\#`, "<", "&lt;", ">", "&gt;", "&", "&amp;",
	"://", `\://`, "www.", `www\.`,
)

// escape makes plain text stand for itself inside a line of Markdown. An
// address becomes no link.
func escape(s string) string { return special.Replace(s) }

// opening is what makes a list, a heading or a rule of the line it begins,
// beside what is special anywhere.
var opening = regexp.MustCompile(`^(?:[+=:-]|[0-9]+[.)])`)

// paragraph is escape for text that begins a line.
func paragraph(s string) string {
	s = escape(s)
	if at := opening.FindStringIndex(s); at != nil {
		s = s[:at[1]-1] + `\` + s[at[1]-1:]
	}
	return s
}
