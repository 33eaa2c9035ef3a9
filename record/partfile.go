package record

import (
	"fmt"
	"sort"
	"strings"
	"unicode"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// PartFile is one file of parts/: a single part with its serial, or a lot of
// parts without, and where it has been besides in an engine.
type PartFile struct {
	*Record
	Serial string
	Lot    string
	Number string // part number
	What   string
	Pieces int // of a lot, when it came; 0 where not said
	Moves  []Move
}

// Move is one entry of a part's whereabouts.
type Move struct {
	Since  schema.Date
	Is     string // a word of schema.Whereabouts
	Where  string
	Hours  *Hours // the part's own, in all engines; nil where not said
	Pieces int    // of a lot, that went there; 0 where not said
	Why    string
	By     string
	Ref    Ref
}

// ReadPart reads one file of parts/ and checks it by itself: one serial or one
// lot, a name that tells it, moves in order of their dates and no more pieces
// of a lot than came. The part is nil when the text cannot be read at all.
func ReadPart(f File) (*PartFile, problem.List) {
	r, problems := Read(f, "part", 0)
	if r == nil {
		return nil, problems
	}
	p := &PartFile{Record: r, Serial: r.Text("serial"), Lot: r.Text("lot"), Number: r.Text("part"), What: r.Text("what"), Pieces: r.Number("pieces")}
	if unknownFormat(problems) {
		return p, problems
	}
	p.readMoves()
	for _, check := range []func() problem.List{p.checkIdentity, p.checkName, p.checkOrder, p.checkPieces} {
		problems = append(problems, check()...)
	}
	problems.Sort()
	return p, problems
}

func (p *PartFile) readMoves() {
	n := p.Node("whereabouts")
	if n == nil {
		return
	}
	for _, item := range n.Items() {
		if item.Kind() != source.Map {
			continue
		}
		m := Move{Is: textOf(item, "is"), Where: textOf(item, "where"), Why: textOf(item, "why"), By: textOf(item, "by"), Ref: p.Ref(item)}
		m.Since, _ = schema.ParseDate(textOf(item, "since"))
		if _, err := fmt.Sscanf(textOf(item, "pieces"), "%d", &m.Pieces); err != nil {
			m.Pieces = 0
		}
		m.Hours = hoursAt(p.Record, item)
		p.Moves = append(p.Moves, m)
	}
}

// Bears is the serial or the lot the file is about.
func (p *PartFile) Bears() string {
	if p.Serial != "" {
		return p.Serial
	}
	return p.Lot
}

// Last is the latest move; ok is false where none is written.
func (p *PartFile) Last() (m Move, ok bool) {
	if len(p.Moves) == 0 {
		return Move{}, false
	}
	return p.Moves[len(p.Moves)-1], true
}

// goneForGood are the whereabouts from which no piece of a lot comes back.
var goneForGood = map[string]bool{"scrap": true, "sent back": true, "kept as evidence": true, "another engine": true}

// used tells whether the pieces had run: they come out of an engine, for which
// they left the stock before.
func (m Move) used() bool { return m.Hours != nil && m.Hours.Value > 0 }

// Left is how many pieces of a lot are left by its file: those that came less
// those that went for good, to scrap, back to their supplier, into evidence or
// into an engine. What is lent or out for work is still the shop's. ok is
// false where the file does not say how many came, or of a move how many went.
func (p *PartFile) Left() (pieces int, ok bool) {
	if p.Lot == "" || p.Node("pieces") == nil {
		return 0, false
	}
	left := p.Pieces
	for _, m := range p.Moves {
		if !goneForGood[m.Is] || m.used() {
			continue
		}
		if m.Pieces == 0 {
			return 0, false
		}
		left -= m.Pieces
	}
	return left, true
}

func (p *PartFile) at(n *source.Node, rule, message, mend string) problem.List {
	ref := Ref{File: p.Path, Line: 1, Column: 1}
	if n != nil {
		ref = p.Ref(n)
	}
	return problem.List{{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: rule, Message: message, Mend: mend}}
}

func (p *PartFile) checkIdentity() problem.List {
	switch {
	case p.Serial == "" && p.Lot == "":
		return p.at(nil, "part-identity", "neither a serial nor a lot is written, so the part cannot be told from others", "write serial: of a single part, or lot: of a bag without serials")
	case p.Serial != "" && p.Lot != "":
		return p.at(p.Node("lot"), "part-identity", "a file is about one part with a serial or about one lot, and this one names both", "keep one; the lot a part came from stands in the spec where it is fitted")
	case p.Serial != "" && p.Node("pieces") != nil:
		return p.at(p.Node("pieces"), "part-identity", "a part with a serial is one piece", "take the line out, or write lot: for a bag without serials")
	}
	return nil
}

// PartFileName is the name of the file of a serial or lot: itself where any
// system can keep a file of that name, else its letters and digits with
// hyphens between them.
func PartFileName(bears string) string {
	if plainName(bears) {
		return bears + ".yaml"
	}
	word := FileWord(bears)
	if !plainName(word) {
		word = strings.TrimSuffix("part-"+word, "-")
	}
	return word + ".yaml"
}

// longestName keeps a file's name within what every file system takes.
const longestName = 100

func plainName(name string) bool {
	if name == "" || len(name) > longestName || name[0] == '.' || strings.HasSuffix(name, ".") || schema.IsDeviceName(strings.ToUpper(name)) {
		return false
	}
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-_.", r) {
			return false
		}
	}
	return true
}

