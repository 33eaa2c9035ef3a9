package act

import "stackbook/record/book"

// Commits is the list of the commits that altered an engine's folder.
type Commits struct {
	Place
	Lines   []book.LogLine // newest first
	Remarks []string
}

// Commits lists those up to the named state, of the folder the engine lies in
// there. Nothing of the engine is read.
func (s *Shop) Commits(name string) (*Commits, error) {
	at, err := s.spot(name)
	if err != nil {
		return nil, err
	}
	from := at.commit
	if from == "" {
		from, err = s.Book.Tip()
	}
	list := &Commits{Place: at.Place, Remarks: at.remarks}
	if err != nil || from == "" {
		return list, err
	}
	list.Lines, err = s.Book.LogLines(from, at.Folder)
	if err != nil {
		return nil, err
	}
	for _, l := range list.Lines {
		if l.Cut {
			list.Remarks = append(list.Remarks, "history is cut off before commit "+l.Short()+" of "+l.Day+" (a shallow clone); to have all of it: git fetch --unshallow")
		}
	}
	return list, nil
}
