package act

import (
	"strings"

	"stackbook/record/book"
	"stackbook/schema"
)

// moment is one state of the whole book.
type moment struct {
	tree    book.Tree
	commit  book.Commit // the folder's last one, or the one the state was read from
	known   bool        // there is a commit: history can be walked
	past    bool        // the state is that of the commit, not the folder's
	remarks []string
}

// moment finds a state of the book as a person names it: "" is the folder (of a
// bare repository the last commit), else @2024-06-01 or @4f2c9e1 (R16).
func (s *Shop) moment(name string) (moment, error) {
	if name == "" {
		tree, err := s.latest()
		if err != nil {
			return moment{}, err
		}
		m := moment{tree: tree, past: s.Book.Bare()}
		m.commit, m.known, err = s.Book.Head()
		return m, err
	}
	rev, ok := strings.CutPrefix(name, "@")
	if !ok || rev == "" || isDayForm(rev) && !isDay(rev) {
		return moment{}, usage("write @2024-06-01 or @4f2c9e1", "%q is no state of the book", name)
	}
	m := moment{known: true, past: true}
	var remark string
	var err error
	m.commit, remark, err = s.revision(rev)
	if remark != "" {
		m.remarks = append(m.remarks, remark)
	}
	m.tree = s.Book.At(m.commit)
	return m, err
}

// hash is the commit a state was read from, "" for the folder.
func (m moment) hash() string {
	if !m.past {
		return ""
	}
	return m.commit.Hash
}

// opened is a state of the book, with what its engines are judged by and where
// they lie.
type opened struct {
	moment
	rules  *rules
	places []Place
	today  schema.Date // the day the state is asked about
}

// open reads what a look at every engine of a state begins with.
func (s *Shop) open(state string) (*opened, error) {
	m, err := s.moment(state)
	if err != nil {
		return nil, err
	}
	r, err := readRules(m.tree)
	if err != nil {
		return nil, err
	}
	places, _, err := Engines(m.tree)
	return &opened{m, r, places, s.today(m, state)}, err
}

// fleet is the state's fleet, of which no engine is told yet.
func (o *opened) fleet() *Fleet {
	return &Fleet{Commit: o.hash(), Today: o.today, Engines: make([]*InFleet, len(o.places)), Remarks: o.remarks}
}
