// Package photo takes out of a picture what was written beside it: where it
// was taken, when, with which camera, small copies of what it showed before it
// was cut, and words. What the picture shows stays as it is: the coded pixels
// are carried over byte for byte, with the tables, colour profiles and the
// turn they need to look the same. A picture is never decoded, so nothing is
// resized and nothing is lost.
package photo

import (
	"bytes"
	"errors"
	"fmt"
)

// Kind is the kind of a picture, as the ending of its file name.
type Kind string

// The kinds that are taken.
const (
	JPEG Kind = "jpg"
	PNG  Kind = "png"
)

// errCut is a picture that ends too early.
var errCut = errors.New("it is cut off before its end; copy it again from where it came")

// damaged is a picture that is not as its kind of file must be.
func damaged(format string, args ...any) error {
	return fmt.Errorf("it is damaged: "+format+"; copy it again from where it came", args...)
}

// Clean gives a picture without what was written beside it, and what kind it
// is by its content. Another kind of file, and one that is cut off or damaged,
// is an error whose text says what it is and what to do, after "it".
func Clean(data []byte) ([]byte, Kind, error) {
	switch is := sniff(data); is {
	case "JPEG":
		clean, err := cleanJPEG(data)
		return clean, JPEG, err
	case "PNG":
		clean, err := cleanPNG(data)
		return clean, PNG, err
	case "":
		return nil, "", errors.New("it is no picture that is known here; save it as JPEG or PNG first")
	default:
		return nil, "", fmt.Errorf("it is of the kind %s; save it as JPEG or PNG first", is)
	}
}

// signatures are the first bytes of kinds of file, from memory. Raw pictures
// of most cameras are TIFF inside.
var signatures = []struct {
	at    int
	bytes string
	kind  string
}{
	{0, "\xff\xd8\xff", "JPEG"},
	{0, pngSignature, "PNG"},
	{4, "ftypavif", "AVIF"},
	{4, "ftyphe", "HEIC"},
	{4, "ftypmif1", "HEIC"},
	{4, "ftypmsf1", "HEIC"},
	{4, "ftyp", "film"},
	{8, "WEBP", "WebP"},
	{0, "II*\x00", "TIFF or raw"},
	{0, "MM\x00*", "TIFF or raw"},
	{0, "GIF8", "GIF"},
	{0, "BM", "BMP"},
	{0, "%PDF", "PDF"},
}

// sniff tells a kind of file by its first bytes, "" where none is known.
func sniff(data []byte) string {
	for _, s := range signatures {
		if len(data) >= s.at && bytes.HasPrefix(data[s.at:], []byte(s.bytes)) {
			return s.kind
		}
	}
	return ""
}
