package source

import "strings"

// Set replaces the scalar at a path by another text. It keeps the quotes the
// value had. A value without quotes stays so if every YAML reader takes the
// new text for text, or if it is a plain decimal or a day, which all of them
// read alike; otherwise it is quoted: Set of 00123 writes "00123". Where
// nothing is written (empty, ~ or null) it may be set too. Block texts,
// aliases, mappings and lists are refused.
func (d *Doc) Set(path []string, value string) (*Doc, error) {
	s, err := d.spot(path)
	if err != nil {
		return nil, err
	}
	if s.node.kind != Scalar {
		return nil, d.refuse(s.node, "here stands "+s.node.kind.String()+", not "+Scalar.String(), "give the key of a single value")
	}
	raw := writeScalar(s.node, value, s.inFlow())
	if s.node.style == literal {
		return nil, d.byHand(s.node, "the value is a text block", d.lead(s)+raw)
	}
	want := &Node{text: value}
	if raw != value {
		want.style = double
	}
	return d.replace(s, raw, want)
}

// SetRaw replaces the value at a path by YAML as it is to be written, on one
// line: a list [3.064, 3.063], a quoted text, or nothing. The old value may
// have any shape, as long as no comment stands within it.
func (d *Doc) SetRaw(path []string, raw string) (*Doc, error) {
	s, err := d.spot(path)
	if err != nil {
		return nil, err
	}
	if s.parent == nil {
		return nil, d.refuse(s.node, "the whole file cannot be set at once", "give the key of a value")
	}
	raw = strings.Trim(raw, " ")
	if s.node.style == literal {
		return nil, d.byHand(s.node, "the value is a text block", d.lead(s)+raw)
	}
	want, err := readLine(raw)
	if err != nil {
		return nil, d.byHand(s.node, "the new value cannot be written in its place: "+err.Error(), d.lead(s)+raw)
	}
	return d.replace(s, raw, want)
}

// replace writes raw, which reads as want, in the place of a value.
func (d *Doc) replace(s spot, raw string, want *Node) (*Doc, error) {
	sp := splice{start: s.node.start, end: s.node.end, text: raw}
	sp.want = changed(d.root, s.path, func(*Node) *Node { return want })
	switch {
	case s.node.style == pair || s.node.marked && (sp.start == sp.end || s.node.style == block):
		return nil, d.byHand(s.node, "the value cannot be told from what is around it", d.lead(s)+raw)
	case raw == "" || s.node.style == block:
		sp.start = s.after()
		sp.text = strings.TrimRight(" "+raw, " ")
	case sp.start == sp.end:
		sp.start, sp.end, sp.text = d.blankPlace(s.node.start, raw)
	}
	if len(d.commentsIn(sp.start, sp.end)) > 0 {
		return nil, d.byHand(s.node, "a comment stands within the old value", d.lead(s)+raw)
	}
	next, err := d.apply(sp)
	if err != nil {
		return nil, d.byHand(s.node, err.Error(), d.lead(s)+raw)
	}
	return next, nil
}

// blankPlace is where to write a value where there is none yet: behind the
// blanks that stand there, or, where a comment follows them, before them.
func (d *Doc) blankPlace(at int, raw string) (start, end int, text string) {
	behind := strings.TrimLeft(d.text[at:], " ")
	stop := len(d.text) - len(behind)
	if stop > at && !strings.HasPrefix(behind, "#") {
		return stop, stop, raw
	}
	return at, at, " " + raw
}

// writeScalar writes value in the way old is written.
func writeScalar(old *Node, value string, inFlow bool) string {
	switch old.style {
	case single:
		if q, ok := quoteSingle(value); ok {
			return q
		}
	case plain:
		if plainSafe(value, inFlow) && (!typed().MatchString(value) || tame().MatchString(value)) {
			return value
		}
	}
	return quoteDouble(value)
}

// writeKey writes a key. Numbers stand as they are; keys are text to us
// whatever they look like.
func writeKey(key string) string {
	if tame().MatchString(key) {
		return key
	}
	return Quote(key)
}
