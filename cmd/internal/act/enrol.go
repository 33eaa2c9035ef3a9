package act

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"os/exec"
	"path"
	"slices"
	"strings"
	"time"
	"unicode"

	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/source"
)

// EnrolOptions says what is known of a new engine.
type EnrolOptions struct {
	Number string
	Title  string
	Rotors int
	Group  string // the folder under engines/; the year when empty
	ID     string // random when empty
}

// Enrol writes the spec of a new engine into the folder, every size still
// empty, and gives its path. Nothing is committed yet. A number is used once
// in a book, whatever its capitals, also where its engine is gone since (R11);
// the remark says if the past could not be asked.
func (s *Shop) Enrol(o EnrolOptions) (file, remark string, err error) {
	if file, remark, err = s.newFolder(&o); err != nil {
		return "", "", err
	}
	if o.Rotors < 1 || o.Rotors > schema.MostRotors {
		return "", "", usage("write: --rotors 2", "an engine has 1 to %d rotors", schema.MostRotors)
	}
	if strings.TrimSpace(o.Title) == "" {
		return "", "", usage(`write: --title "two-rotor lake hydroplane"`, "an engine needs a title")
	}
	return file, remark, s.Book.Put([]book.Edit{{Path: file, Data: []byte(newSpec(o, file)), Write: true}})
}

// newFolder sees that a new engine's number and group may be used, fills in the
// group and id where none are given, and gives the path of the spec to be. The
// remark says if the past could not be asked.
func (s *Shop) newFolder(o *EnrolOptions) (file, remark string, err error) {
	if err := schema.CheckNumber(o.Number); err != nil {
		return "", "", usage("", "%s", err.Error())
	}
	if _, _, err := readBook(s.Book.Folder()); err != nil {
		return "", "", err // of a newer dictionary: not ours to write into (R19)
	}
	if err := s.free(o.Number); err != nil {
		return "", "", err
	}
	if remark, err = s.neverUsed(o.Number); err != nil {
		return "", "", err
	}
	if o.Group == "" {
		o.Group = s.Now().Format("2006")
	}
	if !isGroup(o.Group) {
		return "", "", usage("write a plain name without slashes, such as 2026", "%q is no folder for a group", o.Group)
	}
	if o.ID == "" {
		o.ID = randomID()
	}
	return path.Join("engines", o.Group, o.Number, "spec.yaml"), remark, nil
}

// isGroup tells whether a folder of engines may have a name: one that every
// system takes, that is seen as it is, and that git and a shell leave alone.
func isGroup(name string) bool {
	hidden := func(r rune) bool { return r != ' ' && !unicode.IsPrint(r) }
	device, _, _ := strings.Cut(name, ".")
	return isFileName(name) && len(name) <= 100 && !strings.ContainsFunc(name, hidden) && !strings.HasPrefix(name, ".") && !strings.HasPrefix(name, "-") &&
		name == strings.Trim(name, " ") && !strings.HasSuffix(name, ".") && !schema.IsDeviceName(strings.ToUpper(device))
}

// free sees that a number is used neither in the folder nor in the last commit.
func (s *Shop) free(number string) error {
	trees := []book.Tree{s.Book.Folder()}
	if head, ok, err := s.Book.Head(); err == nil && ok {
		trees = append(trees, s.Book.At(head))
	}
	for _, tree := range trees {
		places, _, err := Engines(tree)
		if err != nil {
			return err
		}
		for _, p := range places {
			if strings.EqualFold(p.Number, number) {
				return usage("numbers are permanent: take another", "engine %s is in %s already", p.Number, p.Folder)
			}
		}
	}
	return nil
}

// neverUsed sees that no engine of the past had a number. The remark says if
// that cannot be told.
func (s *Shop) neverUsed(number string) (remark string, err error) {
	if _, ok, err := s.Book.Head(); err != nil || !ok {
		return "", err
	}
	c, file, ok, err := s.Book.Removed("engines/*/" + number)
	if errors.Is(err, exec.ErrNotFound) {
		return "whether " + number + " was the number of an engine before is not known: " + err.Error(), nil
	}
	if err != nil {
		return "", err
	}
	if ok {
		folder := strings.Join(strings.SplitN(file, "/", 4)[:3], "/")
		return "", usage("numbers are permanent: take another", "%s was the number of an engine: commit %s of %s took %s out of the book",
			path.Base(folder), c.Short(), c.Committer.When.Format(time.DateOnly), folder)
	}
	if end, cut, err := s.Book.CutOff(); err != nil || cut {
		return "whether " + number + " was the number of an engine before is not known: " + end.CutOff(), err
	}
	return "", nil
}

