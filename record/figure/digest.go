package figure

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"sort"
	"strconv"
	"strings"
)

var errNotFinite = errors.New("the formula gives no finite number for these values")

// digested is one thing read, with its canonical value. of is what it tells of
// the input at the path: "" for the input itself.
type digested struct{ path, of, value string }

// digested takes one thing in; said again, the last counts.
func (s *Set) digested(path, of, value string) {
	s.digest = append(s.digest, digested{path, of, value})
}

// addDigest takes in what a figure read: its inputs, and the words that decided
// how it was worked.
func (s *Set) addDigest(l *Look) {
	for path, words := range l.said {
		s.digested(path, "", words)
	}
	for _, in := range l.inputs {
		if in.taken {
			continue
		}
		in.taken = true
		s.digested(in.Path, "", in.Exact)
		if in.warmth != "" {
			s.digested(in.Path, " warmth", in.warmth)
		}
		if in.Spread != nil && in.Spread.exact != "" {
			s.digested(in.Path, " uncertainty", in.Spread.exact)
		}
	}
}

// digestLimits adds what judges to what is digested: every bound used, and the
// guard band's k.
func (s *Set) digestLimits() {
	add := func(id string, l *Limit) {
		if l != nil && l.Set != "" {
			s.digested("limits "+id, " "+l.Kind, strconv.FormatFloat(l.Low, 'g', 12, 64)+" "+strconv.FormatFloat(l.High, 'g', 12, 64)+" "+strconv.FormatBool(l.Shown))
		}
	}
	var last *Result
	for _, r := range s.Results {
		if last == nil || last.Figure != r.Figure || last.Limit != r.Limit || last.Other != r.Other { // else it is said
			add(r.Figure.ID, r.Limit)
			add(r.Figure.ID, r.Other)
		}
		last = r
	}
	for _, m := range s.Missing {
		add(m.Figure.ID, m.Limit)
		add(m.Figure.ID, m.Other)
	}
	if s.Limits != nil {
		s.digested("limits guard", "", s.Limits.Text("guard"))
	}
}

// Digest is the SHA-256, in hexadecimal, of everything the figures read: a
// line "path TAB canonical value" each, sorted. The edit of a comment, another
// spelling of a unit or a value nobody reads changes nothing (R4).
func (s *Set) Digest() string {
	sum := sha256.Sum256([]byte(s.Read()))
	return hex.EncodeToString(sum[:])
}

// Read is the text that is digested: everything the figures read.
func (s *Set) Read() string {
	lines := make([]string, 0, len(s.digest))
	last := make(map[string]int, len(s.digest))
	for i, d := range s.digest {
		last[d.path+d.of] = i
	}
	for i, d := range s.digest {
		if last[d.path+d.of] == i {
			lines = append(lines, d.path+d.of+"\t"+d.value+"\n")
		}
	}
	sort.Strings(lines)
	return strings.Join(lines, "")
}
