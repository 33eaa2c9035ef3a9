package act

import "stackbook/record/book"

// spot is an engine in one state, found and not read.
type spot struct {
	Place
	tree    book.Tree
	commit  string // the state is that of the commit; "" for the folder
	remarks []string
}

// spot finds the engine in the state a person named.
func (s *Shop) spot(text string) (spot, error) {
	n, err := ParseName(text)
	if err != nil {
		return spot{}, err
	}
	if n.Build == 0 && n.Rev == "" {
		tree, err := s.folder()
		if err != nil {
			return spot{}, err
		}
		place, err := FindEngine(tree, n.Engine)
		return spot{Place: place, tree: tree}, err
	}
	var c book.Commit
	var remark string
	if n.Build > 0 {
		c, remark, err = s.delivered(n, text)
	} else {
		c, remark, err = s.revision(n.Rev)
	}
	if err != nil {
		return spot{}, err
	}
	s.lookWhereItIs(n.Engine)
	found := spot{tree: s.Book.At(c), commit: c.Hash}
	if remark != "" {
		found.remarks = []string{remark}
	}
	found.Place, err = s.placeAt(c, n.Engine)
	return found, err
}

// lookWhereItIs has an engine of the past looked for first where it lies now.
func (s *Shop) lookWhereItIs(number string) {
	if s.place.Number == number || s.Book.Bare() {
		return
	}
	if place, ok := findQuickly(s.Book.Folder(), number); ok {
		s.place = place
	}
}
