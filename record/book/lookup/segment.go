package lookup

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"io"
)

// Format is raised when what lies in a segment, or the rule by which words are
// listed, becomes another.
const Format = 2

const magic = "stackbk\n"

// The tables of a segment, in the order they lie. Numbers are little-endian,
// of 32 bits where nothing else is said.
const (
	commitTable  = iota // a row a commit, by number
	hashTable           // numbers within the segment, by hash
	parentTable         // of commits with more than two parents: count, numbers
	wideTable           // numbers of wide commits
	pathTable           // where its text begins, which edit is its first; one row more than paths, sorted by text
	textTable           // the texts of paths
	editTable           // by path, commit, parent
	wordTable           // 64 bits of hash, first posting, count; sorted
	postingTable        // numbers of paths within the segment
	saidTable           // texts that commits name by their place, each behind its length of 16 bits
	tables
)

// The fixed part of a row of commitTable; the hash follows.
const (
	commitFixed = 8 + 11*4

	flagCut  = 1
	flagWide = 2
	flagAll  = 4
	flagMany = 8 // more than two parents: the second number is a row of parentTable
)

// editFixed is the part of a row of editTable before the two hashes: path,
// commit, parent (8 bits), flags (8 bits), two bytes of nothing.
const (
	editFixed = 12

	wasFile = 1
	isFile  = 2
)

// headSize is the length of what stands before the tables: magic, format, bytes
// of a hash, the segment's id, that of the segment before it (64 bits each),
// the first commit's number, the count of commits, the key, and place and
// length of each table (64 bits each).
const headSize = len(magic) + 4 + 4 + 8 + 8 + 4 + 4 + keySize + tables*16

const keySize = 32

// Key says what an index rests on besides its commits. An index with another
// key is of no use.
type Key [keySize]byte

// common is the count of a word that stands in too many files to be listed.
const common = ^uint32(0)

// Segment is a part of an index that was opened.
type Segment struct{ *segment }

type segment struct {
	file   *file
	hash   int // bytes of one
	before uint64
	start  uint32
	count  uint32
	table  [tables]struct{ at, size int64 }
}

// Open reads the head of a segment of size bytes; ErrDoubt where it is none of
// this format and key.
func Open(r io.ReaderAt, size int64, key Key) (*Segment, error) {
	s := &segment{file: &file{r: r}}
	head := s.file.bytes(0, headSize)
	if s.file.doubted() || string(head[:len(magic)]) != magic {
		return nil, ErrDoubt
	}
	rest := head[len(magic):]
	number := func() uint64 {
		n := binary.LittleEndian.Uint64(rest)
		rest = rest[8:]
		return n
	}
	formatAndHash := number()
	s.hash = int(formatAndHash >> 32)
	s.file.id, s.before = number(), number()
	both := number()
	s.start, s.count = uint32(both), uint32(both>>32)
	own := Key(rest[:keySize])
	rest = rest[keySize:]
	end := int64(headSize)
	for i := range s.table {
		s.table[i].at, s.table[i].size = int64(number()), int64(number())
		end = s.table[i].at + s.table[i].size
	}
	if uint32(formatAndHash) != Format || own != key || size != (end+payload-1)/payload*blockSize {
		return nil, ErrDoubt
	}
	return &Segment{s}, nil
}

// ID tells one segment from another.
func (s *Segment) ID() uint64 { return s.file.id }

// Commits is how many it holds.
func (s *Segment) Commits() uint32 { return s.count }

// row gives one row of a table; zeros where there is none.
func (s *segment) row(table int, i uint32, size int) []byte {
	return s.part(table, int64(i)*int64(size), size)
}

// part gives some bytes of a table; zeros where it is not as long.
func (s *segment) part(table int, at int64, size int) []byte {
	t := s.table[table]
	if at+int64(size) > t.size {
		s.file.doubt()
		return make([]byte, size)
	}
	return s.file.bytes(t.at+at, size)
}

// said gives a text that a commit names.
func (s *segment) said(at uint32) (text string, ok bool) {
	if at == none {
		return "", false
	}
	size := binary.LittleEndian.Uint16(s.part(saidTable, int64(at), saidHead))
	return string(s.part(saidTable, int64(at)+saidHead, int(size))), true
}

func (s *segment) number(table int, i uint32) uint32 {
	return binary.LittleEndian.Uint32(s.row(table, i, 4))
}

func (s *segment) rows(table, size int) uint32 { return uint32(s.table[table].size / int64(size)) }

func (s *segment) commitRow(i uint32) []byte { return s.row(commitTable, i, commitFixed+s.hash) }

