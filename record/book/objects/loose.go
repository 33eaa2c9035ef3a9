package objects

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"github.com/klauspost/compress/zlib"
)

// loosePath gives the place of a loose object below a store's folder.
func loosePath(dir string, id ID) string {
	return filepath.Join(dir, string(id[:2]), string(id[2:]))
}

// readLoose reads an object that has a file of its own, and makes sure that
// it is what its name says.
func (s *Store) readLoose(id ID) (Kind, []byte, error) {
	for _, dir := range s.dirs {
		f, err := os.Open(loosePath(dir, id))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return "", nil, err
		}
		kind, data, err := decodeLoose(f)
		f.Close()
		if err == nil && !s.sum.fits(s.format, kind, data, id.Raw()) {
			err = errors.New("its content does not match its name")
		}
		if err != nil {
			return "", nil, fmt.Errorf("object %s is damaged: %w; git fsck tells more", id, err)
		}
		return kind, data, nil
	}
	return "", nil, ErrMissing
}

// decodeLoose undoes the compression and takes off the header "kind size NUL".
func decodeLoose(r io.Reader) (Kind, []byte, error) {
	z, err := zlib.NewReader(r)
	if err != nil {
		return "", nil, err
	}
	defer z.Close()
	all, err := io.ReadAll(io.LimitReader(z, MaxSize+1))
	if err != nil {
		return "", nil, err
	}
	header, data, ok := bytes.Cut(all, []byte{0})
	kind, size, ok2 := bytes.Cut(header, []byte{' '})
	if !ok || !ok2 {
		return "", nil, errors.New("it has no header")
	}
	if len(all) > MaxSize {
		return "", nil, fmt.Errorf("it is larger than %d MiB", MaxSize>>20)
	}
	if n, err := strconv.Atoi(string(size)); err != nil || n != len(data) {
		return "", nil, fmt.Errorf("its header says %q bytes and it has %d", size, len(data))
	}
	return Kind(kind), data, nil
}
