package act

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"stackbook/record/book"
	"stackbook/schema/source"
)

// The demo book is invented: the three-person shop at the lake of Skarvik and
// its customers do not exist, and no number in it is anybody's.
//
//go:embed all:demo
var demoFiles embed.FS

// demoStep is one commit of the demo: the files of a folder below demo/ENGINE
// are laid into the engine's folder, as a person would write them, and
// committed with the tool's own commit. A step without an engine is of the
// book's own files, from demo/book.
type demoStep struct {
	when    string
	engine  string
	folder  string
	by      string
	message string
	edits   []demoEdit // after the files are laid
	deliver int        // the build that is delivered with this commit, 0: none
	bench   bool       // left in the folder as it lies, not committed
}

// demoEdit is one value of a file written the way the tool edits it: no other
// byte changes.
type demoEdit struct{ file, key, value string }

// DemoOptions says which demo is made, and how.
type DemoOptions struct {
	Short bool // the first two builds of SK-01 alone
	Env   func(string) string
	Now   func() time.Time
}

// DemoMade tells what a demo holds.
type DemoMade struct {
	Engines, Commits, Delivered int
	OnBench                     string // the engine whose last session is not committed, "" where there is none
}

// Demo makes the Skarvik book in an empty folder, commit by commit with past
// dates, through the tool's own functions. step is called after each commit.
func Demo(dir string, o DemoOptions, step func(done, of int)) (*Shop, DemoMade, error) {
	story := demoStory
	if o.Short {
		story = shortStory()
	}
	s, err := beginDemo(dir, story[0], o)
	if err != nil {
		return nil, DemoMade{}, err
	}
	story = story[1:]
	for i, d := range story {
		if err := s.demoStep(d); err != nil {
			return nil, DemoMade{}, fmt.Errorf("the demo's commit %q: %w", d.message, err)
		}
		step(i+1, len(story))
	}
	return s, demoMade(story), nil
}

// beginDemo begins the book with the first step's files.
func beginDemo(dir string, first demoStep, o DemoOptions) (*Shop, error) {
	files, err := demoFolder(first)
	if err != nil {
		return nil, err
	}
	if err := refuseFull(dir); err != nil {
		return nil, err
	}
	return Begin(dir, BeginOptions{Shop: "Skarvik Rotary", Files: files, Author: demoSignature(first), Env: o.Env, Now: o.Now})
}

// refuseFull refuses a folder that holds anything.
func refuseFull(dir string) error {
	entries, err := os.ReadDir(dir)
	if err == nil && len(entries) > 0 {
		return usage("name an empty folder or one that does not exist yet", "%s is not empty", dir)
	}
	return nil
}

// shortStory is the life of SK-01 to the delivery of its second build, in a
// book begun when it was enrolled.
func shortStory() []demoStep {
	begin := demoStory[0]
	begin.when = "2017-01-09 09:00"
	short := []demoStep{begin}
	for _, d := range demoStory {
		if d.engine != "SK-01" {
			continue
		}
		short = append(short, d)
		if d.deliver == 2 {
			break
		}
	}
	return short
}

func demoMade(story []demoStep) DemoMade {
	var engines []string
	n := DemoMade{Commits: 1} // the one that begins the book
	for _, d := range story {
		if d.engine != "" && !slices.Contains(engines, d.engine) {
			engines = append(engines, d.engine)
		}
		if d.deliver > 0 {
			n.Delivered++
		}
		if d.bench {
			n.OnBench = d.engine
			continue
		}
		n.Commits++
	}
	n.Engines = len(engines)
	return n
}

func (s *Shop) demoStep(d demoStep) error {
	if err := s.layOut(d); err != nil || d.bench {
		return err
	}
	who := demoSignature(d)
	opts := CommitOptions{Message: d.message, Author: who, Committer: who}
	if d.engine == "" {
		_, err := s.CommitBook(opts)
		return err
	}
	if d.deliver > 0 {
		return s.deliverDemo(d, opts)
	}
	_, err := s.Commit(d.engine, opts)
	return err
}

// deliverDemo commits a delivery written by hand and seals the build.
func (s *Shop) deliverDemo(d demoStep, opts CommitOptions) error {
	done, err := s.Commit(d.engine, opts)
	if err != nil {
		return err
	}
	return s.Book.Seal(book.Tag{Name: TagName(d.engine, d.deliver), Commit: done.Commit.Hash, Tagger: opts.Author,
		Message: fmt.Sprintf("%s, build %d, as delivered", d.engine, d.deliver)})
}

// layOut puts a step's files into the folder and makes its edits.
func (s *Shop) layOut(d demoStep) error {
	files, err := demoFolder(d)
	if err != nil {
		return err
	}
	var edits []book.Edit
	for name, data := range files {
		edits = append(edits, book.Edit{Path: path.Join(d.base(), name), Data: data, Write: true})
	}
	if err := s.Book.Put(edits); err != nil {
		return err
	}
	for _, e := range d.edits {
		file := path.Join(d.base(), e.file)
		text, err := s.withLine(file, e)
		if err != nil {
			return err
		}
		if err := s.Book.Put([]book.Edit{{Path: file, Data: text, Write: true}}); err != nil {
			return err
		}
	}
	return nil
}

// base is the folder of the book a step's files belong in: an engine's lies
// under the year it was enrolled in.
func (d demoStep) base() string {
	for _, first := range demoStory {
		if d.engine != "" && first.engine == d.engine {
			return path.Join("engines", first.when[:4], d.engine)
		}
	}
	return ""
}

// of is the folder below demo/ that holds a step's own.
func (d demoStep) of() string {
	if d.engine == "" {
		return "book"
	}
	return d.engine
}

// demoFolder gives the files of a step by their path in the step's own folder;
// none for a step that only edits.
func demoFolder(d demoStep) (map[string][]byte, error) {
	files := map[string][]byte{}
	if d.folder == "" {
		return files, nil
	}
	root := path.Join("demo", d.of(), d.folder)
	err := fs.WalkDir(demoFiles, root, func(p string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := demoFiles.ReadFile(p)
		files[strings.TrimPrefix(p, root+"/")] = data
		return err
	})
	return files, err
}

// demoSignature is a person of the invented shop, in the zone of the lake.
func demoSignature(d demoStep) book.Signature {
	t, err := time.ParseInLocation("2006-01-02 15:04", d.when, time.FixedZone("", 3600))
	if err != nil {
		panic("act: the demo's date " + d.when)
	}
	return book.Signature{Name: d.by, Email: strings.ToLower(d.by) + "@skarvik.example", When: t}
}

// withLine is the text of a record with one value written: in place of the old
// one, or as a new line at the end of its section.
func (s *Shop) withLine(file string, e demoEdit) ([]byte, error) {
	data, err := s.Book.Folder().Read(file)
	if err != nil {
		return nil, err
	}
	doc, err := source.Parse(file, data)
	if err != nil {
		return nil, err
	}
	keys := strings.Split(e.key, ".")
	if doc.Root().At(keys...) != nil {
		doc, err = doc.SetRaw(keys, e.value)
	} else {
		last := len(keys) - 1
		doc, err = doc.Insert(keys[:last], keys[last], e.value)
	}
	if err != nil {
		return nil, err
	}
	return doc.Text(), nil
}
