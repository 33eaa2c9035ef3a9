package act

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/cmd/internal/photo"
	"stackbook/record/book"
	"stackbook/schema"
)

// Bounds of a picture, in bytes. A book is fetched whole by everyone who works
// in it, so its pictures stay small (R25); what is read is bounded so that a
// film named by mistake costs no more than a moment.
const (
	mostPicture = 2_000_000
	mostRead    = 64_000_000
)

// pictures are those of one record: what it says of them, and the files.
type pictures struct {
	entries [][]pair
	edits   []book.Edit
	remarks []string
}

// pictures reads what was typed of pictures and makes of each a clean copy in
// the engine's photos folder, named for the record.
func (d *Desk) pictures(stem string, typed []string) (*pictures, error) {
	taken, err := d.taken("photos")
	if err != nil {
		return nil, err
	}
	p := &pictures{}
	of := schema.Change().Find("photos").Of
	for _, text := range typed {
		item, err := pairsOf("photo", text, of)
		if err != nil {
			return nil, err
		}
		if len(item) == 0 || item[0].key != "file" || slices.ContainsFunc(item, func(p pair) bool { return p.key == "sha256" }) {
			return nil, usage("write it like: --photo 'plug.jpg at=rotor/2 caption=soot'; its SHA-256 is reckoned here", "%q names no picture, or its SHA-256", text)
		}
		data, kind, err := cleanPicture(d.path(item[0].value), item[0].value)
		if err != nil {
			return nil, err
		}
		name := free(stem, taken)
		taken[name] = true
		file := path.Join("photos", name+"."+string(kind))
		if !endsAs(item[0].value, kind) {
			p.remarks = append(p.remarks, fmt.Sprintf("%s is a %s picture by its content: kept as %s", item[0].value, kind, file))
		}
		entry := []pair{{"file", file}, {"sha256", fmt.Sprintf("%x", sha256.Sum256(data))}}
		p.entries = append(p.entries, append(entry, item[1:]...))
		p.edits = append(p.edits, book.Edit{Path: path.Join(d.Place.Folder, file), Data: data, Write: true})
	}
	return p, nil
}

// path is a path as typed, from the folder it was typed in.
func (d *Desk) path(typed string) string {
	if filepath.IsAbs(typed) {
		return typed
	}
	return filepath.Join(d.Dir, typed)
}

// cleanPicture reads a picture and takes out what was written beside it; name
// is the file as typed.
func cleanPicture(file, name string) ([]byte, photo.Kind, error) {
	data, err := readBounded(file, name)
	if err != nil {
		return nil, "", err
	}
	clean, kind, err := photo.Clean(data)
	if err != nil {
		message, mend, _ := strings.Cut(err.Error(), "; ")
		return nil, "", usage(mend, "%s cannot be taken: %s", name, message)
	}
	if len(clean) > mostPicture {
		return nil, "", usage("save it smaller first: 1,600 pixels on the long side are plenty. The original can stay on the shop's disk, named under raw_files",
			"%s has %.1f MB, and a picture in the book at most %.0f MB", name, float64(len(clean))/1e6, mostPicture/1e6)
	}
	return clean, kind, nil
}

// readBounded reads a file that a person named.
func readBounded(file, name string) ([]byte, error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, usage("name a file that is there", "%s cannot be read: %s", name, cause(err))
	case !info.Mode().IsRegular():
		return nil, usage("name a picture", "%s is no file", name)
	case info.Size() > mostRead:
		return nil, usage("save it as JPEG or PNG, and smaller, first", "%s has %d MB", name, info.Size()/1_000_000)
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, mostRead))
}

// cause is why a file cannot be read, without its name.
func cause(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// endsAs tells whether a file's name ends as its kind of picture should.
func endsAs(name string, kind photo.Kind) bool {
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(name), "."))
	return ending == string(kind) || kind == photo.JPEG && slices.Contains([]string{"jpeg", "jpe", "jfif"}, ending)
}