// randomID is what tells two engines of one number apart.
func randomID() string {
	b := make([]byte, 6)
	rand.Read(b) // never fails (crypto/rand)
	h := hex.EncodeToString(b)
	return h[:4] + "-" + h[4:8] + "-" + h[8:]
}

// begun are the sections every new spec begins with.
var begun = []string{"geometry", "balance", "operating"}

// newSpec is a spec with every size empty, each with what it means beside it.
func newSpec(o EnrolOptions, file string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nformat: spec/1\nengine: %s\nid: %s\ntitle: %s\ncustomer:\nbuild: 1\n", schema.EditorHint("spec", file), o.Number, o.ID, source.Quote(o.Title))
	fmt.Fprintf(&b, "limits:   # %s\n", schema.Spec().Find("limits").Help)
	for _, key := range []string{"direction", "drives_at"} {
		f := schema.Spec().Find(key)
		fmt.Fprintf(&b, "%s:   # %s: %s\n", key, f.Help, strings.Join(f.Choices, ", "))
	}
	for _, key := range begun {
		section(&b, schema.Spec().Find(key), o.Rotors)
	}
	b.WriteString("parts:\n")
	for _, position := range append(schema.Pattern("rotor/*r").Expand(o.Rotors), schema.Pattern("housing/*r").Expand(o.Rotors)...) {
		fmt.Fprintf(&b, "  %s: {part: , serial: , lot: , material: }\n", position)
	}
	b.WriteString("  # other parts in the same way, each at its place:\n")
	for _, part := range sampleParts {
		fmt.Fprintf(&b, "  # %s\n", part)
	}
	b.WriteString("# further sections, as needed, each with the keys that stand behind it:\n")
	for i := range schema.Spec().Fields {
		if f := &schema.Spec().Fields[i]; f.Type == schema.Group && !slices.Contains(begun, f.Key) {
			b.WriteString(keysOf(f))
		}
	}
	return b.String()
}

// sampleParts are parts of other kinds than every engine is begun with, as they
// are written.
var sampleParts = []string{
	"rotor/1/apex/1: {part: , lot: , material: , thickness: }",
	"rotor/1/front/side-seal/1: {part: , lot: , size_class: }",
	"rotor/1/front/corner/1: {part: , lot: }",
	"plate/1: {part: , serial: , material: , work: [lapped]}",
	"shaft: {part: , serial: , material: , treatment: }",
	"counterweight/front: {part: , serial: , mass: }",
	"flywheel: {part: , serial: }",
	"gear/front: {part: , serial: , treatment: }",
	"bearing/main/front: {part: , lot: , size_class: }",
	"joint/housing-1/front/inner: {part: , lot: , compound: }",
}

// keysOf is a section of the spec with its keys, as a comment of lines that are
// not too long.
func keysOf(f *schema.Field) string {
	const most = 100 // letters
	text := "# " + f.Key + ":"
	width := len(text)
	for i := range f.Fields {
		word := " " + f.Fields[i].Key
		if i < len(f.Fields)-1 {
			word += ","
		}
		if width+len(word) > most {
			text, width = text+"\n#  ", 3
		}
		text, width = text+word, width+len(word)
	}
	return text + "\n"
}

func section(b *strings.Builder, f *schema.Field, rotors int) {
	fmt.Fprintf(b, "%s:   # %s\n", f.Key, f.Help)
	for i := range f.Fields {
		child := &f.Fields[i]
		switch {
		case child.Key == "rotors":
			fmt.Fprintf(b, "  rotors: %d\n", rotors)
		case child.Type == schema.Quantity:
			fmt.Fprintf(b, "  %s:   # %s, in %s\n", child.Key, child.Help, child.Unit)
		case child.Type == schema.Series || child.Type == schema.Words || child.Type == schema.Day || child.Type == schema.Whole:
			fmt.Fprintf(b, "  %s:   # %s\n", child.Key, child.Help)
		}
	}
}
