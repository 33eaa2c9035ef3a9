package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"
)

//go:embed sheet.html
var sheetHTML string

//go:embed sheet.css
var sheetCSS string

//go:embed search.js
var searchScript string

var htmlTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Funcs(template.FuncMap{"table": tableHTML}).Parse(sheetHTML))
})

// HTML writes a document as one page that needs no other file. Nothing is
// written when the page cannot be made.
func HTML(w io.Writer, d *Document) error { return set(w, d, sheetCSS, "") }

// Linked writes a document as one of many pages that share a style sheet: style
// is its path from the page's folder. Nothing is written when the page cannot be
// made.
func Linked(w io.Writer, d *Document, style string) error { return set(w, d, "", style) }

// Style is the style sheet that linked pages share.
func Style() []byte { return []byte(sheetCSS) }

func set(w io.Writer, d *Document, style, shared string) error {
	s := newSheet(d)
	style += runningFoot(s.Title)
	script := ""
	if s.Search {
		script = searchScript
	}
	var b bytes.Buffer
	err := htmlTemplate().Execute(&b, struct {
		*sheet
		Style                template.CSS
		Script               template.JS
		Digest, ScriptDigest string
		Shared               string
	}{s, template.CSS(style), template.JS(script), digest(style), digest(script), shared})
	if err != nil {
		return fmt.Errorf("setting the sheet as HTML: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// digest names a style or script in a content security policy.
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return base64.StdEncoding.EncodeToString(sum[:])
}

// markClass is the style class of a mark, empty for none.
func markClass(m Mark) string {
	switch m {
	case Good:
		return "good"
	case Bad:
		return "bad"
	case Open:
		return "open"
	}
	return ""
}

// Class is the style class of a column's cells: numbers to the right, sentences
// not squeezed, short words never broken.
func (c *column) Class() string {
	switch {
	case c.Right && c.Longest >= long:
		return "right long"
	case c.Right:
		return "right"
	case c.Longest >= long:
		return "long"
	case c.Longest <= short:
		return "short"
	}
	return ""
}

// longestFoot is the number of characters of a title that fit at the foot of a
// printed page.
const longestFoot = 70

// runningFoot is the style that repeats the title at the foot of every printed
// page, so that a loose leaf still says to which engine it belongs.
func runningFoot(title string) string {
	if runes := []rune(title); len(runes) > longestFoot {
		title = string(runes[:longestFoot-1]) + "…"
	}
	return "@page { @bottom-left { content: " + cssString(title) + "; } }\n"
}

// cssString writes a text as a CSS string of letters, digits, spaces and
// escapes, so that no character of it can end the string or the style.
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\%x `, r) // the space ends the escape
		}
	}
	b.WriteByte('"')
	return b.String()
}
