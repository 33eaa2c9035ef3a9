package keep

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func keyOf(i int) Key { return sha256.Sum256([]byte(fmt.Sprint(i))) }

func resultOf(i int) string { return fmt.Sprintf("%0*d", i%50, i) }

// made is a list of some results, written and read again.
func made(t *testing.T, l *List, from, to int, asked func(int) bool, spare int) *List {
	t.Helper()
	fresh := map[Key]string{}
	for i := from; i < to; i++ {
		fresh[keyOf(i)] = resultOf(i)
	}
	again, ok := Parse(string(Join(l, fresh, asked, spare)))
	require.True(t, ok)
	return again
}

func all(int) bool  { return true }
func none(int) bool { return false }

// holds wants the results of a range, and none of another.
func holds(t *testing.T, l *List, from, to int, there bool) {
	t.Helper()
	for i := from; i < to; i++ {
		key := keyOf(i)
		at, ok := l.Find(&key)
		require.Equal(t, there, ok, i)
		if ok {
			require.Equal(t, resultOf(i), l.Result(at))
		}
	}
}

func TestWhatWasPutInIsFound(t *testing.T) {
	empty, ok := Parse("")
	require.True(t, ok)
	holds(t, empty, 0, 3, false)
	none0 := made(t, empty, 0, 0, all, 0)
	require.Equal(t, 0, none0.Len())
	holds(t, none0, 0, 3, false)
	l := made(t, none0, 0, 1000, all, 0)
	require.Equal(t, 1000, l.Len())
	holds(t, l, 0, 1000, true)
	holds(t, l, 1000, 1200, false)
	l = made(t, l, 900, 1100, all, 0)
	require.Equal(t, 1100, l.Len())
	holds(t, l, 0, 1100, true)
}

// A list grows no further than twice what is asked for, and what was asked for
// last stays.
func TestAListIsBounded(t *testing.T) {
	empty, _ := Parse("")
	l := made(t, empty, 0, 100, none, 0)
	for begin := 100; begin < 2000; begin += 100 {
		l = made(t, l, begin, begin+100, none, 0)
		require.LessOrEqual(t, l.Len(), 204)
		holds(t, l, begin, begin+100, true)
	}
	before := l.Len()
	key := keyOf(1999)
	at, ok := l.Find(&key)
	require.True(t, ok)
	l = made(t, l, 5000, 5010, func(i int) bool { return i == at }, 0)
	require.Less(t, l.Len(), before)
	holds(t, l, 1999, 2000, true)
	holds(t, l, 5000, 5010, true)
	l = made(t, l, 6000, 6001, none, 1<<20)
	holds(t, l, 5000, 5010, true)
	holds(t, l, 6000, 6001, true)
}

// Any byte turned over and any end cut off is seen.
func TestDamageIsSeen(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	fresh := map[Key]string{}
	for i := range 200 {
		fresh[keyOf(i)] = resultOf(i)
	}
	empty, _ := Parse("")
	sound := Join(empty, fresh, all, 0)
	for i := range sound {
		bad := append([]byte(nil), sound...)
		bad[i] ^= byte(1 + rng.IntN(255))
		_, ok := Parse(string(bad))
		require.False(t, ok, "byte %d", i)
	}
	for i := 1; i < len(sound); i++ {
		_, ok := Parse(string(sound[:i]))
		require.False(t, ok, "%d bytes", i)
	}
	_, ok := Parse(string(sound) + "\x00")
	require.False(t, ok)
}

// A file that is whole and was made to mislead is none either.
func TestWhatLeadsOutOfTheListIsSeen(t *testing.T) {
	fresh := map[Key]string{}
	for i := range 20 {
		fresh[keyOf(i)] = resultOf(i)
	}
	empty, _ := Parse("")
	sound := Join(empty, fresh, all, 0)
	for _, at := range []int{headSize, headSize + fanSize - 4, headSize + fanSize + 20*(keySize+4), headSize + fanSize + 20*entrySize - 4} {
		bad := append([]byte(nil), sound...)
		binary.LittleEndian.PutUint32(bad[at:], 1<<30)
		binary.LittleEndian.PutUint32(bad[len(bad)-4:], checksum(string(bad[:len(bad)-4])))
		_, ok := Parse(string(bad))
		require.False(t, ok, "at %d", at)
	}
}

// The same results make the same file, whatever the order they come in.
func TestAFileIsTheSameForTheSameResults(t *testing.T) {
	empty, _ := Parse("")
	fresh := map[Key]string{}
	for i := range 100 {
		fresh[keyOf(i)] = resultOf(i)
	}
	require.Equal(t, Join(empty, fresh, all, 0), Join(empty, fresh, all, 0))
}
