package schema

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"stackbook/schema/problem"
	"stackbook/schema/quantity"
	"stackbook/schema/source"
)

// Check holds a record against the dictionary. kind is the word its format
// line should begin with ("spec"); rotors is the number of rotors of the
// engine it belongs to, 0 where that is not known. Every problem is reported,
// sorted, each with file, line and column.
func Check(doc *source.Doc, kind string, rotors int) problem.List {
	list, _ := CheckReadings(doc, kind, rotors)
	return list
}

// CheckReadings is Check that also gives the readings of a measuring session, as
// ReadPoint gives those of each of its points, in the order written.
func CheckReadings(doc *source.Doc, kind string, rotors int) (problem.List, []Reading) {
	field := Kind(kind)
	c := &checker{file: doc.Name(), rotors: rotors}
	if kind == "measurements" {
		c.instruments = doc.Root().Get("instruments")
	}
	if !c.format(doc.Root(), kind) {
		return c.list, readingsOf(doc, c.instruments, rotors)
	}
	c.group(doc.Root(), field, "")
	c.list.Sort()
	return c.list, c.read
}

// readingsOf reads the readings of a session that is checked no further.
func readingsOf(doc *source.Doc, instruments *source.Node, rotors int) []Reading {
	group := doc.Root().Get("readings")
	if group == nil {
		return nil
	}
	c := &checker{file: doc.Name(), rotors: rotors, instruments: instruments}
	for _, e := range group.Entries() {
		c.readings(e)
	}
	return c.read
}

type checker struct {
	file        string
	rotors      int
	instruments *source.Node
	list        problem.List
	read        []Reading
}

func (c *checker) add(n *source.Node, rule, message, mend string) {
	c.list = append(c.list, problem.Problem{File: c.file, Line: n.Line(), Column: n.Column(), Rule: rule, Message: message, Mend: mend})
}

func (c *checker) addKey(e source.Entry, rule, message, mend string) {
	c.list = append(c.list, problem.Problem{File: c.file, Line: e.KeyLine, Column: e.KeyColumn, Rule: rule, Message: message, Mend: mend})
}

// format checks the first line that matters: what kind of record this is and
// how new. Without it nothing else can be judged.
func (c *checker) format(root *source.Node, kind string) bool {
	want := fmt.Sprintf("%s/%d", kind, FormatNumber)
	n := root.Get("format")
	if n == nil || n.Kind() != source.Scalar || IsEmpty(n) {
		c.list = append(c.list, problem.Problem{File: c.file, Line: 1, Column: 1, Rule: "format", Message: "the format line is missing", Mend: "write: format: " + want})
		return false
	}
	have, number, _ := strings.Cut(n.Text(), "/")
	version, err := strconv.Atoi(number)
	switch {
	case have == kind && err == nil && version > FormatNumber:
		c.add(n, "newer-format", fmt.Sprintf("this record has format %s, and this stackbook reads up to %s", short(n.Text()), want), "use a newer stackbook")
		return false
	case n.Text() != want:
		c.add(n, "format", "the format here is "+quoted(n.Text()), "write: format: "+want)
		return false
	}
	return true
}

func (c *checker) group(n *source.Node, f *Field, path string) {
	if n.Kind() != source.Map {
		c.add(n, "wrong-shape", path+" holds keys of its own", "write them below it, indented")
		return
	}
	entries := n.Entries()
	for i := 0; i < len(entries); i++ {
		e := entries[i]
		field := f.Find(e.Key)
		if head, tail, ok := commaInMap(entries, i); ok {
			c.list = append(c.list, decimalComma(c.file, e.Value, join(path, e.Key), e.Key+": "+field.withPoint(head, tail)))
			i++
			continue
		}
		if field == nil {
			c.unknown(e, f, path)
			continue
		}
		c.value(e, field, join(path, e.Key))
	}
	for i := range f.Fields {
		if field := &f.Fields[i]; field.Required && n.Get(field.Key) == nil {
			c.add(n, "missing", "the key "+join(path, field.Key)+" is missing: "+field.Help, "add: "+field.Key+": "+example(field))
		}
	}
}

func (c *checker) unknown(e source.Entry, f *Field, path string) {
	known := make([]string, len(f.Fields))
	for i := range f.Fields {
		known[i] = f.Fields[i].Key
	}
	message := "unknown key " + quoted(e.Key)
	if path != "" {
		message += " in " + path
	}
	mend := "fields of your own go under shop:"
	if near := Nearest(e.Key, known); near != "" {
		mend = "did you mean " + near + "? " + mend
	} else if group := f.belongs(e.Value); group != "" {
		mend = "indent it, below " + group + ":"
	}
	c.addKey(e, "unknown-key", message, mend)
}

