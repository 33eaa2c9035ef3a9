package act

import (
	"fmt"
	"path"
	"slices"

	"stackbook/record"
	"stackbook/record/book"
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
	LeftOut bool // it is there, as far as was looked, and too much for one sheet
}

// pictures reads the photographs that some records of a state name.
func (s *Shop) pictures(l *Loaded, of func(r *record.Record) bool) ([]Picture, error) {
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	var list []Picture
	for _, a := range attachments(l.Engine) {
		if of(a.record) {
			p := a.picture()
			p.read(a, tree, l.Place.Folder)
			list = append(list, p)
		}
	}
	return list, nil
}

// What one sheet shows of photographs: with more of them, or larger ones, no
// telephone would open it.
const (
	MostPictures     = 24
	MostPictureBytes = 8 << 20
)

// PicturesIn reads the photographs that the records of a state name, those of
// the newest records first. Beyond MostPictures, and MostPictureBytes in all,
// they are left out.
func (s *Shop) PicturesIn(l *Loaded) ([]Picture, error) {
	tree, err := s.treeOf(l)
	if err != nil {
		return nil, err
	}
	all := attachments(l.Engine)
	slices.SortStableFunc(all, func(a, b attachment) int {
		newer, _ := b.record.Date("date") // a spec has none, and comes last
		older, _ := a.record.Date("date")
		return newer.Time.Compare(older.Time)
	})
	var list []Picture
	shown, bytes := 0, 0
	for _, a := range all {
		p := a.picture()
		if p.LeftOut = shown >= MostPictures; !p.LeftOut {
			p.read(a, tree, l.Place.Folder)
			p.LeftOut = bytes+len(p.Data) > MostPictureBytes
		}
		if p.LeftOut {
			p.Data, p.Missing = nil, fmt.Sprintf("left out: a sheet shows %d photographs at the most, of %d MiB in all", MostPictures, MostPictureBytes>>20)
		} else {
			shown, bytes = shown+1, bytes+len(p.Data)
		}
		list = append(list, p)
	}
	return list, nil
}

// picture is what an attachment's entry says of it.
func (a attachment) picture() Picture {
	text := func(key string) string {
		if n := a.entry.Get(key); n != nil {
			return n.Text()
		}
		return ""
	}
	return Picture{File: a.file.Text(), Caption: text("caption"), At: text("at"), Sum: text("sha256"), Record: a.record.Path}
}

// read takes in the bytes of a picture, or why it has none to show.
func (p *Picture) read(a attachment, tree book.Tree, folder string) {
	data, wrong := a.read(tree, folder)
	switch {
	case wrong != nil:
		p.Missing = wrong.Message
	case len(data) == 0:
		p.Missing = path.Base(p.File) + " is empty"
	case p.Sum != record.SumOf(data).String():
		p.Missing = path.Base(p.File) + " is another file than the one whose sha256 is written"
	default:
		p.Data = data
	}
}
