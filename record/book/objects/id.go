package objects

import (
	"bytes"
	"crypto"
	_ "crypto/sha1"   // so that crypto.SHA1 and
	_ "crypto/sha256" // crypto.SHA256 are there to be asked for
	"encoding/hex"
	"fmt"
	gohash "hash"
	"strconv"

	"github.com/go-git/go-git/v5/plumbing/hash"
)

// ID names an object: its hash in lower-case hexadecimal digits. The empty ID
// names no object.
type ID string

// Format says by which hash a repository names its objects.
type Format struct {
	name string
	hash crypto.Hash
	size int // bytes of a hash
}

// The two formats git knows. SHA-1 is computed with collision detection, as
// git does.
var (
	SHA1   = Format{"sha1", crypto.SHA1, 20}
	SHA256 = Format{"sha256", crypto.SHA256, 32}
)

// String gives the format's name as git writes it.
func (f Format) String() string { return f.name }

// Size gives the length of a hash in bytes.
func (f Format) Size() int { return f.size }

// Valid says whether id has the length and digits of a full name.
func (f Format) Valid(id ID) bool {
	return len(id) == 2*f.size && IsHex(string(id))
}

// IsHex says whether s consists of lower-case hexadecimal digits alone.
func IsHex(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

// Sum gives the name of an object.
func (f Format) Sum(kind Kind, data []byte) ID {
	h := hash.New(f.hash)
	fmt.Fprintf(h, "%s %d\x00", kind, len(data))
	h.Write(data)
	return ID(hex.EncodeToString(h.Sum(nil)))
}

// summer works hashes one after the other in the same memory, as Quick does.
type summer struct {
	h   gohash.Hash
	buf []byte
}

// fits tells whether an object is the one of a name, which is given by its bytes.
func (s *summer) fits(f Format, kind Kind, data, name []byte) bool {
	if s.h == nil {
		s.h = f.hash.New()
	}
	s.h.Reset()
	s.buf = append(append(s.buf[:0], kind...), ' ')
	s.buf = append(strconv.AppendInt(s.buf, int64(len(data)), 10), 0)
	s.h.Write(s.buf)
	s.h.Write(data)
	s.buf = s.h.Sum(s.buf[:0])
	return bytes.Equal(s.buf, name)
}

// Quick is Sum without detection of collisions, and much faster: for what is only
// looked at for damage, or held against what git has.
func (f Format) Quick(kind Kind, data []byte) ID {
	h := f.hash.New()
	fmt.Fprintf(h, "%s %d\x00", kind, len(data))
	h.Write(data)
	return FromRaw(h.Sum(nil))
}

// Raw gives the bytes of id, which must be a full name.
func (id ID) Raw() []byte {
	b, err := hex.DecodeString(string(id))
	if err != nil {
		panic("objects: bytes asked of the unchecked name " + string(id))
	}
	return b
}

// FromRaw gives the name whose bytes are b.
func FromRaw(b []byte) ID { return ID(hex.EncodeToString(b)) }