// value checks one value of a group against its field.
func (c *checker) value(e source.Entry, f *Field, path string) {
	n := e.Value
	if c.glued(e, f) {
		return
	}
	if IsEmpty(n) {
		if f.Required {
			c.addKey(e, "empty", path+" is empty: "+f.Help, "write: "+e.Key+": "+example(f))
		}
		return
	}
	c.node(n, f, path)
}

// IsEmpty tells whether nothing that could be seen is written, in quotes or not
// (R13).
func IsEmpty(n *source.Node) bool {
	invisible := func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) }
	return n.Kind() == source.Scalar && (n.IsNull() || strings.TrimFunc(n.Text(), invisible) == "")
}

// glued reports a comment that swallowed a piece of a number: serial: #1177
// is nothing at all to YAML, and R-1177 #2 is R-1177 (R13). Of what is no serial
// or the like it reports a number that was swallowed whole.
func (c *checker) glued(e source.Entry, f *Field) bool {
	text, ok := e.Value.GluedComment()
	isCode := f.Type == Code || f.Type == Name
	swallowed := ok && !isCode && f.Type != Words && f.Type != Free && e.Value.Text() == "" && isDigits(text[1:2])
	if !ok || !isCode && !swallowed {
		return false
	}
	whole := strings.TrimSpace(e.Value.Text() + " " + text)
	if swallowed {
		c.add(e.Value, "comment-in-value", fmt.Sprintf("YAML reads %s as a comment, so %s would be empty", quoted(text), e.Key),
			"take the # out: "+e.Key+": "+strings.TrimLeft(text, "#"))
		return true
	}
	c.add(e.Value, "comment-in-value", fmt.Sprintf("YAML reads %s as a comment, so %s would be %s", quoted(text), e.Key, orNothing(e.Value.Text())),
		"quote it: "+e.Key+": "+strconv.Quote(whole))
	return true
}

func orNothing(text string) string {
	if text == "" {
		return "empty"
	}
	return quoted(text)
}

func (c *checker) node(n *source.Node, f *Field, path string) {
	switch f.Type {
	case Free:
	case Group:
		c.group(n, f, path)
	case Keyed:
		c.keyed(n, f, path)
	case Series:
		c.series(n, f, path)
	default:
		c.scalar(n, f, path)
	}
}

func (c *checker) series(n *source.Node, f *Field, path string) {
	if n.Kind() != source.List {
		c.add(n, "wrong-shape", path+" is a list", writeLike(f, path))
		return
	}
	if items := n.Items(); f.Of.Type == Quantity && len(items) > 0 {
		hasUnit := !isDigits(items[len(items)-1].Text())
		if first, whole := CommaInList(items, hasUnit); first != nil {
			c.list = append(c.list, decimalComma(c.file, first, path, whole))
			return
		}
	}
	seen := map[string]int{}
	for i, item := range n.Items() {
		at := path + "." + strconv.Itoa(i+1)
		if IsEmpty(item) && f.Of.Type != Free {
			c.add(item, "empty", at+" is empty", "write a value or take the entry out")
			continue
		}
		c.node(item, f.Of, at)
		if id := item.Get(f.Identity); f.Identity != "" && id != nil {
			if first := seen[id.Text()]; first > 0 {
				c.add(id, "twice", fmt.Sprintf("%s %s stands here and on line %d", f.Identity, quoted(id.Text()), first), "keep one of them")
			}
			seen[id.Text()] = id.Line()
		}
	}
	if f.Rising {
		c.rising(n.Items(), f.Of, path)
	}
}

// rising sees that each quantity of a list is greater than the one before.
func (c *checker) rising(items []*source.Node, of *Field, path string) {
	for i := 1; i < len(items); i++ {
		before, err1 := quantity.Parse(items[i-1].Text(), of.Dim, of.Unit)
		q, err2 := quantity.Parse(items[i].Text(), of.Dim, of.Unit)
		if err1 != nil || err2 != nil {
			continue
		}
		if order, err := q.Cmp(before); err == nil && order <= 0 {
			c.add(items[i], "order", fmt.Sprintf("%s.%d: %s is not greater than the one before, %s", path, i+1, short(q.String()), short(before.String())),
				"write each greater than the one before, from the front: [0 mm, 128 mm]")
		}
	}
}

