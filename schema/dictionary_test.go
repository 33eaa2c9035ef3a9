package schema

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/schema/quantity"
)

// everyField visits all declared fields of all records, with their paths.
func everyField(visit func(path string, f *Field)) {
	var walk func(path string, f *Field)
	walk = func(path string, f *Field) {
		visit(path, f)
		for i := range f.Fields {
			walk(join(path, f.Fields[i].Key), &f.Fields[i])
		}
		if f.Of != nil {
			walk(path+".*", f.Of)
		}
	}
	for _, kind := range Kinds() {
		walk(kind, Kind(kind))
	}
	for i := range DynoColumns() {
		walk("dyno."+DynoColumns()[i].Key, &DynoColumns()[i])
	}
}

// Whatever is a number has bounds of sense, the lower one first, both of its
// own dimension: no field takes 1e30.
func TestEveryNumberHasBounds(t *testing.T) {
	amounts := 0
	everyField(func(path string, f *Field) {
		switch f.Type {
		case Quantity:
			order, err := bound(f.Low, f.Dim).Cmp(bound(f.High, f.Dim))
			require.NoError(t, err, path)
			require.Negative(t, order, path)
			amounts++
		case Whole:
			require.Less(t, mustWhole(f.Low), mustWhole(f.High), path)
		}
	})
	require.Greater(t, amounts, 100)
	for i := range Points() {
		p := &Points()[i]
		if p.Text {
			continue
		}
		order, err := bound(p.Low, p.Dim).Cmp(bound(p.High, p.Dim))
		require.NoError(t, err, p.ID)
		require.Negative(t, order, p.ID)
	}
}

// Every dimension has a span, its ends in order.
func TestEveryDimensionHasASpan(t *testing.T) {
	for dim := quantity.Ratio; dim.Example() != ""; dim++ {
		s := spans[dim]
		require.NotEmpty(t, s.far, dim.String())
		low, high, far := bound(s.low, dim), bound(s.high, dim), bound(s.far, dim)
		for _, pair := range [][2]quantity.Quantity{{low, high}, {high, far}} {
			order, err := pair[0].Cmp(pair[1])
			require.NoError(t, err)
			require.Negative(t, order, dim.String())
		}
	}
}

// What a mend proposes to write is right when it is typed in.
func TestExamplesAreRight(t *testing.T) {
	everyField(func(path string, f *Field) {
		switch f.Type {
		case Group, Keyed, Free:
			return
		case Series:
			return // its entries are visited
		}
		require.NoError(t, f.check(example(f), 2), "%s: %s", path, example(f))
	})
	for i := range Points() {
		p := &Points()[i]
		require.NotEmpty(t, p.exampleKey())
		_, _, ok := p.Split(p.exampleKey(), 2)
		require.True(t, ok, "%s at %s", p.ID, p.exampleKey())
		if p.Text {
			continue
		}
		_, err := p.value(p.example(nil), nil)
		require.NoError(t, err, p.ID)
		for _, u := range quantity.Units() {
			if as, err := u.As(p.Dim); err == nil && u.Symbol() != "1e-3" { // nobody writes lambda in thousandths
				_, err = p.value(p.example(&as), &as)
				require.NoError(t, err, "%s under %s: %s", p.ID, u.Symbol(), p.example(&as))
			}
		}
	}
}
