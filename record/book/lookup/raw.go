package lookup

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"maps"
	"slices"
	"sync"
)

// raw is the content of a segment in memory.
type raw struct {
	hash    int
	before  uint64
	start   uint32
	commits []byte
	many    []uint32
	wide    []uint32
	paths   []string
	edits   []rawEdit
	words   map[uint64][]uint32 // nil: common

	said   []byte
	saidAt map[string]uint32 // each text once
}

type rawEdit struct {
	path, commit  uint32
	parent, flags byte
	was, is       [32]byte
}

// Join makes one segment of several that follow each other.
func Join(key Key, parts ...*Segment) ([]byte, error) {
	out := &raw{words: map[uint64][]uint32{}}
	known := map[string]uint32{}
	for i, p := range parts {
		r := p.segment.decode()
		if p.file.doubted() {
			return nil, ErrDoubt
		}
		if i == 0 {
			out.hash, out.before, out.start = r.hash, r.before, r.start
		}
		out.takeCommits(r)
		at := make([]uint32, len(r.paths))
		for k, path := range r.paths {
			id, ok := known[path]
			if !ok {
				id = uint32(len(out.paths))
				known[path], out.paths = id, append(out.paths, path)
			}
			at[k] = id
		}
		for _, e := range r.edits {
			e.path = at[e.path]
			out.edits = append(out.edits, e)
		}
		out.addWords(r.words, at)
	}
	return out.encode(key), nil
}

// takeCommits adds those of a segment that goes on where this one ends.
func (r *raw) takeCommits(next *raw) {
	size := commitFixed + r.hash
	moved := uint32(len(r.many))
	for row := range slices.Chunk(next.commits, size) {
		for _, n := range [][]byte{row[8+4*9:], row[8+4*10:]} {
			binary.LittleEndian.PutUint32(n, r.sayAgain(next, binary.LittleEndian.Uint32(n)))
		}
		if n := row[8+4*7:]; binary.LittleEndian.Uint32(row[8+4*8:])&flagMany != 0 {
			binary.LittleEndian.PutUint32(n, binary.LittleEndian.Uint32(n)+moved)
		}
	}
	r.commits, r.many, r.wide = append(r.commits, next.commits...), append(r.many, next.many...), append(r.wide, next.wide...)
}

// saidHead is how many bytes tell how long a text is, and mostSaid how long one
// may be that is kept: longer ones stand in git alone.
const (
	saidHead = 2
	mostSaid = 1000
)

// say keeps a text, and gives where it lies.
func (r *raw) say(text string) uint32 {
	if len(text) > mostSaid {
		return none
	}
	if at, known := r.saidAt[text]; known {
		return at
	}
	if r.saidAt == nil {
		r.saidAt = map[string]uint32{}
	}
	at := uint32(len(r.said))
	r.said = append(binary.LittleEndian.AppendUint16(r.said, uint16(len(text))), text...)
	r.saidAt[text] = at
	return at
}

// sayAgain keeps a text of another segment.
func (r *raw) sayAgain(other *raw, at uint32) uint32 {
	if at == none {
		return none
	}
	size := uint32(binary.LittleEndian.Uint16(other.said[at:]))
	return r.say(string(other.said[at+saidHead:][:size]))
}

// addWords takes words in, at paths that have other numbers here. One that was
// common in a part is in all.
func (r *raw) addWords(words map[uint64][]uint32, at []uint32) {
	for hash, list := range words {
		old, known := r.words[hash]
		if known && old == nil || list == nil {
			r.words[hash] = nil
			continue
		}
		for _, p := range list {
			old = append(old, at[p])
		}
		r.words[hash] = old
	}
}

func (r *raw) takeWords(parts []*Words) {
	r.words = map[uint64][]uint32{}
	known := map[string]uint32{}
	for _, w := range parts {
		at := make([]uint32, len(w.paths))
		for i, p := range w.paths {
			id, ok := known[p]
			if !ok {
				id = uint32(len(r.paths))
				known[p], r.paths = id, append(r.paths, p)
			}
			at[i] = id
		}
		r.addWords(w.words, at)
	}
}

