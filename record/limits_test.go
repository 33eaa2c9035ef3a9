package record_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

const limitHead = "format: limits/1\nname: race\ntitle: side ports\nlimits:\n"

func readLimits(t *testing.T, lines string) (*record.LimitSet, problem.List) {
	t.Helper()
	set, list := record.ReadLimits(record.File{Path: "limits/race.yaml", Data: []byte(limitHead + lines)})
	require.NotNil(t, set)
	return set, list
}

// A limit is found with its bands, what it belongs to and where it stands.
func TestFindLimit(t *testing.T) {
	set, list := readLimits(t, "  rotor.side_clearance:\n    new: {min: 0.10 mm, max: 0.16 mm}\n    reuse: {min: 3.15 thou}\n    for: iron rotors\n    source: the shop's own\n")
	require.Empty(t, list)
	require.Equal(t, "race", set.Name)
	limit, ok, problems := set.Find("rotor.side_clearance", quantity.Length, "mm")
	require.True(t, ok)
	require.Empty(t, problems)
	require.Equal(t, "0.10 mm", limit.New.Low.String())
	require.Equal(t, "0.16 mm", limit.New.High.String())
	require.InDelta(t, 80.01e-6, limit.Reuse.Low.SI(), 1e-12) // 3.15 · 0.0254 mm
	require.Nil(t, limit.Reuse.High)
	require.Equal(t, []any{"rotor.side_clearance", "iron rotors", "the shop's own", false, "limits/race.yaml:6"}, []any{limit.ID, limit.For, limit.Source, limit.ReferenceOnly, limit.Ref.String()})
}

// A band without ends says nothing; one end is enough.
func TestEmptyBands(t *testing.T) {
	set, list := readLimits(t, "  end_float:\n    new: {}\n    reuse: {max: 0.09 mm, min: }\n    reference_only: yes\n    source: x\n")
	require.Empty(t, list)
	limit, ok, _ := set.Find("end_float", quantity.Length, "mm")
	require.True(t, ok)
	require.True(t, limit.New.Empty())
	require.False(t, limit.Reuse.Empty())
	require.Nil(t, limit.Reuse.Low)
	require.True(t, limit.ReferenceOnly)
	set, _ = readLimits(t, "  end_float:\n    reuse: {max: 0.09 mm}\n    reference_only: no\n    source: x\n")
	limit, _, _ = set.Find("end_float", quantity.Length, "mm")
	require.False(t, limit.ReferenceOnly)
}

// What the set says nothing of is not found; nor is anything without a set.
func TestLimitNotFound(t *testing.T) {
	set, _ := readLimits(t, "  end_float: words\n")
	for _, id := range []string{"end_float", "flatness", ""} {
		_, ok, problems := set.Find(id, quantity.Length, "mm")
		require.False(t, ok, id)
		require.Empty(t, problems, id)
	}
	var none *record.LimitSet
	_, ok, problems := none.Find("end_float", quantity.Length, "mm")
	require.False(t, ok)
	require.Empty(t, problems)
}

// A bound that is no such size is a problem with its line; the other ends are
// kept.
func TestBadBounds(t *testing.T) {
	for bound, row := range map[string]struct{ message, mend string }{
		"0.07":     {"needs a unit", "write 0.07 mm"},
		"0.07 kg":  {"a length is wanted", "write it like 12.5 mm"},
		"0,07 mm":  {"0,07 mm has a comma", "write 0.07 mm"},
		"a little": {"a little", "write it like 12.5 mm"},
		"0.07 mmm": {"mmm", "write it like 12.5 mm"},
		"1e30 mm":  {"1e30 mm is more than 10 m, which cannot be", "write a value from -10 m to 10 m, such as 12.5 mm"},
		"-99 m":    {"-99 m is less than -10 m, which cannot be", "write a value from -10 m to 10 m, such as 12.5 mm"},
	} {
		set, _ := readLimits(t, "  rotor.side_clearance:\n    new:\n      min: 0.04 mm\n      max: '"+bound+"'\n    source: x\n")
		limit, ok, problems := set.Find("rotor.side_clearance", quantity.Length, "mm")
		require.True(t, ok)
		require.NotNil(t, limit.New.Low)
		require.Nil(t, limit.New.High)
		p := only(t, problems)
		require.Contains(t, p.Message, "limits.rotor.side_clearance.new.max: ", bound)
		require.Contains(t, p.Message, row.message, bound)
		require.Equal(t, 8, p.Line)
		require.Equal(t, "limits/race.yaml", p.File)
		require.Equal(t, row.mend, p.Mend)
	}
}

// A limit set that is no YAML is none, and says where it goes wrong.
func TestUnreadableLimits(t *testing.T) {
	set, list := record.ReadLimits(record.File{Path: "limits/race.yaml", Data: []byte("limits: [\n")})
	require.Nil(t, set)
	require.Equal(t, "limits/race.yaml", only(t, list).File)
}
