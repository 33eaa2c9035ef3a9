package bigbook_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/bigbook"
	"stackbook/record"
	"stackbook/record/book"
	"stackbook/record/figure"
)

// size is the book the benchmarks run on: go test -bench . -args -size L
var size = flag.String("size", "S", "the book that benchmarks run on")

// on makes a book and opens it.
func on(b *testing.B) (*act.Shop, *bigbook.Made) {
	b.Helper()
	s, ok := bigbook.Named(*size)
	require.True(b, ok, "there is no size %s", *size)
	m, err := bigbook.Make(filepath.Join(b.TempDir(), "book"), s, 1)
	require.NoError(b, err)
	shop, err := act.Open(m.Dir, now)
	require.NoError(b, err)
	return shop, m
}

// The steps of a commit, from the edit of one reading to the moved branch.
func BenchmarkCommit(b *testing.B) {
	s, m := on(b)
	file := filepath.Join(m.Dir, m.Session)
	text, err := os.ReadFile(file)
	require.NoError(b, err)
	n := 0
	for b.Loop() {
		n++
		edited := bytes.Replace(text, []byte(m.Reading), fmt.Appendf(nil, "    housing/1/at/A: 78.%03d\n", 100+n%100), 1)
		require.NoError(b, os.WriteFile(file, edited, 0o666))
		_, err := s.Commit(m.OnBench, act.CommitOptions{Message: "read again"})
		require.NoError(b, err)
	}
}

func BenchmarkFindEngine(b *testing.B) {
	s, m := on(b)
	for b.Loop() {
		_, err := act.FindEngine(s.Book.Folder(), m.OnBench)
		require.NoError(b, err)
	}
}

func BenchmarkWhereUsed(b *testing.B) {
	s, m := on(b)
	for b.Loop() {
		_, err := s.WhereUsed(m.Lot, "", quiet)
		require.NoError(b, err)
	}
}

// A fleet of which everything is kept, of the folder and of the last commit.
func BenchmarkFleetKept(b *testing.B) {
	_, m := on(b)
	for _, state := range []string{"", "@HEAD"} {
		b.Run("state"+state, func(b *testing.B) {
			for b.Loop() {
				s, err := act.Open(m.Dir, now, book.WithProgram(act.Identity))
				require.NoError(b, err)
				_, err = s.Fleet(state, quiet)
				require.NoError(b, err)
				require.NoError(b, s.Book.Close())
			}
		})
	}
}

// One engine read from its folder, and its figures with and without
// uncertainties.
func BenchmarkFigures(b *testing.B) {
	_, m := on(b)
	folder := m.Folder(m.Rebuilt)
	var files []record.File
	for _, pattern := range []string{"spec.yaml", "measurements/*.yaml", "changes/*.yaml"} {
		names, err := filepath.Glob(filepath.Join(m.Dir, folder, pattern))
		require.NoError(b, err)
		for _, n := range names {
			data, err := os.ReadFile(n)
			require.NoError(b, err)
			files = append(files, record.File{Path: strings.TrimPrefix(n, m.Dir+"/"), Data: data})
		}
	}
	e, problems := record.Load(folder, files)
	require.Empty(b, problems)
	b.Run("load", func(b *testing.B) {
		for b.Loop() {
			record.Load(folder, files)
		}
	})
	b.Run("compute", func(b *testing.B) {
		for b.Loop() {
			figure.Compute(e, nil)
		}
	})
	b.Run("values", func(b *testing.B) {
		for b.Loop() {
			figure.Values(e)
		}
	})
}
