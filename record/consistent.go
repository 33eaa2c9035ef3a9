package record

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// checkSpec sees that the spec agrees with its folder and with itself.
func (e *Engine) checkSpec() problem.List {
	if e.Spec == nil {
		return nil
	}
	list := e.checkNumber()
	at := func(dotted, rule, message, mend string) {
		n := e.Spec.Node(dotted)
		list = append(list, problem.Problem{File: e.Spec.Path, Line: n.Line(), Column: n.Column(), Rule: rule, Message: message, Mend: mend})
	}
	for _, key := range []string{"phases", "stations"} {
		if n := e.Spec.Node("geometry." + key); n != nil && e.Rotors > 0 && len(n.Items()) > 0 && len(n.Items()) != e.Rotors {
			at("geometry."+key, "count", fmt.Sprintf("geometry.%s has %d entries for %d rotors", key, len(n.Items()), e.Rotors), "write one for each rotor, from the front")
		}
	}
	return slices.Concat(list, e.checkShape(), e.checkPlanes())
}

// checkNumber sees that the folder is named by an engine number and that the
// spec names the same (R11). The folder is what the book knows an engine by, so
// the record that departs from it is at fault, not all others.
func (e *Engine) checkNumber() problem.List {
	named := e.Spec.Text("engine")
	if err := schema.CheckNumber(e.Number); err != nil {
		mend := "rename the folder"
		if schema.CheckNumber(named) == nil {
			mend += " to " + named
		}
		return problem.List{{File: e.Folder, Rule: "engine", Message: "the folder's name " + err.Error(), Mend: mend}}
	}
	if named == "" || named == e.Number {
		return nil
	}
	n := e.Spec.Node("engine")
	p := problem.Problem{File: e.Spec.Path, Line: n.Line(), Column: n.Column(), Rule: "engine",
		Message: fmt.Sprintf("the spec names engine %s but lies in the folder %s", named, e.Number),
		Mend:    "a number is permanent: write engine: " + e.Number + ", or rename the folder"}
	if err := schema.CheckNumber(named); err != nil {
		p.Message, p.Mend = err.Error(), "write: engine: "+e.Number
	}
	return problem.List{p}
}

// checkShape sees that the trochoid is one a rotor can turn in, and that its bore
// is one a seal tip of this radius can follow. A size that is none by itself, such
// as one below nought, is the dictionary's to tell.
func (e *Engine) checkShape() problem.List {
	ecc, ref, ok1 := e.Spec.Quantity("geometry.eccentricity")
	radius, _, ok2 := e.Spec.Quantity("geometry.generating_radius")
	if !ok1 || !ok2 {
		return nil
	}
	if radius.SI() <= 3*ecc.SI() {
		return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "shape",
			Message: fmt.Sprintf("a generating radius of %s is not more than three times the eccentricity of %s: the bore would cross itself", radius, ecc),
			Mend:    radiusMend}}
	}
	return e.checkTip(ecc.SI(), radius.SI())
}

const radiusMend = "the generating radius runs from the rotor centre to the centre of the seal tip, usually six to eight eccentricities"

// checkTip sees that the radius of the seal tip is smaller than the radius of the
// trochoid's curve at the waist, (R-3e)^2/(9e-R) with the eccentricity e and the
// generating radius R > 3e in m (own derivation, as in the formulas of the bore).
// From R = 9e on the waist does not curve towards the centre, and any tip follows.
func (e *Engine) checkTip(ecc, radius float64) problem.List {
	tip, ref, ok := e.Spec.Quantity("geometry.seal_tip_radius")
	waist, bend := radius-float64(3*ecc), float64(9*ecc)-radius
	if !ok || float64(tip.SI()*bend) < float64(waist*waist) {
		return nil
	}
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "shape",
		Message: fmt.Sprintf("a seal tip radius of %s is not smaller than that of the hollow of the waist, %s mm: the bore would come to a point there", tip, quantity.Format(1e3*waist*waist/bend, 3)),
		Mend:    "write a smaller one, or look at the two sizes the hollow comes from: " + radiusMend}}
}

// checkPlanes sees that the two counterweights lie in two planes: in one they
// could not balance a couple.
func (e *Engine) checkPlanes() problem.List {
	front, _, ok1 := e.Spec.Quantity("balance.front_plane")
	rear, ref, ok2 := e.Spec.Quantity("balance.rear_plane")
	if !ok1 || !ok2 || !front.Equal(rear) {
		return nil
	}
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "shape",
		Message: fmt.Sprintf("the front and the rear counterweight lie in one plane, at %s", rear),
		Mend:    "give each its own axial place, from rotor 1, rearward positive: that of the front one is mostly below nought"}}
}

// checkNames sees that each session's file is named for its date, stage and
// person, DATE-STAGE-BY[-n].yaml, so that two benches don't collide (R12). The
// name proposed is one that no other file has.
func (e *Engine) checkNames(files []File) problem.List {
	var list problem.List
	names := map[string]bool{}
	for _, f := range files {
		names[path.Base(f.Path)] = true
	}
	for _, s := range e.Sessions {
		if n := s.Node("by"); s.By != "" && FileWord(s.By) == "" {
			list = append(list, problem.Problem{File: s.Path, Line: n.Line(), Column: n.Column(), Rule: "word", Message: fmt.Sprintf("by: %q has no letter or digit to name the file by", s.By), Mend: "write initials: by: KM"})
		}
		if s.wellNamed() {
			continue
		}
		n := 1
		for names[s.properName(n)] {
			n++
		}
		names[s.properName(n)] = true
		list = append(list, problem.Problem{File: s.Path, Rule: "file-name", Message: "the file's name does not tell its date, stage and person", Mend: "name it " + s.properName(n)})
	}
	return list
}

// wellNamed tells whether the file's name is one the session may have. Where
// date, stage or person cannot be read they are what is at fault, and not the
// name.
func (s *Session) wellNamed() bool {
	if s.Stage == nil || FileWord(s.By) == "" || s.Date.Time.IsZero() {
		return true
	}
	rest, ok := strings.CutPrefix(strings.TrimSuffix(s.Name(), ".yaml"), strings.TrimSuffix(s.properName(1), ".yaml"))
	return ok && (rest == "" || isSuffixNumber(rest))
}

func (s *Session) properName(n int) string { return SessionName(s.Date, s.Stage.Name, s.By, n) }

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
