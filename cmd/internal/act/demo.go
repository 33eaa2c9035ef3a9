package act

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"stackbook/record/book"
	"stackbook/record/book/passing"
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
	Short   bool // the first two builds of SK-01 alone
	Book    []book.Option
	Passing *passing.Files // what an interrupted run must clear away; nil: nothing is
	Now     func() time.Time
}

// DemoMade tells what a demo holds.
type DemoMade struct {
	Engines, Commits, Delivered int
	OnBench                     string // the engine whose last session is not committed, "" where there is none
}

// Demo makes the Skarvik book in an empty folder, commit by commit with past
// dates, through the tool's own functions. step is called after each commit.
// The book is made beside the folder and put there when it is whole, so that
// one that failed or was killed is in nobody's way.
func Demo(dir string, o DemoOptions, step func(done, of int)) (*Shop, DemoMade, error) {
	story := demoStory
	if o.Short {
		story = shortStory()
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, DemoMade{}, err
	}
	if err := makeBeside(dir, story, o, step); err != nil {
		return nil, DemoMade{}, err
	}
	s, err := Open(dir, o.Now, o.Book...)
	return s, demoMade(story[1:]), err
}

// makeBeside makes the book in a folder of its own and moves it in.
func makeBeside(dir string, story []demoStep, o DemoOptions, step func(done, of int)) error {
	if err := refuseFull(dir); err != nil {
		return err
	}
	if err := refuseRepository(dir); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o777); err != nil {
		return err
	}
	run := o.Passing
	if run == nil {
		run = passing.New()
	}
	beside := filepath.Join(filepath.Dir(dir), ".stackbook-demo-"+randomID())
	if err := run.Tree(beside, func() error { return os.Mkdir(beside, 0o777) }); err != nil {
		return err
	}
	made := filepath.Join(beside, "book")
	err := makeDemo(made, story, o, step)
	if err == nil {
		err = run.Whole(func() error { return moveIn(made, dir) })
	}
	if err = errors.Join(err, os.RemoveAll(beside)); err == nil {
		run.Keep(beside)
	}
	return err
}

// makeDemo makes the book, step by step; the first begins it.
func makeDemo(dir string, story []demoStep, o DemoOptions, step func(done, of int)) error {
	files, err := demoFolder(story[0])
	if err != nil {
		return err
	}
	s, err := Begin(dir, BeginOptions{Shop: "Skarvik Rotary", Files: files, Author: demoSignature(story[0]), Book: o.Book, Now: o.Now})
	if err != nil {
		return err
	}
	story = story[1:]
	for i, d := range story {
		if err := s.demoStep(d); err != nil {
			return fmt.Errorf("the demo's commit %q: %w", d.message, err)
		}
		step(i+1, len(story))
	}
	return nil
}

// moveIn puts a book where it is to be. A folder that is there already stays
// the one it is, since somebody may be in it.
func moveIn(made, dir string) error {
	if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(made, dir)
	}
	entries, err := os.ReadDir(made)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := os.Rename(filepath.Join(made, e.Name()), filepath.Join(dir, e.Name())); err != nil {
			return fmt.Errorf("%s cannot be filled; name a folder that does not exist yet: %w", dir, err)
		}
	}
	return nil
}

// refuseFull refuses a folder that holds anything.
func refuseFull(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case errors.Is(err, syscall.ENOTDIR):
		return usage("name an empty folder or one that does not exist yet", "%s is no folder", dir)
	case err == nil && len(entries) > 0:
		return usage("name an empty folder or one that does not exist yet", "%s is not empty", dir)
	}
	return err
}

// refuseRepository refuses a folder inside a git repository: the demo's commits
// with their past dates would go into its history.
func refuseRepository(dir string) error {
	for at := dir; ; at = filepath.Dir(at) {
		if _, err := os.Lstat(filepath.Join(at, ".git")); err == nil {
			return usage("name a folder outside it", "%s lies in the git repository of %s, and the demo makes one of its own", dir, at)
		}
		if at == filepath.Dir(at) {
			return nil
		}
	}
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
	_, err = s.seal(d.engine, d.deliver, done.Commit, opts.Author)
	return err
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
