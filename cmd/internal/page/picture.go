package page

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	_ "image/jpeg" // the two kinds of picture a book holds
	_ "image/png"

	"stackbook/cmd/internal/page/plot"
)

// drawing is a drawing made ready for setting.
type drawing struct {
	Title, Words string
	SVG          template.HTML
}

// newDrawing sets a drawing. Its markup is package plot's own, which makes the
// texts in it harmless.
func newDrawing(d plot.Drawing, id string) drawing {
	return drawing{or(plain(d.Title), "Drawing"), plain(d.Words), template.HTML(d.SVG(id))}
}

// picture is a photograph made ready for setting: its address holds its bytes,
// and is empty where it cannot be shown.
type picture struct {
	Caption string
	Source  template.URL
	Why     string // it is not shown
}

// mostPixels is how many pixels a photograph may have: a small file can ask for
// a picture that fills all memory.
const mostPixels = 100e6

func pictures(list []Picture) []picture {
	var set []picture
	for _, p := range list {
		q := picture{Caption: or(plain(p.Caption), plain(p.Name)), Why: plain(p.Missing)}
		if q.Why == "" {
			q.Source, q.Why = pictureSource(p.Data)
		}
		set = append(set, q)
	}
	return set
}

// pictureSource is the address of a picture that is inside the page.
func pictureSource(data []byte) (source template.URL, why string) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil || kind != "jpeg" && kind != "png":
		return "", "it is no JPEG or PNG picture"
	case float64(config.Width)*float64(config.Height) > mostPixels:
		return "", fmt.Sprintf("it has %d by %d pixels, more than are shown", config.Width, config.Height)
	}
	return template.URL("data:image/" + kind + ";base64," + base64.StdEncoding.EncodeToString(data)), ""
}

// anyPicture tells whether any section shows a photograph.
func anyPicture(list []*section) bool {
	for _, s := range list {
		for _, p := range s.Pictures {
			if p.Source != "" {
				return true
			}
		}
		if anyPicture(s.Sections) {
			return true
		}
	}
	return false
}
