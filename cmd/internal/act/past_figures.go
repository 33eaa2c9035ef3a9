package act

import (
	"encoding/binary"
	"math"
	"sync"

	"stackbook/record/book"
	"stackbook/record/figure"
)

// PastFigures are the values of figures in old commits. They follow from an
// engine's folder alone, which never changes there: each is worked out once, and
// kept. It may be asked from several goroutines.
type PastFigures struct {
	results *book.Results

	mu    sync.Mutex
	lists map[string]*figureList // by key
}

// figureList says which figures some values are of. Most states of one kind of
// engine have the same, and it is kept once for all of them.
type figureList struct {
	ids, at  []string
	decimals []int
}

// Values are the figures of an engine in one commit: values alone, without
// uncertainty or verdict, which take most of the work.
type Values struct {
	Engine string // its id, "" where the spec has none
	Build  int

	list    *figureList
	numbers string // eight bytes a value
}

// PastFigures opens what is kept of them.
func (s *Shop) PastFigures() *PastFigures {
	return &PastFigures{results: s.Book.Results("figures"), lists: map[string]*figureList{}}
}

// Save keeps what was worked out for the next run.
func (p *PastFigures) Save() { p.results.Save() }

// Len is how many figures there are.
func (v *Values) Len() int { return len(v.numbers) / 8 }

// Value gives one figure: its id, its position, its value in SI and how many
// decimals it is shown with in its own unit.
func (v *Values) Value(i int) (id, at string, si float64, decimals int) {
	bits := uint64(0)
	for k := range 8 {
		bits |= uint64(v.numbers[8*i+k]) << (8 * k)
	}
	return v.list.ids[i], v.list.at[i], math.Float64frombits(bits), v.list.decimals[i]
}

// At gives the values of an engine at a commit, which is named by its whole hash
// or as a person does; nil where the engine is not there or its spec cannot be
// read. What a commit was once found to hold it holds for ever, so that of one
// that was asked about before nothing is read of git.
func (p *PastFigures) At(b *book.Book, commit string, place Place) (*Values, error) {
	at := p.results.Key("at", place.Folder, commit)
	if key, ok := p.results.Find(at); ok && len(key) == len(book.ResultKey{}) {
		if v, ok := p.kept(book.ResultKey([]byte(key))); ok {
			return v, nil
		}
	}
	c, err := b.Resolve(commit)
	if err != nil {
		return nil, err
	}
	sum, err := book.FolderSum(b.At(c), place.Folder)
	if err != nil {
		return nil, err
	}
	key := p.results.Key("values", place.Folder, sum)
	p.results.Put(p.results.Key("at", place.Folder, c.Hash), string(key[:]))
	if v, ok := p.kept(key); ok {
		return v, nil
	}
	return p.work(key, b.At(c), place)
}

// kept gives values that were worked out before.
func (p *PastFigures) kept(key book.ResultKey) (v *Values, ok bool) {
	text, ok := p.results.Find(key)
	if !ok {
		return nil, false
	}
	return p.unpack(text)
}

// work works the values of an engine out, from what a commit holds of it.
func (p *PastFigures) work(key book.ResultKey, commit book.Tree, place Place) (*Values, error) {
	e, err := readEngine(commit, place)
	if err != nil {
		return nil, err
	}
	if e == nil {
		p.results.Put(key, "")
		return nil, nil
	}
	list := &figureList{}
	v := &Values{Engine: e.ID, Build: e.Build, list: list}
	var numbers []byte
	for _, r := range figure.Values(e).Results {
		list.ids, list.at, list.decimals = append(list.ids, r.Figure.ID), append(list.at, r.At), append(list.decimals, r.Decimals)
		numbers = binary.LittleEndian.AppendUint64(numbers, math.Float64bits(r.Value))
	}
	v.numbers = string(numbers)
	p.put(key, v)
	return v, nil
}

// put keeps values, and which figures they are of beside them.
func (p *PastFigures) put(key book.ResultKey, v *Values) {
	var list packer
	list.count(len(v.list.ids))
	for i, id := range v.list.ids {
		list.text(id)
		list.text(v.list.at[i])
		list.count(v.list.decimals[i])
	}
	of := p.results.Key("figures", string(list.bytes))
	p.results.Put(of, string(list.bytes))
	var one packer
	one.text(v.Engine)
	one.number(int64(v.Build))
	one.bytes = append(one.bytes, of[:]...)
	one.bytes = append(one.bytes, v.numbers...)
	p.results.Put(key, string(one.bytes))
}

// unpack gives values as they were kept; an engine that cannot be read is kept as
// nothing.
func (p *PastFigures) unpack(text string) (v *Values, ok bool) {
	if text == "" {
		return nil, true
	}
	u := unpacker{rest: text}
	v = &Values{Engine: u.text(), Build: int(u.number())}
	v.list = p.listOf(u.take(len(book.ResultKey{})))
	v.numbers = u.rest
	return v, !u.short && v.list != nil && len(v.numbers) == 8*len(v.list.ids)
}

// listOf gives the list of figures of a key; nil where it is not kept.
func (p *PastFigures) listOf(key string) *figureList {
	p.mu.Lock()
	defer p.mu.Unlock()
	if list := p.lists[key]; list != nil || len(key) != len(book.ResultKey{}) {
		return list
	}
	text, ok := p.results.Find(book.ResultKey([]byte(key)))
	if !ok {
		return nil
	}
	u := unpacker{rest: text}
	list := &figureList{}
	for range u.count() {
		list.ids, list.at, list.decimals = append(list.ids, u.text()), append(list.at, u.text()), append(list.decimals, u.count())
		if u.short {
			return nil
		}
	}
	if !u.done() {
		return nil
	}
	p.lists[key] = list
	return list
}
