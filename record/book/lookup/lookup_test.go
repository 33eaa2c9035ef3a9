package lookup

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// past is a history of random parents and clocks, as it would be told, with the
// index of it in a few segments.
type past struct {
	commits []New
	parents [][]int
	index   *Index
}

func newPast(t *testing.T, seed uint64, n int) *past {
	rng := rand.New(rand.NewPCG(seed, 3))
	p := &past{}
	var parts []*Segment
	for begin := 0; begin < n; {
		end := min(n, begin+1+rng.IntN(n))
		g := &Growth{Hash: 20}
		for i := begin; i < end; i++ {
			var parents []int
			for k := range min(i, []int{1, 1, 1, 1, 2, 3}[rng.IntN(6)]) {
				if at := max(0, i-1-k*rng.IntN(9)); !slices.Contains(parents, at) {
					parents = append(parents, at)
				}
			}
			c := New{Hash: fmt.Sprintf("%040x", rng.Uint64()), When: time.Unix(1400000000+int64(i)*50000+int64(rng.IntN(3)/2*rng.IntN(999999)), 0).UTC()}
			for _, at := range parents {
				c.Parents = append(c.Parents, p.all(g, at).Hash)
			}
			c.Author, c.Subject = []string{"K M", "T"}[i%2], strings.Repeat("x", i%4*mostSaid/2) // of the last kind too long to be kept
			p.parents = append(p.parents, parents)
			g.Commits = append(g.Commits, c)
		}
		data, err := p.index.Grow(Key{1}, g)
		require.NoError(t, err)
		part, err := Open(bytes.NewReader(data), int64(len(data)), Key{1})
		require.NoError(t, err)
		parts = append(parts, part)
		p.index, err = Over(parts...)
		require.NoError(t, err)
		p.commits = append(p.commits, g.Commits...)
		begin = end
	}
	return p
}

func (p *past) all(g *Growth, at int) New {
	if at < len(p.commits) {
		return p.commits[at]
	}
	return g.Commits[at-len(p.commits)]
}

// comesFrom marks the commits that one comes from, by the parents alone.
func (p *past) comesFrom(at int, marked map[int]bool) {
	if !marked[at] {
		marked[at] = true
		for _, parent := range p.parents[at] {
			p.comesFrom(parent, marked)
		}
	}
}

// What a commit comes from, and the commit of a day (R16), are found as by going
// from parent to parent, with who wrote it and of what.
func TestPastAndDays(t *testing.T) {
	for seed := range uint64(6) {
		p := newPast(t, seed, 60)
		for at, c := range p.commits {
			id, ok := p.index.Find(c.Hash)
			require.True(t, ok)
			_, ok = p.index.Find(c.Hash[:39] + string("0123456789abcdef0"[1+strings.IndexByte("0123456789abcdef", c.Hash[39])]))
			require.False(t, ok, "no such commit")
			author, subject, ok := p.index.Said(p.index.At(id))
			if require.Equal(t, len(c.Subject) <= mostSaid, ok); ok {
				require.Equal(t, []string{c.Author, c.Subject}, []string{author, subject})
			}
			marked := map[int]bool{}
			p.comesFrom(at, marked)
			held := p.index.Past(id)
			for k, o := range p.commits {
				other, _ := p.index.Find(o.Hash)
				if marked[k] != held.Holds(other) || marked[k] && k != at && !p.index.At(other).Before(p.index.At(id)) {
					t.Fatalf("seed %d: whether commit %d comes before %d: %v", seed, k, at, marked[k])
				}
			}
			var line []New // from the first
			for k := at; ; k = p.parents[k][0] {
				line = append([]New{p.commits[k]}, line...)
				if len(p.parents[k]) == 0 {
					break
				}
			}
			require.Equal(t, line[0].Hash, p.index.First(id).Hash)
			for ahead := range 12 {
				day, _ := DayOf(line[0].When.AddDate(0, 0, ahead*ahead-3))
				var want, early string
				latest := int32(-1 << 31)
				for _, l := range line {
					own, _ := DayOf(l.When)
					if latest = max(latest, own); latest <= day {
						want = l.Hash
					} else if own <= day && early == "" {
						early = l.Hash
					}
				}
				found, ok, first := p.index.OnOrBefore(id, day)
				require.Equal(t, want != "", ok)
				require.Equal(t, want, found.Hash)
				if require.Equal(t, early != "", first != nil); first != nil {
					require.Equal(t, early, first.Hash)
				}
			}
		}
		require.NoError(t, p.index.Err())
	}
}

// Words that records are full of are not listed; names are, whole.
func TestWords(t *testing.T) {
	for text, want := range map[string]int{"0.05": 0, "-3": 0, "98": 0, "2024-03-02": 0, "-": 0, "--": 0, "...": 0, "12345": 1, "00123": 1, "R-1177": 1,
		"R-1177 #2": 1, "O'Neil": 2, "målt": 1, "1-2-3": 1, "a/b": 2, "12E4": 1, string(bytes.Repeat([]byte("x"), 65)): 0} {
		n := 0
		eachWord(text, func(uint64) { n++ })
		require.Equal(t, want, n, text)
		eachWord([]byte("lot: '"+text+"',"), func(uint64) { n-- })
		require.Equal(t, -1, n, "%s: all its words and that of its key", text) // "lot" is a word too
	}
}

// A word in too many files is common, and asking for it gives every record.
func TestCommonWords(t *testing.T) {
	w := NewWords()
	for i := range mostPaths + 10 {
		w.Add(fmt.Sprintf("engines/x/%06d/spec.yaml", i), fmt.Appendf(nil, "part: RT-80\nserial: R-%06d\n", i))
	}
	data, err := (*Index)(nil).Grow(Key{}, &Growth{Hash: 20, Words: []*Words{w}, Commits: []New{{Hash: fmt.Sprintf("%040x", 1)}}})
	require.NoError(t, err)
	part, err := Open(bytes.NewReader(data), int64(len(data)), Key{})
	require.NoError(t, err)
	x, err := Over(part)
	require.NoError(t, err)
	require.Len(t, x.Holding([]string{"RT-80"}), mostPaths+10)
	require.Equal(t, []string{"engines/x/000007/spec.yaml"}, x.Holding([]string{"R-000007"}))
	require.Empty(t, x.Holding([]string{"R-7"}))
	_, err = Open(bytes.NewReader(data), int64(len(data)), Key{2})
	require.ErrorIs(t, err, ErrDoubt)
}