// sortPaths brings the paths into their order, and gives the new place of each.
func (r *raw) sortPaths() []uint32 {
	order := make([]uint32, len(r.paths))
	for i := range order {
		order[i] = uint32(i)
	}
	slices.SortFunc(order, func(a, b uint32) int { return cmp.Compare(r.paths[a], r.paths[b]) })
	at := make([]uint32, len(order))
	sorted := make([]string, len(order))
	for i, old := range order {
		at[old], sorted[i] = uint32(i), r.paths[old]
	}
	r.paths = sorted
	return at
}

// sortEdits brings the edits into their order by path, commit and parent, once
// the paths have theirs: first to those of the same path, then among these.
func (r *raw) sortEdits(at []uint32) {
	end := make([]int, len(r.paths)+1) // of those of the path before
	for i := range r.edits {
		e := &r.edits[i]
		e.path = at[e.path]
		end[e.path+1]++
	}
	for i := range r.paths {
		end[i+1] += end[i]
	}
	sorted := make([]rawEdit, len(r.edits))
	for i := range r.edits {
		e := &r.edits[i]
		sorted[end[e.path]] = *e
		end[e.path]++
	}
	begin := 0
	for i := range r.paths {
		slices.SortFunc(sorted[begin:end[i]], func(a, b rawEdit) int {
			return cmp.Or(cmp.Compare(a.commit, b.commit), cmp.Compare(a.parent, b.parent))
		})
		begin = end[i]
	}
	r.edits = sorted
}

// sortWords has each word name its paths by their new places, in their order.
func (r *raw) sortWords(at []uint32) {
	for hash, list := range r.words {
		if list == nil {
			continue
		}
		for i := range list {
			list[i] = at[list[i]]
		}
		r.words[hash] = few(list, hash)
	}
}

// encode gives the bytes of the segment as they lie in a file.
func (r *raw) encode(key Key) []byte {
	at := r.sortPaths()
	var table [tables][]byte
	var beside sync.WaitGroup
	beside.Go(func() {
		r.sortWords(at)
		table[wordTable], table[postingTable] = r.encodeWords()
	})
	r.sortEdits(at)
	table[commitTable] = r.commits
	table[hashTable] = r.byHash()
	table[parentTable] = numbers(r.many)
	table[wideTable] = numbers(r.wide)
	table[pathTable], table[textTable], table[editTable] = r.encodePaths()
	table[saidTable] = r.said
	beside.Wait()

	sum := sha256.New()
	for _, t := range table {
		sum.Write(t)
	}
	id := binary.LittleEndian.Uint64(sum.Sum(nil)) | 1 // never 0, which stands for none
	size := int(headSize)
	for _, t := range table {
		size += len(t)
	}
	out := append(append(make([]byte, 0, size), magic...), binary.LittleEndian.AppendUint32(nil, Format)...)
	out = binary.LittleEndian.AppendUint32(out, uint32(r.hash))
	out = binary.LittleEndian.AppendUint64(out, id)
	out = binary.LittleEndian.AppendUint64(out, r.before)
	out = binary.LittleEndian.AppendUint32(out, r.start)
	out = binary.LittleEndian.AppendUint32(out, r.count())
	out = append(out, key[:]...)
	place := uint64(headSize)
	for _, t := range table {
		out = binary.LittleEndian.AppendUint64(out, place)
		out = binary.LittleEndian.AppendUint64(out, uint64(len(t)))
		place += uint64(len(t))
	}
	for _, t := range table {
		out = append(out, t...)
	}
	return inBlocks(out, id)
}

func (r *raw) count() uint32 { return uint32(len(r.commits) / (commitFixed + r.hash)) }

