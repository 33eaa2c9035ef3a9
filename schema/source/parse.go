package source

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"

	"stackbook/schema/problem"
)

// parseTree has the text parsed. The tree is nil if the text holds no
// document.
func parseTree(name, text string) (*yaml.Node, *problem.Problem) {
	dec := yaml.NewDecoder(strings.NewReader(text))
	var doc, second yaml.Node
	err := dec.Decode(&doc)
	if errors.Is(err, io.EOF) {
		return nil, nil
	}
	if err == nil {
		err = dec.Decode(&second)
		if errors.Is(err, io.EOF) {
			return doc.Content[0], nil
		}
	}
	if err != nil {
		return nil, explain(name, text, err)
	}
	return nil, &problem.Problem{File: name, Line: second.Line, Column: second.Column, Rule: "more-than-one-document",
		Message: "a second YAML document begins here", Mend: "keep one document a file: remove the line ---"}
}

// shielded runs parse and turns a panic into a problem: a fault of the parser's
// own must cost the person one file, not the run.
func shielded(name string, parse func() (*yaml.Node, *problem.Problem)) (tree *yaml.Node, fault *problem.Problem) {
	defer func() {
		if r := recover(); r != nil {
			tree, fault = nil, &problem.Problem{File: name, Rule: ruleSyntax,
				Message: fmt.Sprintf("the file cannot be read as YAML (the parser gave up: %v)", r), Mend: "write it more simply"}
		}
	}()
	return parse()
}

// reach is the line, from 1, up to which the parser had to read before it saw
// that the text is wrong: the culprit's or the one behind it. The parser's own
// line is that of the mapping or list around, often far above.
func reach(text string) int {
	r := &byteReader{text: text}
	dec := yaml.NewDecoder(r)
	var doc yaml.Node
	for dec.Decode(&doc) == nil {
		continue // the fault lies in a later document
	}
	read := strings.TrimRight(text[:r.at], "\r\n")
	return len(splitLines(read))
}

// A byteReader hands out one byte at a time, so that it knows how much was
// asked for.
type byteReader struct {
	text string
	at   int
}

func (r *byteReader) Read(p []byte) (int, error) {
	if r.at >= len(r.text) || len(p) == 0 {
		return 0, io.EOF
	}
	p[0] = r.text[r.at]
	r.at++
	return 1, nil
}
