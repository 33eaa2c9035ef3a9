package act

import (
	"path"

	"stackbook/record"
)

// Picture is a photograph a record names, with its bytes where it is there and
// the file whose hash the record says.
type Picture struct {
	File    string // inside the engine's folder, as written
	Caption string
	At      string
	Sum     string // the SHA-256 as written
	Record  string // that names it
	Data    []byte // nil where Missing says why
	Missing string
}

// pictures reads the photographs that some records of a state name.
func (s *Shop) pictures(l *Loaded, of func(r *record.Record) bool) ([]Picture, error) {
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	var list []Picture
	for _, a := range attachments(l.Engine) {
		if !of(a.record) {
			continue
		}
		text := func(key string) string {
			if n := a.entry.Get(key); n != nil {
				return n.Text()
			}
			return ""
		}
		p := Picture{File: a.file.Text(), Caption: text("caption"), At: text("at"), Sum: text("sha256"), Record: a.record.Path}
		data, wrong := a.read(tree, l.Place.Folder)
		switch {
		case wrong != nil:
			p.Missing = wrong.Message
		case p.Sum != record.SumOf(data).String():
			p.Missing = path.Base(p.File) + " is another file than the one whose sha256 is written"
		default:
			p.Data = data
		}
		list = append(list, p)
	}
	return list, nil
}
