package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/record/book/passing"
)

// sitePassing is where pages wait until all are there, and what is gathered for
// them lies.
const sitePassing = ".stackbook-new"

// listWaits is the name there of the list of pages.
const listWaits = "list"

// makeAside makes the folder in which pages wait. What a run left there that was
// killed is taken away first, where the system tells that none is at work: one
// that is holds the site's folder.
func (f *siteFolder) makeAside() error {
	aside := filepath.Join(f.dir, sitePassing)
	var err error
	if f.held, err = f.root.Open("."); err != nil {
		return fmt.Errorf("%s cannot be read: %w", f.dir, cause(err))
	}
	holding := passing.Hold(f.held)
	if holding == passing.HeldByOther {
		return fmt.Errorf("another run is writing pages into %s; try again when it has ended", f.dir)
	}
	if holding == passing.Held {
		if err := f.removeDead(); err != nil {
			return err
		}
	}
	err = f.passing.Tree(aside, func() error { return f.root.Mkdir(sitePassing, 0o777) })
	if err == nil {
		return nil
	}
	f.passing.Keep(aside)
	if errors.Is(err, fs.ErrExist) { // another's
		return fmt.Errorf("%s is there: another run is writing, or was killed; when none runs, remove that folder and try again", aside)
	}
	return fmt.Errorf("%s cannot be written in: %w", f.dir, cause(err))
}

// removeDead takes away what a killed run left, if it is what runs make: a folder
// with anything else in it stays, and is told of.
func (f *siteFolder) removeDead() error {
	info, err := f.root.Lstat(sitePassing)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil || !info.IsDir() {
		return f.notOurs(sitePassing)
	}
	entries, err := fs.ReadDir(f.root.FS(), sitePassing)
	if err != nil {
		return fmt.Errorf("%s cannot be read: %w", filepath.Join(f.dir, sitePassing), cause(err))
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !isAside(e.Name()) {
			return f.notOurs(sitePassing + "/" + e.Name())
		}
	}
	for _, e := range entries {
		if err := f.root.Remove(sitePassing + "/" + e.Name()); err != nil {
			return fmt.Errorf("%s, left by a run that was killed, cannot be removed: %w", filepath.Join(f.dir, sitePassing, e.Name()), cause(err))
		}
	}
	if err := f.root.Remove(sitePassing); err != nil {
		return fmt.Errorf("%s, left by a run that was killed, cannot be removed: %w", filepath.Join(f.dir, sitePassing), cause(err))
	}
	return nil
}

func (f *siteFolder) notOurs(name string) error {
	return &act.UsageError{Message: filepath.Join(f.dir, name) + " is there, and stackbook did not write it", Mend: "move it out of the way"}
}

// isAside tells whether a run makes a file of that name where pages wait.
func isAside(name string) bool {
	return name == listWaits || slices.Contains(act.ScratchNames, name) || strings.Trim(name, "0123456789") == ""
}

// scratch makes a file that goes with the folder in which pages wait.
func (f *siteFolder) scratch(name string) (act.Scratch, error) {
	file, err := f.root.OpenFile(sitePassing+"/"+name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be written in: %w", filepath.Join(f.dir, sitePassing), cause(err))
	}
	return file, nil
}

// waiting is where the page of a number waits.
func waiting(n int32) string { return fmt.Sprintf("%s/%d", sitePassing, n) }

// discard takes away what still waits, and lets go of the site's folder.
func (f *siteFolder) discard() error {
	err := f.root.RemoveAll(sitePassing)
	f.passing.Keep(filepath.Join(f.dir, sitePassing))
	return errors.Join(err, f.close())
}

// close lets go of the site's folder.
func (f *siteFolder) close() error {
	var err error
	if f.held != nil {
		err = f.held.Close()
	}
	return errors.Join(err, f.root.Close())
}