func (r *raw) byHash() []byte {
	size := commitFixed + r.hash
	order := make([]uint32, r.count())
	for i := range order {
		order[i] = uint32(i)
	}
	hash := func(i uint32) []byte { return r.commits[int(i)*size+commitFixed:][:r.hash] }
	slices.SortFunc(order, func(a, b uint32) int { return bytes.Compare(hash(a), hash(b)) })
	return numbers(order)
}

func numbers(list []uint32) []byte {
	return appendNumbers(make([]byte, 0, 4*len(list)), list)
}

func appendNumbers(out []byte, list []uint32) []byte {
	for _, n := range list {
		out = binary.LittleEndian.AppendUint32(out, n)
	}
	return out
}

func (r *raw) encodePaths() (paths, text, edits []byte) {
	next := 0
	for i, p := range r.paths {
		paths = binary.LittleEndian.AppendUint32(paths, uint32(len(text)))
		paths = binary.LittleEndian.AppendUint32(paths, uint32(next))
		text = append(text, p...)
		for ; next < len(r.edits) && r.edits[next].path == uint32(i); next++ {
			e := &r.edits[next]
			edits = binary.LittleEndian.AppendUint32(edits, e.path)
			edits = binary.LittleEndian.AppendUint32(edits, e.commit)
			edits = append(edits, e.parent, e.flags, 0, 0)
			edits = append(edits, e.was[:r.hash]...)
			edits = append(edits, e.is[:r.hash]...)
		}
	}
	paths = binary.LittleEndian.AppendUint32(paths, uint32(len(text)))
	return binary.LittleEndian.AppendUint32(paths, uint32(next)), text, edits
}

func (r *raw) encodeWords() (words, postings []byte) {
	for _, hash := range slices.Sorted(maps.Keys(r.words)) {
		list := r.words[hash]
		count := uint32(len(list))
		if list == nil {
			count = common
		}
		words = binary.LittleEndian.AppendUint64(words, hash)
		words = binary.LittleEndian.AppendUint32(words, uint32(len(postings)/4))
		words = binary.LittleEndian.AppendUint32(words, count)
		postings = appendNumbers(postings, list)
	}
	return words, postings
}

// decode reads a whole segment; nothing of one that cannot be believed.
func (s *segment) decode() *raw {
	var table [tables][]byte
	for i := range table {
		table[i] = s.file.bytes(s.table[i].at, int(s.table[i].size))
	}
	r := &raw{hash: s.hash, before: s.before, start: s.start, words: map[uint64][]uint32{}}
	if s.file.doubted() {
		return r
	}
	r.commits = bytes.Clone(table[commitTable])
	r.many, r.wide = fromBytes(table[parentTable]), fromBytes(table[wideTable])
	r.said = bytes.Clone(table[saidTable])
	paths, text := fromBytes(table[pathTable]), table[textTable]
	for i := 0; i+2 < len(paths); i += 2 {
		r.paths = append(r.paths, string(text[paths[i]:paths[i+2]]))
	}
	for row := range slices.Chunk(table[editTable], editFixed+2*s.hash) {
		e := rawEdit{path: binary.LittleEndian.Uint32(row), commit: binary.LittleEndian.Uint32(row[4:]), parent: row[8], flags: row[9]}
		copy(e.was[:], row[editFixed:editFixed+s.hash])
		copy(e.is[:], row[editFixed+s.hash:])
		r.edits = append(r.edits, e)
	}
	postings := fromBytes(table[postingTable])
	for row := range slices.Chunk(table[wordTable], 16) {
		hash, at, count := binary.LittleEndian.Uint64(row), binary.LittleEndian.Uint32(row[8:]), binary.LittleEndian.Uint32(row[12:])
		if count == common {
			r.words[hash] = nil
			continue
		}
		r.words[hash] = slices.Clone(postings[at : at+count])
	}
	return r
}

func fromBytes(data []byte) []uint32 {
	list := make([]uint32, 0, len(data)/4)
	for ; len(data) >= 4; data = data[4:] {
		list = append(list, binary.LittleEndian.Uint32(data))
	}
	return list
}