// checkName sees that the file is named for its serial or lot, so that it is
// found without opening every other. Where the name had to be altered, a
// number behind it tells two of one name apart.
func (p *PartFile) checkName() problem.List {
	if p.Bears() == "" {
		return nil
	}
	want := PartFileName(p.Bears())
	stem := strings.TrimSuffix(want, ".yaml")
	rest, found := strings.CutPrefix(strings.TrimSuffix(p.Name(), ".yaml"), stem)
	if found && (rest == "" || stem != p.Bears() && isSuffixNumber(rest)) {
		return nil
	}
	return problem.List{{File: p.Path, Rule: "file-name", Message: "the file's name does not tell its serial or lot, " + p.Bears(), Mend: "name it parts/" + want}}
}

// checkOrder sees that each move is no earlier than the one before it: the
// last one is where the part is now.
func (p *PartFile) checkOrder() problem.List {
	var problems problem.List
	for i := 1; i < len(p.Moves); i++ {
		before, m := p.Moves[i-1], p.Moves[i]
		if order, known := m.Since.Compare(before.Since); known && order < 0 && !m.Since.Time.IsZero() {
			problems = append(problems, problem.Problem{File: p.Path, Line: m.Ref.Line, Column: m.Ref.Column, Rule: "whereabouts",
				Message: fmt.Sprintf("this move of %s stands behind one of %s", m.Since.Day(), before.Since.Day()), Mend: "write the moves in order of their dates, the latest last"})
		}
	}
	return problems
}

// checkPieces sees that no more pieces of a lot went anywhere than were there.
func (p *PartFile) checkPieces() problem.List {
	if p.Pieces == 0 {
		return nil
	}
	var problems problem.List
	there := p.Pieces
	for _, m := range p.Moves {
		if m.used() {
			continue
		}
		if m.Pieces > there {
			problems = append(problems, problem.Problem{File: p.Path, Line: m.Ref.Line, Column: m.Ref.Column, Rule: "pieces",
				Message: fmt.Sprintf("%s of lot %s went here, and there were %d", countPieces(m.Pieces), p.Lot, there), Mend: "count again: pieces is what came, less what went for good before"})
			return problems
		}
		if goneForGood[m.Is] {
			there -= m.Pieces
		}
	}
	return problems
}

func countPieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// SamePart reports serials and lots that have more than one file: each would
// tell another story of one part. Serials of two part numbers are two parts.
func SamePart(files []*PartFile) problem.List {
	sorted := append([]*PartFile(nil), files...)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i].Path < sorted[j].Path })
	var problems problem.List
	for i, p := range sorted {
		for _, before := range sorted[:i] {
			if p.Bears() == "" || p.Serial != before.Serial || p.Lot != before.Lot || !SameNumber(p.Number, before.Number) {
				continue
			}
			key := "serial"
			if p.Serial == "" {
				key = "lot"
			}
			problems = append(problems, p.at(p.Node(key), "part-twice", fmt.Sprintf("%s %s has this file and %s", key, p.Bears(), before.Path), "keep one file, with all its moves")...)
		}
	}
	return problems
}

// SameNumber tells whether two part numbers may be of one part: one that is
// not written may be any.
func SameNumber(a, b string) bool { return a == "" || b == "" || a == b }

// textOf is the text of one key of a mapping, "" where nothing is written.
func textOf(n *source.Node, key string) string {
	v := n.Get(key)
	if v == nil || v.Kind() != source.Scalar || v.IsNull() {
		return ""
	}
	return v.Text()
}