func (c *checker) scalar(n *source.Node, f *Field, path string) {
	if n.Kind() != source.Scalar {
		c.add(n, "wrong-shape", path+" is one value", writeLike(f, path))
		return
	}
	if err := f.check(n.Text(), c.rotors); err != nil {
		r := f.refusal(n.Text(), c.rotors, err)
		c.add(n, f.rule(), path+": "+r.What, r.Mend)
	}
}

// writeLike is a mend that gives a field's line anew, or an entry of a list.
func writeLike(f *Field, path string) string {
	if isDigits(lastKey(path)) {
		return "write it like " + example(f)
	}
	return "write: " + lastKey(path) + ": " + example(f)
}

// check tells what is wrong with the text of a scalar field.
func (f *Field) check(text string, rotors int) error {
	switch f.Type {
	case Day:
		return checkDay(text)
	case Whole:
		return checkWhole(text, f.Low, f.High)
	case Quantity:
		q, err := quantity.Parse(text, f.Dim, f.Unit)
		if err != nil {
			return err
		}
		return sensible(q, f.Low, f.High, f.Dim)
	case Amount:
		q, err := quantity.ParseAny(text)
		if err != nil {
			return err
		}
		if q.SI() < 0 {
			return fmt.Errorf("%s is less than nothing", short(text))
		}
	case Flag:
		if text != "yes" && text != "no" {
			return fmt.Errorf("%s is neither yes nor no", quoted(text))
		}
	case Choice:
		for _, c := range f.Choices {
			if text == c {
				return nil
			}
		}
		return fmt.Errorf("%s is not one of the words for it", quoted(text))
	case Position:
		return CheckPosition(text, rotors)
	case Code, Name:
		if f.Key == "engine" {
			return nil // held against the number of the folder
		}
		return checkCode(text)
	}
	return nil
}

// The years a record can be of: no rotary engine ran before the first, and
// whatever is later than the last is a slip of the pen.
const firstYear, lastYear = 1950, 2199

func checkDay(text string) error {
	d, err := ParseDate(text)
	if err == nil && (d.Time.Year() < firstYear || d.Time.Year() > lastYear) {
		return fmt.Errorf("%s lies outside the years %d to %d", quoted(text), firstYear, lastYear)
	}
	return err
}

// checkCode refuses what would make two codes differ that look alike.
func checkCode(text string) error {
	if strings.TrimSpace(text) != text {
		return fmt.Errorf("%s has blanks or a line end around it", quoted(text))
	}
	for _, r := range text {
		if r != ' ' && !unicode.IsPrint(r) {
			return fmt.Errorf("%s holds the character U+%04X, which cannot be seen", quoted(text), r)
		}
	}
	return nil
}

// cleanCode is a code without what checkCode refuses.
func cleanCode(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r != ' ' && !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, text))
}

func (f *Field) rule() string {
	switch f.Type {
	case Day:
		return "date"
	case Whole, Quantity, Amount:
		return "quantity"
	case Position:
		return "position"
	}
	return "word"
}

// refusal says what is wrong with a text and what to write instead.
func (f *Field) refusal(text string, rotors int, err error) *Refusal {
	if f.Type == Quantity {
		return refusal(err, func(text string) bool { return f.check(text, rotors) == nil }, example(f))
	}
	return &Refusal{err.Error(), f.mend(text, rotors)}
}

// mend is what to write instead of a text that is no quantity.
func (f *Field) mend(text string, rotors int) string {
	switch f.Type {
	case Day:
		return dayMend(text)
	case Flag:
		return "write " + flagMeant(text)
	case Code, Name:
		return "write it as it is seen: " + source.Quote(cleanCode(text))
	case Whole:
		return "write a whole number from " + f.Low + " to " + f.High + ", such as " + example(f)
	case Choice:
		if near := Nearest(text, f.Choices); near != "" {
			return "did you mean " + near + "?"
		}
		return "use one of: " + strings.Join(f.Choices, ", ")
	case Position:
		return PositionMend(text, rotors)
	}
	return "write it like " + example(f)
}

// flagMeant is yes or no for other words for them.
func flagMeant(text string) string {
	switch strings.ToLower(text) {
	case "true", "on", "y", "yes", "1":
		return "yes"
	case "false", "off", "n", "no", "0":
		return "no"
	}
	return "yes or no"
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func lastKey(path string) string { return path[strings.LastIndex(path, ".")+1:] }
