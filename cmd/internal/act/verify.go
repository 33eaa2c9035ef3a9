package act

import (
	"errors"
	"fmt"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
)

// Verified is what was found of a delivered build.
type Verified struct {
	Engine  string
	Build   int
	Date    string // of the delivery
	Commit  book.Commit
	Tag     *book.Tag   // nil where no tag seals the build
	Signed  book.Signed // of the tag
	By      string      // who signed, or why that cannot be told
	Sum     record.Sum  // worked anew from the commit
	Told    string      // the sum in the tag's message, "" where it says none
	Given   string      // the code given by hand, "" where none was
	Opened  *Opening    // the build after it, nil where none is open
	Altered []Alteration
	Added   []Addition
	Missing []Attachment
	Remarks []string
}

// Opening is the build that was opened after a delivered one.
type Opening struct {
	Build   int
	Since   string // the day of its first record, "" where it has none
	Records int    // of it and of later builds
}

// Addition is a record added to a delivered build.
type Addition struct {
	File    string
	What    string // its kind or stage
	Allowed bool   // one that a delivered build takes (R18)
}

// Attachment is a file that a delivered record names and that is no longer what
// it was.
type Attachment struct{ File, Record, Why string }

// Mismatch tells whether anything is not as it was delivered: the files as the
// seal or the code says, the files since, the attachments, the signature.
func (v *Verified) Mismatch() bool {
	for _, a := range v.Added {
		if !a.Allowed {
			return true
		}
	}
	return !v.AsTold() || !v.AsGiven() || len(v.Altered) > 0 || len(v.Missing) > 0 || v.Signed == book.Bad
}

// AsTold tells whether the files of the commit are those the tag's message
// was written for; true where it says nothing.
func (v *Verified) AsTold() bool { return v.Told == "" || v.Told == v.Sum.String() }

// AsGiven is AsTold of the code given by hand.
func (v *Verified) AsGiven() bool { return v.Given == "" || v.Given == v.Sum.Code() }

// Verify works the delivery code of a build anew and finds what was altered
// since (R17, R18). code is what the customer's sheet says, "" for none; one
// that is mistyped is a mistake in what was typed.
func (s *Shop) Verify(text, code string) (*Verified, error) {
	n, err := ParseName(text)
	if err != nil {
		return nil, err
	}
	if n.Build == 0 {
		return nil, usage("name a build that was delivered, such as "+orWord(n.Engine, "SK-07")+"/1", "%s is no build", text)
	}
	v := &Verified{Engine: n.Engine, Build: n.Build}
	if code != "" {
		if v.Given, err = record.ReadCode(code); err != nil {
			return nil, usage("look at the sheet again: it reads like 1-QX3M-27LA-VZ5K-OPDE-HRT4-B6WY-J", "%s", err.Error())
		}
	}
	l, err := s.build(n, text)
	if err != nil {
		return nil, err
	}
	if len(l.Problems) > 0 && (l.Engine == nil || l.Engine.Build != n.Build || l.Engine.Delivered(n.Build) == nil) {
		return nil, l.Problems
	}
	v.Remarks, v.Date = l.Remarks, l.Engine.Delivered(n.Build).Date.Day()
	if v.Commit, err = s.Book.Resolve(l.Commit); err != nil {
		return nil, err
	}
	if v.Sum, err = deliverySum(s.Book.At(v.Commit), l.Place, n.Build); err != nil {
		return nil, err
	}
	if err := s.verifySeal(v); err != nil {
		return nil, err
	}
	if err := s.noteMoved(v, l.Engine.Delivered(n.Build)); err != nil {
		return nil, err
	}
	folder, err := s.present()
	if err != nil {
		return nil, err
	}
	v.Missing = attachmentsSince(folder, l)
	return v, s.verifySince(v, l, folder)
}

// present is the book as it lies in the folder, or, of a repository without
// one, as it was last committed.
func (s *Shop) present() (book.Tree, error) {
	folder := s.Book.Folder()
	if _, ok, err := read(folder, book.Marker); ok || err != nil {
		return folder, err
	}
	head, _, err := s.Book.Head()
	return s.Book.At(head), err
}

