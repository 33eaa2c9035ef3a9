package act

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"stackbook/schema"
)

// The ready-made limit sets are what was printed for the repair and the
// preparation of one class of engines, generation by generation: limits differ
// between them by up to a factor of two. Each line names where it was seen, or
// says that it is from memory.
//
//go:embed limits/*.yaml
var limitFiles embed.FS

// ReadyLimits lists the ready-made limit sets a new book can begin with, by
// name.
func ReadyLimits() []string {
	entries, err := fs.ReadDir(limitFiles, "limits")
	if err != nil {
		panic(err) // built in
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".yaml"))
	}
	return names
}

// readyLimits are the files of the named ready-made sets, by path in the book.
func readyLimits(names []string) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, name := range names {
		if !slices.Contains(ReadyLimits(), name) {
			return nil, noSuchSet(name)
		}
		file := path.Join("limits", name+".yaml")
		data, err := limitFiles.ReadFile(file)
		if err != nil {
			panic(err) // built in
		}
		files[file] = data
	}
	return files, nil
}

func noSuchSet(name string) error {
	known := ReadyLimits()
	mend := "there are: " + strings.Join(known, ", ")
	if near := schema.Nearest(name, known); near != "" {
		mend = "did you mean " + near + "?"
	}
	return &UsageError{Message: fmt.Sprintf("there is no ready-made limit set %q", name), Mend: mend}
}
