package act

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
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

// demoStep is one commit of the demo: the files of a folder below demo/ are
// laid into the book, as a person would write them, and committed with the
// tool's own commit. deliver seals the build.
type demoStep struct {
	folder  string
	when    string
	by      string
	message string
	edit    *demoEdit
	deliver int
}

// demoEdit is one line of the spec put in, or without a section altered, the
// way the tool edits a file: no other byte changes.
type demoEdit struct{ section, key, value string }

const demoEngine = "SK-01"

var demoSteps = []demoStep{
	{folder: "02-enrol", when: "2017-02-06 16:10", by: "KM", message: "SK-01 enrolled with its parts"},
	{folder: "03-mock-up", when: "2017-02-27 18:05", by: "KM", message: "Mock-up measured; spring load of rotor 1 left out, tester not free"},
	{folder: "04-balance", when: "2017-03-14 15:30", by: "TR", message: "Balanced to G 2.5 at 8,800 rpm"},
	{folder: "05-assembly", when: "2017-04-03 19:20", by: "KM", message: "Assembled"},
	{folder: "06-run", when: "2017-05-04 17:45", by: "KM", message: "Run in and on the dyno: 158 kW at 8,400 rpm"},
	{when: "2017-05-19 12:00", by: "KM", message: "Operating limits sent to the customer", edit: &demoEdit{"operating", "sent", "2017-05-19"}},
	{folder: "07-delivery", when: "2017-05-20 11:00", by: "KM", message: "Delivered build 1", deliver: 1},
	{folder: "08-call", when: "2019-07-08 19:30", by: "KM", message: "The customer calls: water loss, hard to start cold"},
	{folder: "09-received", when: "2019-07-22 18:40", by: "KM", message: "Received, opened, and read before cleaning", edit: &demoEdit{key: "build", value: "2"}},
	{folder: "10-cleaned", when: "2019-07-26 17:15", by: "KM", message: "Read after cleaning: housing 2 closed at C, rotor 2 cracked"},
	{folder: "11-rebuild", when: "2019-09-02 18:00", by: "KM", message: "Rebuilt with a new housing and rotor, seals cut shorter, fed at the centre"},
	{folder: "12-mock-up", when: "2019-09-02 18:20", by: "KM", message: "Mock-up of build 2 measured"},
	{folder: "13-assembly", when: "2019-09-03 19:00", by: "TR", message: "Rebalanced for the lighter rotor and assembled"},
	{folder: "14-run", when: "2019-09-20 16:30", by: "KM", message: "On the dyno: 161 kW, no change claimed; outlets even at 80 degC"},
	{when: "2019-09-27 17:00", by: "KM", message: "Operating limits of build 2 sent to the customer", edit: &demoEdit{"operating", "sent", "2019-09-27"}},
	{folder: "15-delivery", when: "2019-09-28 10:20", by: "KM", message: "Delivered build 2", deliver: 2},
}

// Demo makes the Skarvik book in an empty folder, commit by commit with past
// dates, through the tool's own functions. step is called after each commit.
func Demo(dir string, o BeginOptions, step func(done, of int)) (*Shop, error) {
	files, err := demoFolder("01-book")
	if err != nil {
		return nil, err
	}
	o.Shop, o.Files = "Skarvik Rotary", files
	o.Author = demoSignature("KM", "2017-01-09 09:00")
	if err := refuseFull(dir); err != nil {
		return nil, err
	}
	s, err := Begin(dir, o)
	if err != nil {
		return nil, err
	}
	for i, d := range demoSteps {
		if err := s.demoStep(d); err != nil {
			return nil, fmt.Errorf("the demo's commit %q: %w", d.message, err)
		}
		step(i+1, len(demoSteps))
	}
	return s, nil
}

// refuseFull refuses a folder that holds anything.
func refuseFull(dir string) error {
	entries, err := os.ReadDir(dir)
	if err == nil && len(entries) > 0 {
		return usage("name an empty folder or one that does not exist yet", "%s is not empty", dir)
	}
	return nil
}

func (s *Shop) demoStep(d demoStep) error {
	base := path.Join("engines", "2017", demoEngine)
	if err := s.layOut(d, base); err != nil {
		return err
	}
	who := demoSignature(d.by, d.when)
	done, err := s.Commit(demoEngine, CommitOptions{Message: d.message, Author: who, Committer: who})
	if err != nil || d.deliver == 0 {
		return err
	}
	_, err = s.seal(demoEngine, d.deliver, done.Commit, who)
	return err
}

// layOut puts a step's files into the folder.
func (s *Shop) layOut(d demoStep, base string) error {
	var edits []book.Edit
	if d.folder != "" {
		files, err := demoFolder(d.folder)
		if err != nil {
			return err
		}
		for name, data := range files {
			edits = append(edits, book.Edit{Path: path.Join(base, name), Data: data, Write: true})
		}
	}
	if d.edit != nil {
		file := path.Join(base, "spec.yaml")
		text, err := s.withLine(file, *d.edit)
		if err != nil {
			return err
		}
		edits = append(edits, book.Edit{Path: file, Data: text, Write: true})
	}
	return s.Book.Put(edits)
}

func demoFolder(name string) (map[string][]byte, error) {
	files := map[string][]byte{}
	root := path.Join("demo", name)
	err := fs.WalkDir(demoFiles, root, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := demoFiles.ReadFile(p)
		files[strings.TrimPrefix(p, root+"/")] = data
		return err
	})
	return files, err
}

// demoSignature is a person of the invented shop, in the zone of the lake.
func demoSignature(by, when string) book.Signature {
	t, err := time.ParseInLocation("2006-01-02 15:04", when, time.FixedZone("", 3600))
	if err != nil {
		panic("act: the demo's date " + when)
	}
	return book.Signature{Name: by, Email: strings.ToLower(by) + "@skarvik.example", When: t}
}

// withLine is the text of a record with one key put into a section.
func (s *Shop) withLine(file string, e demoEdit) ([]byte, error) {
	data, err := s.Book.Folder().Read(file)
	if err != nil {
		return nil, err
	}
	doc, err := source.Parse(file, data)
	if err != nil {
		return nil, err
	}
	if e.section == "" {
		doc, err = doc.SetRaw([]string{e.key}, e.value)
	} else {
		doc, err = doc.Insert([]string{e.section}, e.key, e.value)
	}
	if err != nil {
		return nil, err
	}
	return doc.Text(), nil
}