// verifySeal reads the tag of a build: what its message says was sealed, and
// who signed it.
func (s *Shop) verifySeal(v *Verified) error {
	tag, ok, err := s.tag(v.Engine, v.Build)
	if err != nil || !ok {
		return err
	}
	v.Tag = &tag
	v.Told = sealedLine(tag.Message, sealSum)
	v.Signed, v.By, err = s.Book.Signature(tag.Name)
	return err
}

// noteMoved says when a seal is not on the commit that brought the delivery.
func (s *Shop) noteMoved(v *Verified, d *record.Change) error {
	first, ok, err := s.committedIn(d)
	var cut *book.CutOffError
	if errors.As(err, &cut) {
		v.Remarks = append(v.Remarks, cut.Error())
		return nil
	}
	if err == nil && ok && v.Tag != nil && first.Hash != v.Commit.Hash {
		v.Remarks = append(v.Remarks, fmt.Sprintf("the tag %s is on commit %s, and the delivery was first committed in %s: it was moved, or made later", v.Tag.Name, v.Commit.Short(), first.Short()))
	}
	return err
}

// verifySince finds what became of the engine's folder since the delivery.
func (s *Shop) verifySince(v *Verified, l *Loaded, folder book.Tree) error {
	now, err := FindEngine(folder, v.Engine)
	if err != nil {
		return err
	}
	files, _, err := gather(folder, now.Folder)
	if err != nil {
		return err
	}
	e, problems := record.Load(now.Folder, files)
	if e == nil {
		return problems
	}
	d := &delivery{build: v.Build, date: v.Date, tree: s.Book.At(v.Commit), folder: folder, now: now, then: l.Place, opened: e.Build > v.Build}
	if v.Tag != nil {
		d.tag = v.Tag.Name
	}
	if d.files, err = filesBelow(d.tree, d.then.Folder); err != nil {
		return err
	}
	if d.opened {
		v.Opened = opening(e, v.Build)
	}
	for _, r := range e.Records()[1:] {
		if r.Number("build") == v.Build && !d.delivered(r.Path) {
			v.Added = append(v.Added, Addition{File: r.Path, What: orWord(r.Text("kind"), r.Text("stage")), Allowed: r.AllowedLater()})
		}
	}
	v.Altered, err = s.alterations(d, v.Commit)
	return err
}

// opening tells since when a later build is open: the day of its first record.
func opening(e *record.Engine, delivered int) *Opening {
	o := &Opening{Build: delivered + 1}
	for _, r := range e.Records()[1:] {
		if r.Number("build") <= delivered {
			continue
		}
		o.Records++
		if date, ok := r.Date("date"); ok && r.Number("build") == o.Build && (o.Since == "" || date.Day() < o.Since) {
			o.Since = date.Day()
		}
	}
	return o
}

// attachmentsSince looks whether the files that delivered records name are
// still what they were, by the SHA-256 beside their name (R25).
func attachmentsSince(folder book.Tree, l *Loaded) []Attachment {
	var wrong []Attachment
	for _, r := range l.Engine.Records() {
		photos := r.Node("photos")
		if photos == nil {
			continue
		}
		for _, item := range photos.Items() {
			name, want := item.Get("file"), item.Get("sha256")
			if name == nil || want == nil {
				continue
			}
			if why := attachmentWrong(folder, path.Join(l.Place.Folder, name.Text()), want.Text()); why != "" {
				wrong = append(wrong, Attachment{File: path.Join(l.Place.Folder, name.Text()), Record: r.Path, Why: why})
			}
		}
	}
	return wrong
}

func attachmentWrong(folder book.Tree, file, want string) string {
	data, there, err := read(folder, file)
	switch {
	case err != nil:
		return err.Error()
	case !there:
		return "is no longer in the folder"
	case !strings.EqualFold(record.SumOf(data).String(), want):
		return "has another SHA-256 than the record says"
	}
	return ""
}
