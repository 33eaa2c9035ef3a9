package page

import (
	"regexp"
	"strings"
	"sync"
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

// numbered is what makes an item of a numbered list of the line it begins.
var numbered = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^([0-9]+)([.)](?: |$))`)
})

// paragraph is escape for text that begins a line, where a few more characters
// make a list, a heading or a rule of it.
func paragraph(s string) string {
	s = escape(s)
	if s != "" && strings.Contains("-+=:", s[:1]) {
		return `\` + s
	}
	return numbered().ReplaceAllString(s, `$1\$2`)
}
