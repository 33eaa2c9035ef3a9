package record

import (
	"slices"
	"strings"

	"stackbook/schema"
)

// touchedWhere lists the positions at which a change would have touched what a
// reading was taken on. A part with a serial may have moved since, or been
// away: in the build of the change it was where the sessions of that build read
// it, until it was replaced there, and not where they read another. Where no
// record tells, it may have been at either position it is known at.
func (e *Engine) touchedWhere(c *Change, position string, t taken, bySerial bool) []string {
	if !bySerial {
		if c.Build == t.session.Build {
			return []string{t.reading.Position}
		}
		return []string{position}
	}
	now := t.reading.Point.PartOf(position)
	then := t.reading.Point.PartOf(t.reading.Position)
	seen, others := e.seenBefore(c, t.session.Serial(then), now)
	if c.Build == e.Build {
		seen = append(seen, now)
	}
	if len(seen) == 0 {
		for _, p := range []string{now, then} {
			if !slices.Contains(others, p) {
				seen = append(seen, p)
			}
		}
	}
	rest := strings.TrimPrefix(position, now)
	for i := range seen {
		seen[i] += rest
	}
	return seen
}

// seenBefore tells where the sessions of a change's build read a part of that
// serial, and where they read others. A position it had left by the day of the
// change is none of them, unless it is there now.
func (e *Engine) seenBefore(c *Change, serial, now string) (seen, others []string) {
	for _, s := range e.Sessions {
		n := s.Node("parts")
		if s.Build != c.Build || n == nil {
			continue
		}
		for _, entry := range n.Entries() {
			read := s.Serial(entry.Key)
			left := entry.Key != now && e.replacedBetween(entry.Key, s.Date, c)
			switch {
			case read == serial && !left:
				seen = append(seen, entry.Key)
			case read != serial && read != "" || left:
				others = append(others, entry.Key)
			}
		}
	}
	return seen, others
}

// replacedBetween tells whether what was at a position is known to have been
// replaced after a day and before a change.
func (e *Engine) replacedBetween(position string, date schema.Date, before *Change) bool {
	for _, c := range e.Changes {
		if c == before || c.Kind == nil || c.Kind.Name != "replacement" || !c.Reaches(position) {
			continue
		}
		order, known := c.Date.Compare(date)
		earlier, sure := c.Date.Compare(before.Date)
		if known && order > 0 && sure && earlier < 0 {
			return true
		}
	}
	return false
}

// Behind tells whether the change came after a session. On one day without times
// it came after what is read when an engine arrives, up to its cleaning, and
// before the rest.
func (c *Change) Behind(s *Session) bool {
	if order, known := c.Date.Compare(s.Date); known {
		return order > 0
	}
	_, cleaned := schema.FindStage("after-cleaning")
	return s.Order <= cleaned
}

// Within tells whether the change touched a position, what it lies in or what
// lies in it.
func (c *Change) Within(position string) bool {
	return slices.ContainsFunc(c.Touches, func(touched string) bool {
		return schema.Below(position, touched) || schema.Below(touched, position)
	})
}

// Reaches tells whether the change altered a position, or all it lies in.
func (c *Change) Reaches(position string) bool {
	for _, touched := range c.Touches {
		if schema.Below(position, touched) {
			return true
		}
	}
	return false
}
