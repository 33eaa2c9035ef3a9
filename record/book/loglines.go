package book

import (
	"time"

	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// LogLine is what a list tells of one commit.
type LogLine struct {
	Hash    string
	Day     string // of the committer, in his own zone: 2024-06-01
	Author  string // the name, as it stands in the commit
	Subject string // the message's first paragraph, as one line
	Cut     bool   // history is cut off before it
}

// Short gives the first ten digits of the commit's name.
func (l LogLine) Short() string { return short(l.Hash) }

// Tip gives the name of the commit that the folder stands on, without reading
// it; "" in a repository that has none yet.
func (b *Book) Tip() (hash string, err error) {
	id, _, err := b.resolveRef("HEAD")
	return string(id), err
}

// LogLines is Log of the history of any commit, given by its whole name, with no
// more of each commit than a list tells. Where the index knows them, no object is
// read but of merges of very much.
func (b *Book) LogLines(from, prefix string) ([]LogLine, error) {
	if err := checkPath(prefix); err != nil {
		return nil, err
	}
	if inSide(prefix) {
		if list, answered, err := b.linesByIndex(from, prefix); err != nil || answered {
			return list, err
		}
	}
	return b.linesByWalk(from, prefix)
}

func (b *Book) linesByWalk(from, prefix string) ([]LogLine, error) {
	c, err := b.commit(objects.ID(from))
	if err != nil {
		return nil, err
	}
	log, err := b.logByWalk(c, prefix)
	if err != nil {
		return nil, err
	}
	return linesOf(log), nil
}

func linesOf(log []Commit) []LogLine {
	list := make([]LogLine, 0, len(log))
	for _, c := range log {
		list = append(list, LogLine{c.Hash, c.Committer.When.Format(time.DateOnly), c.Author.Name, c.Subject(), c.Cut})
	}
	return list
}

func (b *Book) linesByIndex(from, prefix string) (list []LogLine, answered bool, err error) {
	answered, err = b.ask(from, func(x *lookup.Index, id uint32) (bool, error) {
		found, err := touching(x, id, prefix)
		if err != nil {
			return false, err
		}
		list = make([]LogLine, 0, len(found))
		for _, c := range found {
			author, subject, ok := x.Said(c)
			if x.Err() != nil {
				return false, x.Err()
			}
			if ok && !c.Wide {
				list = append(list, LogLine{c.Hash, lookup.DayText(c.Day), author, subject, c.Cut})
				continue
			}
			log, err := b.logged([]lookup.Commit{c}, prefix)
			if err != nil {
				return false, err
			}
			list = append(list, linesOf(log)...)
		}
		return true, nil
	})
	return list, answered, err
}
