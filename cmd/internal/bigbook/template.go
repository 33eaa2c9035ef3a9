package bigbook

import "strings"

// template is a text with words to fill in, written as $word$.
type template struct {
	texts []string // one more than words
	words []string
}

func parseTemplate(text string) *template {
	pieces := strings.Split(text, "$")
	if len(pieces)%2 == 0 {
		panic("bigbook: a $ too many in " + text)
	}
	t := &template{}
	for i, p := range pieces {
		if i%2 == 0 {
			t.texts = append(t.texts, p)
		} else {
			t.words = append(t.words, p)
		}
	}
	return t
}

// fill appends the text with its words filled in.
func (t *template) fill(to []byte, word func(string) string) []byte {
	for i, w := range t.words {
		to = append(to, t.texts[i]...)
		to = append(to, word(w)...)
	}
	return append(to, t.texts[len(t.words)]...)
}

func (t *template) text(word func(string) string) string { return string(t.fill(nil, word)) }
