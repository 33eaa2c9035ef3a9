package app

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"stackbook/cmd/internal/act"
)

// exportTo writes to a file, or to standard output where none or - is named.
func (a *app) exportTo(file string, write func(w io.Writer) error) error {
	if file == "" || file == "-" {
		return write(a.term)
	}
	file = a.path(file)
	if err := a.mayWrite(file); err != nil {
		return err
	}
	info, err := os.Stat(file)
	switch {
	case err == nil && info.IsDir():
		return &act.UsageError{Message: file + " is a folder", Mend: "name a file in it, such as -o " + filepath.Join(file, "sheet.html")}
	case err == nil && !info.Mode().IsRegular():
		return writeThrough(file, write)
	}
	if err := a.writeFile(file, func(f *os.File) error { return write(f) }); err != nil {
		return err
	}
	a.remark("written: %s", file)
	return nil
}

// mayWrite refuses what a sheet must never replace: what git keeps, and the
// book's own records.
func (a *app) mayWrite(file string) error {
	s, err := a.shop()
	if err != nil {
		return err
	}
	rel, err := s.Book.Rel(file)
	if err != nil {
		return nil // outside the book
	}
	for _, part := range strings.Split(rel, "/") {
		if part == ".git" {
			return &act.UsageError{Message: file + " belongs to git", Mend: "name a file of your own"}
		}
	}
	if strings.HasSuffix(rel, ".yaml") || strings.HasPrefix(rel, ".git") {
		return &act.UsageError{Message: file + " is a file of the book", Mend: "name a file that ends in .html, .md, .json or .csv"}
	}
	return nil
}

// writeThrough writes into a pipe or device that is there.
func writeThrough(file string, write func(w io.Writer) error) error {
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

// writeFile writes beside and renames, so that a failure leaves what was there.
func (a *app) writeFile(file string, write func(f *os.File) error) error {
	f, err := a.passing.CreateTemp(filepath.Dir(file), ".stackbook-*")
	if err != nil {
		var why *fs.PathError // of a name nobody typed
		if errors.As(err, &why) {
			err = why.Err
		}
		return fmt.Errorf("%s cannot be written: %w", file, err)
	}
	err = errors.Join(write(f), f.Chmod(0o644), f.Close())
	if err == nil {
		err = a.passing.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(err, a.passing.Remove(f.Name()))
	}
	return nil
}
