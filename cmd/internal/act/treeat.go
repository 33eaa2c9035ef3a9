package act

import (
	"strings"

	"stackbook/record/book"
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
