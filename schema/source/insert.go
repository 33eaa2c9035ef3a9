package source

import (
	"slices"
	"strings"
)

// Insert adds a key with its value at the end of the mapping at a path (R21):
// behind the last byte of the key before it and its comment, in its
// indentation and line end; in a mapping in braces before the closing one.
// Where nothing is written at the path yet, the mapping is begun there;
// mappings above it are not. raw is the value as YAML: one line, perhaps from
// Quote, or a mapping, list or block text on several, whose indentation is
// adapted. It is refused next to anchors, tags, aliases and block texts, and
// where the key is there already.
func (d *Doc) Insert(path []string, key, raw string) (*Doc, error) {
	s, err := d.spot(path)
	if err != nil {
		return nil, err
	}
	if e := s.node.find(key); s.node.kind == Map && e >= 0 {
		return nil, d.refuse(s.node.entries[e].Value, key+" is there already", "change it in place")
	}
	return d.add(s, Map, key, raw)
}

// Append adds an item at the end of the list at a path, in the way Insert adds
// a key to a mapping.
func (d *Doc) Append(path []string, raw string) (*Doc, error) {
	s, err := d.spot(path)
	if err != nil {
		return nil, err
	}
	return d.add(s, List, "", raw)
}

// An addition is a key and value, or an item, to be put in at a spot.
type addition struct {
	spot
	layout
	kind Kind
	head string // the key with its colon, or the dash
}

// add puts in a key, or an item if kind is List.
func (d *Doc) add(s spot, kind Kind, key, raw string) (*Doc, error) {
	a := addition{spot: s, kind: kind, head: "-"}
	if kind == Map {
		a.head = writeKey(key) + ":"
	}
	typed := a.head + " " + strings.TrimSpace(raw)
	if s.node.kind != kind && !s.node.IsNull() {
		return nil, d.refuse(s.node, "here stands "+s.node.kind.String()+", not "+kind.String(), "give the key of "+kind.String())
	}
	var err error
	if a.layout, err = newLayout(raw); err != nil {
		return nil, d.byHand(s.node, "the new value cannot be put in: "+err.Error(), typed)
	}
	sp, why := d.place(a)
	if why == "" {
		sp.want = changed(d.root, s.path, func(n *Node) *Node { return n.with(kind, key, a.value) })
		var next *Doc
		if next, err = d.apply(sp); err == nil {
			return next, nil
		}
		why = err.Error()
	}
	return nil, d.byHand(s.node, why, typed)
}

// place finds where an addition goes and how it is written there; why tells
// what stands against it.
func (d *Doc) place(a addition) (sp splice, why string) {
	n := a.node
	switch {
	case n.marked || n.style == pair:
		return sp, "the place is marked with an anchor or a tag, or has no braces"
	case n.kind == Scalar:
		return d.placeInNothing(a)
	case n.style == flow:
		return d.placeInFlow(a)
	case len(n.entries)+len(n.items) == 0:
		return d.placeInEmptyFile(a), ""
	}
	last, stop := n.last()
	if last.delicate() {
		return sp, "an anchor, a tag, an alias or a block text stands right before it"
	}
	return d.below(a, lineStop(d.text, stop), n.column-1), ""
}

// last is a collection's last value and the offset behind it.
func (n *Node) last() (value *Node, stop int) {
	if n.kind == Map {
		e := n.entries[len(n.entries)-1]
		return e.Value, e.stop()
	}
	it := n.items[len(n.items)-1]
	return it.value, it.stop(n.style)
}

// delicate reports whether what ends a value forbids writing right behind it.
func (n *Node) delicate() bool {
	if n.marked || n.alias || n.style == literal || !n.proven {
		return true
	}
	if n.style != block || len(n.entries)+len(n.items) == 0 {
		return false
	}
	last, _ := n.last()
	return last.delicate()
}

// below puts an addition on lines of its own behind the line that ends at an
// offset, indented by a number of spaces.
func (d *Doc) below(a addition, at, indent int) splice {
	eol := lineEnd(d.text[at:])
	if at == len(d.text) {
		eol = lineEnd(d.text)
	}
	text := eol + a.behind(a.head, strings.Repeat(" ", indent), d.inner(a), eol)
	if at == len(d.text) && a.value.delicate() {
		text += eol // a block text needs the end of its last line
	}
	return splice{start: at, end: at, text: text, comments: a.comments}
}

// inner is how much further in the lines below an addition's first one stand.
func (d *Doc) inner(a addition) string {
	if a.kind == List {
		return "  " // as wide as the dash and its blank
	}
	return d.step(Map)
}

