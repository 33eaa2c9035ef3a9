package record

import (
	"fmt"
	"path"
	"strings"
	"unicode"

	"stackbook/schema"
	"stackbook/schema/problem"
)

// checkSpec sees that the spec agrees with its folder and with itself.
func (e *Engine) checkSpec() problem.List {
	var list problem.List
	at := func(dotted, rule, message, mend string) {
		n := e.Spec.Node(dotted)
		list = append(list, problem.Problem{File: e.Spec.Path, Line: n.Line(), Column: n.Column(), Rule: rule, Message: message, Mend: mend})
	}
	if e.Number != "" {
		if err := schema.CheckNumber(e.Number); err != nil {
			at("engine", "engine", err.Error(), "")
		} else if folder := path.Base(e.Folder); folder != e.Number {
			at("engine", "engine", fmt.Sprintf("the spec names engine %s but lies in the folder %s", e.Number, folder), "a number is permanent: rename the folder or write engine: "+folder)
		}
	}
	for _, key := range []string{"phases", "stations"} {
		if n := e.Spec.Node("geometry." + key); n != nil && e.Rotors > 0 && len(n.Items()) > 0 && len(n.Items()) != e.Rotors {
			at("geometry."+key, "count", fmt.Sprintf("geometry.%s has %d entries for %d rotors", key, len(n.Items()), e.Rotors), "write one for each rotor, from the front")
		}
	}
	return append(list, e.checkShape()...)
}

// checkShape sees that the trochoid is one a rotor can turn in.
func (e *Engine) checkShape() problem.List {
	ecc, ref, ok1 := e.Spec.Quantity("geometry.eccentricity")
	radius, _, ok2 := e.Spec.Quantity("geometry.generating_radius")
	if !ok1 || !ok2 || radius.SI() > 3*ecc.SI() {
		return nil
	}
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "shape",
		Message: fmt.Sprintf("a generating radius of %s is not more than three times the eccentricity of %s: the bore would cross itself", radius, ecc),
		Mend:    "the generating radius runs from the rotor centre to the centre of the seal tip, usually six to eight eccentricities"}}
}

// checkName sees that a session's file is named for its date, stage and
// person, DATE-STAGE-BY[-n].yaml, so that two benches don't collide (R12).
func (s *Session) checkName() problem.List {
	stage, by := s.Text("stage"), s.Text("by")
	if stage == "" || by == "" || s.Date.Time.IsZero() {
		return nil
	}
	want := SessionName(s.Date, stage, by, 1)
	stem := strings.TrimSuffix(s.Name(), ".yaml")
	rest, ok := strings.CutPrefix(stem, strings.TrimSuffix(want, ".yaml"))
	if ok && (rest == "" || isSuffixNumber(rest)) {
		return nil
	}
	return problem.List{{File: s.Path, Rule: "file-name", Message: "the file's name does not tell its date, stage and person", Mend: "name it " + want}}
}

// SessionName is the file name of a session; n tells apart several of one day,
// stage and person.
func SessionName(date schema.Date, stage, by string, n int) string {
	name := date.Day() + "-" + stage + "-" + FileWord(by)
	if n > 1 {
		name += fmt.Sprintf("-%d", n)
	}
	return name + ".yaml"
}

// FileWord makes a few words fit for a file name: letters, digits and hyphens.
func FileWord(words string) string {
	var b strings.Builder
	for _, r := range words {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

func isSuffixNumber(rest string) bool {
	n := 0
	_, err := fmt.Sscanf(rest, "-%d", &n)
	return err == nil && n > 1 && rest == fmt.Sprintf("-%d", n)
}

// mustTouch are the kinds of change that always alter something.
var mustTouch = map[string]bool{"machining": true, "replacement": true, "repair": true}

// checkTouches sees that a change which alters parts says which: readings taken
// before it would go on counting without a word (R1).
func (c *Change) checkTouches() problem.List {
	if c.Kind == nil || !mustTouch[c.Kind.Name] || len(c.Touches) > 0 {
		return nil
	}
	n := c.Node("kind")
	return problem.List{{File: c.Path, Line: n.Line(), Column: n.Column(), Rule: "R1",
		Message: "a " + c.Kind.Name + " that touches nothing voids no reading", Mend: "say what it altered: touches: [housing/2]"}}
}

// checkBuilds sees that no record speaks of a build that is yet to come and
// that no build is delivered twice (R2).
func (e *Engine) checkBuilds() problem.List {
	var list problem.List
	late := func(r *Record, build int) {
		if e.Build == 0 || build <= e.Build {
			return
		}
		n := r.Node("build")
		list = append(list, problem.Problem{File: r.Path, Line: n.Line(), Column: n.Column(), Rule: "build",
			Message: fmt.Sprintf("this record is of build %d, and the spec describes build %d", build, e.Build), Mend: fmt.Sprintf("write build: %d, or raise build in spec.yaml", e.Build)})
	}
	for _, s := range e.Sessions {
		late(s.Record, s.Build)
	}
	first := map[int]string{}
	for _, c := range e.Changes {
		late(c.Record, c.Build)
		list = append(list, c.checkTouches()...)
		if c.Kind == nil || c.Kind.Name != "delivery" {
			continue
		}
		if before, ok := first[c.Build]; ok {
			n := c.Node("kind")
			list = append(list, problem.Problem{File: c.Path, Line: n.Line(), Column: n.Column(), Rule: "delivered-twice",
				Message: fmt.Sprintf("build %d is delivered here and in %s", c.Build, before), Mend: "keep the one that happened"})
		}
		first[c.Build] = c.Path
	}
	return list
}
