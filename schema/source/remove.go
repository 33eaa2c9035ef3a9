package source

import "strings"

// Remove takes out the key or item at a path, with its value, the comment
// behind it on its line, and the line itself if nothing else is on it.
// Comments above and below stay. The last value of a mapping or list leaves
// {} or [] behind. It is refused where a comment of something else would go.
func (d *Doc) Remove(path []string) (*Doc, error) {
	s, err := d.spot(path)
	if err != nil {
		return nil, err
	}
	if s.parent == nil {
		return nil, d.refuse(s.node, "the whole file cannot be taken out", "give the key of a value")
	}
	if len(s.parent.entries)+len(s.parent.items) == 1 && len(path) > 1 {
		return d.SetRaw(path[:len(path)-1], map[Kind]string{Map: "{}", List: "[]"}[s.parent.kind])
	}
	sp, why := d.cut(s)
	if why == "" {
		sp.want = changed(d.root, path[:len(path)-1], func(n *Node) *Node { return n.without(s.i) })
		var next *Doc
		if next, err = d.apply(sp); err == nil {
			return next, nil
		}
		why = err.Error()
	}
	return nil, d.refuse(s.node, why, "take out by hand: "+strings.TrimSpace(d.lead(s)))
}

// bounds gives the offsets of the entry or item i of a collection.
func (n *Node) bounds(i int) (start, stop int) {
	if n.kind == Map {
		return n.entries[i].start, n.entries[i].stop()
	}
	return n.items[i].start, n.items[i].stop(n.style)
}

// cut finds what to take out of the text.
func (d *Doc) cut(s spot) (sp splice, why string) {
	count := len(s.parent.entries) + len(s.parent.items)
	start, stop := s.parent.bounds(s.i)
	next := stop
	if s.i+1 < count {
		next, _ = s.parent.bounds(s.i + 1)
	}
	if s.parent.style != block {
		if s.i+1 == count && s.i > 0 {
			_, start = s.parent.bounds(s.i - 1)
		}
		if len(d.commentsIn(start, next)) > 0 {
			return sp, "a comment stands beside it"
		}
		return splice{start: start, end: next}, ""
	}
	end := lineStop(d.text, stop)
	switch margin := lineBefore(d.text, start); {
	case strings.Trim(margin, " ") == "":
		return splice{start: start - len(margin), end: nextLine(d.text, end)}, ""
	case next == stop || len(d.commentsIn(end, next)) > 0:
		return sp, "something else stands on its first line"
	}
	return splice{start: start, end: next}, ""
}