// placeInEmptyFile begins the top mapping of a file that has none.
func (d *Doc) placeInEmptyFile(a addition) splice {
	at, eol := len(d.text), lineEnd(d.text)
	text := a.behind(a.head, "", d.inner(a), eol) + eol
	if lineBefore(d.text, at) != "" {
		text = eol + text
	}
	return splice{start: at, end: at, text: text, comments: a.comments}
}

// placeInNothing begins a mapping or list where nothing is written: below its
// key, or in brackets where there is no room below.
func (d *Doc) placeInNothing(a addition) (splice, string) {
	n := a.node
	switch {
	case n.start < n.end || a.inFlow():
		if len(a.below) > 0 {
			return splice{}, "several lines do not fit between brackets"
		}
		start, end, text := n.start, n.end, a.inBrackets()
		if start == end {
			start, end, text = d.blankPlace(start, text)
		}
		return splice{start: start, end: end, text: text, comments: a.comments}, ""
	case a.parent.kind == List:
		start, end, lead := d.blankPlace(n.start, "")
		column := a.parent.column - 1 + len("- ")
		text := a.behind(a.head, strings.Repeat(" ", column), d.inner(a), lineEnd(d.text))
		return splice{start: start, end: end, text: lead + strings.TrimLeft(text, " "), comments: a.comments}, ""
	}
	return d.below(a, lineStop(d.text, n.end), a.parent.column-1+len(d.step(a.kind))), ""
}

// inBrackets writes an addition as a collection of its own.
func (a addition) inBrackets() string {
	if a.kind == Map {
		return "{" + a.inFlowText() + "}"
	}
	return "[" + a.inFlowText() + "]"
}

// inFlowText writes an addition as it stands between brackets.
func (a addition) inFlowText() string {
	if a.kind == Map {
		return strings.TrimRight(a.head+" "+a.line, " ")
	}
	return a.line
}

// placeInFlow puts an addition before a closing bracket. Where the last value
// stands on a line of its own, so does the new one.
func (d *Doc) placeInFlow(a addition) (sp splice, why string) {
	if len(a.below) > 0 {
		return sp, "several lines do not fit between brackets"
	}
	n, text := a.node, a.inFlowText()
	if len(n.entries)+len(n.items) == 0 {
		at := n.start + 1
		return splice{start: at, end: at, text: text, comments: a.comments}, ""
	}
	last, at := n.last()
	if last.delicate() {
		return sp, "an anchor, a tag or an alias stands right before it"
	}
	start := last.start
	if n.kind == Map {
		start = n.entries[len(n.entries)-1].start
	}
	tail := d.text[at:n.end]
	comma := strings.HasPrefix(strings.TrimLeft(tail, " \t"), ",")
	if margin := lineBefore(d.text, start); strings.Trim(margin, " ") == "" {
		if stop := lineStop(d.text, at); stop < n.end {
			return d.onOwnLine(a, at, stop, margin, comma), ""
		}
	}
	if comma {
		at += strings.IndexByte(tail, ',') + 1
		return splice{start: at, end: at, text: " " + text, comments: a.comments}, ""
	}
	return splice{start: at, end: at, text: ", " + text, comments: a.comments}, ""
}

// onOwnLine puts an addition on a line of its own between brackets, behind the
// line that ends at stop; the last value, which ends at at, gets its comma.
func (d *Doc) onOwnLine(a addition, at, stop int, margin string, comma bool) splice {
	eol, text := lineEnd(d.text[stop:]), a.inFlowText()
	kept := d.text[at:stop]
	if comma {
		text += ","
	} else {
		kept = "," + kept
	}
	return splice{start: at, end: stop, text: kept + eol + margin + text,
		comments: slices.Concat(d.commentsIn(at, stop), a.comments)}
}

// step is how much further in the document indents what stands below a key:
// as its first mapping below a key does, or its first list where kind is List;
// two spaces where there is none.
func (d *Doc) step(kind Kind) string {
	if n := firstStep(d.root, kind); n >= 0 {
		return strings.Repeat(" ", n)
	}
	return "  "
}

// firstStep is the indentation of the first block collection of a kind below
// a key, -1 if there is none.
func firstStep(n *Node, kind Kind) int {
	for _, e := range n.entries {
		if v := e.Value; n.style == block && v.kind == kind && v.style == block && !v.alias {
			return v.column - n.column
		}
		if found := firstStep(e.Value, kind); found >= 0 {
			return found
		}
	}
	for _, it := range n.items {
		if found := firstStep(it.value, kind); found >= 0 {
			return found
		}
	}
	return -1
}
