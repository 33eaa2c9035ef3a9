package act

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// MaxAttachment is the most bytes an attachment may have (R25): the book keeps
// every version of it for good.
const MaxAttachment = 2 << 20

// attachment is one entry of a record's photos.
type attachment struct {
	record *record.Record
	entry  *source.Node
	file   *source.Node // where its name stands
}

// attachments lists what the records of an engine name.
func attachments(e *record.Engine) []attachment {
	var all []attachment
	for _, r := range e.Records() {
		photos := r.Node("photos")
		if photos == nil {
			continue
		}
		for _, entry := range photos.Items() {
			if file := entry.Get("file"); file != nil && file.Kind() == source.Scalar && !file.IsNull() {
				all = append(all, attachment{r, entry, file})
			}
		}
	}
	return all
}

// inFolder is the attachment's path inside the engine's folder, "" where it
// names none there.
func (a attachment) inFolder() string {
	name := a.file.Text()
	if !fs.ValidPath(name) || name == "." || strings.Contains(name, `\`) {
		return ""
	}
	return name
}

func (a attachment) problem(n *source.Node, message, mend string) problem.Problem {
	ref := a.record.Ref(n)
	return problem.Problem{File: ref.File, Line: ref.Line, Column: ref.Column, Rule: "R25", Message: message, Mend: mend}
}

// checkAttachments sees that every attachment is there, no larger than it may
// be, and the file whose hash is written (R25). What the dictionary found
// missing already is given the line to write.
func (l *Loaded) checkAttachments(tree book.Tree) {
	if l.Engine == nil {
		return
	}
	for _, a := range attachments(l.Engine) {
		data, found := a.read(tree, l.Place.Folder)
		if found == nil {
			found = l.checkHash(a, data)
		}
		if found != nil {
			l.Problems = append(l.Problems, *found)
		}
	}
	l.Problems.Sort()
}

// read gives the bytes of an attachment, or what is wrong with it.
func (a attachment) read(tree book.Tree, folder string) ([]byte, *problem.Problem) {
	found := func(message, mend string) ([]byte, *problem.Problem) {
		p := a.problem(a.file, message, mend)
		return nil, &p
	}
	name := a.inFolder()
	switch {
	case name == "":
		return found(fmt.Sprintf("the attachment %q is no path inside the engine's folder", a.file.Text()), "put the file into photos/ and write: file: photos/"+path.Base(path.Clean("/"+strings.ReplaceAll(a.file.Text(), `\`, "/"))))
	case record.KindOf(name) != "" || name == "figures.yaml":
		return found(name+" is a record and no attachment", "name a file of photos/")
	}
	data, err := tree.Read(path.Join(folder, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return found("the attachment "+name+" is not there", "put it back, or take its entry out")
	case err != nil:
		return found("the attachment cannot be read: "+err.Error(), "put the file itself there")
	case len(data) > MaxAttachment:
		return found(fmt.Sprintf("the attachment %s has %d bytes, and may have %d (2 MiB)", name, len(data), MaxAttachment), "make it smaller, and keep the original outside the book")
	}
	return data, nil
}

// checkHash holds an attachment's bytes against the hash that is written.
func (l *Loaded) checkHash(a attachment, data []byte) *problem.Problem {
	sum := sha256.Sum256(data)
	right := "sha256: " + hex.EncodeToString(sum[:])
	for _, e := range a.entry.Entries() {
		if e.Key != "sha256" {
			continue
		}
		if e.Value.IsNull() {
			l.mendAt(a.record.Path, e.KeyLine, e.KeyColumn, "empty", "write: "+right)
			return nil
		}
		return a.compare(e.Value, right)
	}
	l.mendAt(a.record.Path, a.entry.Line(), a.entry.Column(), "missing", "add: "+right)
	return nil
}

func (a attachment) compare(written *source.Node, right string) *problem.Problem {
	text := "sha256: " + written.Text()
	if text == right || written.Kind() != source.Scalar {
		return nil
	}
	message := a.file.Text() + " is another file than the one whose sha256 is written"
	switch {
	case strings.EqualFold(text, right):
		message = "sha256 is written in small letters"
	case len(written.Text()) != 2*sha256.Size || strings.Trim(strings.ToLower(written.Text()), "0123456789abcdef") != "":
		message = fmt.Sprintf("%q is no SHA-256: that is 64 of the digits 0-9 and a-f", written.Text())
	}
	p := a.problem(written, message, "if it is the right file, write: "+right)
	return &p
}

// mendAt gives a problem found by the dictionary a mend that is known only here.
func (l *Loaded) mendAt(file string, line, column int, rule, mend string) {
	for i := range l.Problems {
		if p := &l.Problems[i]; p.File == file && p.Line == line && p.Column == column && p.Rule == rule {
			p.Mend = mend
		}
	}
}