func (s *segment) find(key []byte) (id uint32, ok bool) {
	if len(key) != s.hash {
		return 0, false
	}
	// Hashes are spread evenly, so where one lies is guessed from its first bytes
	// and those found so far; each third look halves what is left, whatever is
	// found. A guess is a block to read, and few are needed.
	wanted := binary.BigEndian.Uint64(key)
	low, high := uint32(0), s.count
	least, most := uint64(0), ^uint64(0)
	for looks := 1; low < high; looks++ {
		at := low + (high-low)/2
		if span := most - least; looks%3 != 0 && span > 0 && wanted >= least && wanted <= most {
			at = min(low+uint32(float64(wanted-least)/float64(span)*float64(high-low)), high-1)
		}
		i := s.number(hashTable, at)
		hash := s.commitRow(i)[commitFixed:]
		switch order := bytes.Compare(hash, key); {
		case s.file.doubted():
			return 0, false
		case order == 0:
			return s.start + i, true
		case order < 0:
			low, least = at+1, binary.BigEndian.Uint64(hash)
		default:
			high, most = at, binary.BigEndian.Uint64(hash)
		}
	}
	return 0, false
}

func (s *segment) commit(i uint32) Commit {
	row := s.commitRow(i)
	n := func(k int) uint32 { return binary.LittleEndian.Uint32(row[8+4*k:]) }
	c := Commit{Hash: hex.EncodeToString(row[commitFixed:]), effect: int64(binary.LittleEndian.Uint64(row)), height: n(0),
		Day: int32(n(1)), latest: int32(n(2)), depth: n(3), jump: n(4), early: n(5), author: n(9), subject: n(10)}
	flags := n(8)
	c.Cut, c.Wide, c.all = flags&flagCut != 0, flags&flagWide != 0, flags&flagAll != 0
	first, second := n(6), n(7)
	switch {
	case flags&flagMany != 0:
		count := s.number(parentTable, second)
		for k := uint32(1); k <= count && !s.file.doubted(); k++ {
			c.Parents = append(c.Parents, s.number(parentTable, second+k))
		}
	case second != none:
		c.Parents = []uint32{first, second}
	case first != none:
		c.Parents = []uint32{first}
	}
	if s.file.doubted() {
		return Commit{Hash: c.Hash, early: none, all: true, author: none, subject: none}
	}
	return c
}

func (s *segment) wide() []uint32 {
	var list []uint32
	for i := range s.rows(wideTable, 4) {
		list = append(list, s.number(wideTable, i))
	}
	return list
}

// paths is how many there are.
func (s *segment) paths() uint32 { return max(s.rows(pathTable, 8), 1) - 1 }

func (s *segment) pathRow(i uint32) (text, edit uint32) {
	row := s.row(pathTable, i, 8)
	return binary.LittleEndian.Uint32(row), binary.LittleEndian.Uint32(row[4:])
}

func (s *segment) path(i uint32) string {
	begin, _ := s.pathRow(i)
	end, _ := s.pathRow(i + 1)
	if end < begin || int64(end) > s.table[textTable].size {
		s.file.doubt()
		return ""
	}
	return string(s.file.bytes(s.table[textTable].at+int64(begin), int(end-begin)))
}

// pathsFrom gives the first path that is not below one.
func (s *segment) pathsFrom(path string) uint32 {
	return search(s.paths(), func(row uint32) bool { return s.path(row) >= path })
}

// edits adds those of some paths.
func (s *segment) edits(list []Edit, from, to uint32) []Edit {
	for i := from; i < to; i++ {
		path := s.path(i)
		_, row := s.pathRow(i)
		_, end := s.pathRow(i + 1)
		for ; row < end && !s.file.doubted(); row++ {
			e := s.edit(row)
			e.Path = path
			list = append(list, e)
		}
	}
	return list
}

func (s *segment) edit(i uint32) Edit {
	row := s.row(editTable, i, editFixed+2*s.hash)
	e := Edit{Commit: binary.LittleEndian.Uint32(row[4:]), Parent: int(row[8])}
	if row[9]&wasFile != 0 {
		e.Was = hex.EncodeToString(row[editFixed : editFixed+s.hash])
	}
	if row[9]&isFile != 0 {
		e.Is = hex.EncodeToString(row[editFixed+s.hash:])
	}
	return e
}

// holding marks the paths that may hold one word.
func (s *segment) holding(word string, ids map[uint32]bool) {
	s.take(escapedWord, ids)
	best, count := recordWord, common
	known := true
	eachWord(word, func(hash uint64) {
		_, n, listed := s.postings(hash)
		known = known && listed
		if listed && n < count {
			best, count = hash, n
		}
	})
	if known {
		s.take(best, ids)
	}
}

// postings gives where the paths of a word are listed, and how many they are;
// common, if it is.
func (s *segment) postings(hash uint64) (at, count uint32, ok bool) {
	n := s.rows(wordTable, 16)
	i := search(n, func(row uint32) bool { return binary.LittleEndian.Uint64(s.row(wordTable, row, 16)) >= hash })
	if i == n {
		return 0, 0, false
	}
	row := s.row(wordTable, i, 16)
	return binary.LittleEndian.Uint32(row[8:]), binary.LittleEndian.Uint32(row[12:]), binary.LittleEndian.Uint64(row) == hash
}

func (s *segment) take(hash uint64, ids map[uint32]bool) {
	at, count, ok := s.postings(hash)
	if !ok || count == common {
		return
	}
	for k := range count {
		if s.file.doubted() {
			return
		}
		ids[s.number(postingTable, at+k)] = true
	}
}
