package act

import (
	"errors"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"stackbook/record/book"
	"stackbook/schema"
)

// Shown is a file of an engine in one state.
type Shown struct {
	Place
	Commit  string // the state is that of the commit; "" for the folder
	File    string // path in the book
	Data    []byte
	Remarks []string
}

// Show gives a file of an engine's folder as it is in the named state, byte for
// byte. file is its path in that folder, or in the book; "" is the spec. Nothing
// else of the engine is read, and nothing checked.
func (s *Shop) Show(name, file string) (*Shown, error) {
	at, err := s.spot(name)
	if err != nil {
		return nil, err
	}
	own, err := ownPath(at.Folder, file)
	if err != nil {
		return nil, err
	}
	shown := &Shown{Place: at.Place, Commit: at.commit, File: path.Join(at.Folder, own), Remarks: at.remarks}
	shown.Data, err = at.tree.Read(shown.File)
	var none *book.UnfitError
	if errors.Is(err, fs.ErrNotExist) || errors.As(err, &none) {
		err = notThere(at.tree, at.Folder, own, name, err)
	}
	return shown, err
}

// ownPath gives the path in an engine's folder of a file as a person names it.
func ownPath(folder, file string) (string, error) {
	if file == "" {
		return "spec.yaml", nil
	}
	own := strings.TrimPrefix(path.Clean(strings.ReplaceAll(file, "\\", "/")), folder+"/")
	if !fs.ValidPath(own) || own == "." {
		return "", usage("name a file in it, such as spec.yaml or changes/2024-03-10-pocket-recut.yaml", "%q is no file of the folder %s", file, folder)
	}
	return own, nil
}

// notThere says that a file is none, and which there are: those near in name, or
// those of a folder that was named, or all.
func notThere(tree book.Tree, folder, own, state string, cause error) error {
	held, err := filesBelow(tree, folder)
	if err != nil {
		return err
	}
	var files []string
	for _, f := range slices.Sorted(maps.Keys(held)) {
		files = append(files, strings.TrimPrefix(f, folder+"/"))
	}
	if slices.Contains(files, own) {
		return cause // too large, or no file in the folder
	}
	within := slices.DeleteFunc(slices.Clone(files), func(f string) bool { return !strings.HasPrefix(f, own+"/") })
	if len(within) > 0 {
		return usage("name one of its files: "+Some(within, 8), "%s of %s is a folder", own, state)
	}
	if near := nearFiles(own, files); len(near) > 0 {
		return usage("did you mean "+Some(near, 8)+"?", "%s has no %s", state, own)
	}
	return usage("its files: "+Some(files, 8), "%s has no %s", state, own)
}

// nearFiles gives the files a person may have meant: of that name in another
// folder, with that text in the name, or spelled nearly so.
func nearFiles(own string, files []string) []string {
	base := strings.TrimSuffix(path.Base(own), path.Ext(own))
	var near []string
	for _, f := range files {
		if base != "" && strings.Contains(strings.ToLower(path.Base(f)), strings.ToLower(base)) {
			near = append(near, f)
		}
	}
	if nearest := schema.Nearest(own, files); nearest != "" && !slices.Contains(near, nearest) {
		near = append([]string{nearest}, near...)
	}
	return near
}
