package app

import (
	"fmt"
	"path"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
)

// pictureSection shows the photographs that records name, and says how many are
// left out.
func pictureSection(list []act.Picture) page.Section {
	s := page.Section{Heading: "Photographs"}
	left := 0
	for _, p := range list {
		if p.LeftOut {
			left++
			continue
		}
		on := pictureOn(p)
		on.Caption = joinTexts(", ", or(on.Caption, path.Base(p.File)), "by "+path.Base(p.Record))
		s.Pictures = append(s.Pictures, on)
	}
	switch {
	case len(list) == 0:
		s.Text = []string{"No record names one."}
	case left > 0:
		s.Note = fmt.Sprintf("The newest. Records name %d more: a sheet shows %d photographs at the most, of %d MiB in all.", left, act.MostPictures, act.MostPictureBytes>>20)
	}
	return s
}

// pictureOn is a photograph as it is set on a page.
func pictureOn(p act.Picture) page.Picture {
	return page.Picture{Name: p.File, Caption: joinTexts(", ", p.Caption, p.At), Data: p.Data, Missing: p.Missing}
}
