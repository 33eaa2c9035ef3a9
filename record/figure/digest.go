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

// addDigest takes in what a figure read: its inputs, and the words that decided
// how it was worked.
func (s *Set) addDigest(l *Look) {
	for path, words := range l.said {
		s.digest[path] = words
	}
	for _, in := range l.inputs {
		if in.taken {
			continue
		}
		in.taken = true
		s.digest[in.Path] = in.Exact
		if in.warmth != "" {
			s.digest[in.Path+" warmth"] = in.warmth
		}
		if in.Spread != nil && in.Spread.exact != "" {
			s.digest[in.Path+" uncertainty"] = in.Spread.exact
		}
	}
}

// digestLimits adds what judges to what is digested: every bound used, and the
// guard band's k.
func (s *Set) digestLimits() {
	add := func(id string, l *Limit) {
		if l != nil && l.Set != "" {
			s.digest["limits "+id+" "+l.Kind] = strconv.FormatFloat(l.Low, 'g', 12, 64) + " " + strconv.FormatFloat(l.High, 'g', 12, 64) + " " + strconv.FormatBool(l.Shown)
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
		s.digest["limits guard"] = s.Limits.Text("guard")
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
	for path, value := range s.digest {
		lines = append(lines, path+"\t"+value+"\n")
	}
	sort.Strings(lines)
	return strings.Join(lines, "")
}
