package record_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema/problem"
)

func partFile(name, text string) (*record.PartFile, problem.List) {
	return record.ReadPart(record.File{Path: "parts/" + name, Data: []byte("format: part/1\nwhat: a part\n" + text)})
}

// A part's file is read with its moves, each with its line.
func TestReadPart(t *testing.T) {
	p, problems := partFile("R-1177.yaml", `serial: R-1177
part: RT-80
test_every: 60 h
whereabouts:
  - {since: 2019-07-29, is: out for plating, where: S-04, hours: 61 h, hours_error: 3 h, why: pitted, by: KM}
  - {since: 2019-09-30, is: shelf, where: C 2}
`)
	require.Empty(t, problems)
	require.Equal(t, []string{"R-1177", "RT-80", "a part"}, []string{p.Bears(), p.Number, p.What})
	require.Len(t, p.Moves, 2)
	first := p.Moves[0]
	require.Equal(t, []string{"2019-07-29", "out for plating", "S-04", "pitted", "KM", "61 ± 3 h", "parts/R-1177.yaml:7"},
		[]string{first.Since.Day(), first.Is, first.Where, first.Why, first.By, first.Hours.String(), first.Ref.String()})
	last, ok := p.Last()
	require.True(t, ok)
	require.Equal(t, "shelf", last.Is)
	require.Nil(t, last.Hours, "hours nobody wrote are not none")
	_, ok = p.Left()
	require.False(t, ok, "a single part has no pieces")
}

// A file is about one part or one lot.
func TestPartFileNeedsOneIdentity(t *testing.T) {
	for text, line := range map[string]int{"": 1, "serial: R-1\nlot: L-1\n": 4, "serial: R-1\npieces: 2\n": 4} {
		_, problems := partFile("R-1.yaml", text)
		p := only(t, problems)
		require.Equal(t, "part-identity", p.Rule, text)
		require.Equal(t, line, p.Line, text)
	}
}

// R12: a part's file is named for its serial or lot; one that can be no file's
// name says what to use.
func TestR12PartFileName(t *testing.T) {
	for bears, want := range map[string]string{
		"R-1177": "R-1177.yaml", "00123": "00123.yaml", "B_14.2": "B_14.2.yaml", "L/2304": "L-2304.yaml", "R 1177 #2": "R-1177-2.yaml",
		"../../x": "x.yaml", ".hidden": "hidden.yaml", "CON": "part-CON.yaml", "com1": "part-com1.yaml", "#": "part.yaml", "Ä-7": "Ä-7.yaml",
	} {
		require.Equal(t, want, record.PartFileName(bears), bears)
	}
	for _, row := range []struct{ name, serial, mend string }{
		{"R-1177.yaml", "R-1177", ""}, {"R-1177-2.yaml", "R-1177", "R-1177"}, {"r-1177.yaml", "R-1177", "R-1177"}, {"rotor.yaml", "R-1177", "R-1177"},
		{"R-1177-2.yaml", `"R 1177 #2"`, ""}, {"R-1177-2-2.yaml", `"R 1177 #2"`, ""}, {"R-1177-2-1.yaml", `"R 1177 #2"`, "R-1177-2"},
	} {
		_, problems := partFile(row.name, "serial: "+row.serial+"\n")
		if row.mend == "" {
			require.Empty(t, problems, row.name)
			continue
		}
		p := only(t, problems)
		require.Equal(t, "file-name", p.Rule, row.name)
		require.Equal(t, "name it parts/"+row.mend+".yaml", p.Mend, row.name)
	}
}

// The moves stand in order of their dates: the last one is where it is now.
func TestMovesStandInOrder(t *testing.T) {
	const first, second = "  - {since: 2019-07-29, is: shelf}\n", "  - {since: 2019-09-30, is: lent, where: C-02}\n"
	_, problems := partFile("R-1.yaml", "serial: R-1\nwhereabouts:\n"+first+second)
	require.Empty(t, problems)
	_, problems = partFile("R-1.yaml", "serial: R-1\nwhereabouts:\n"+first+first)
	require.Empty(t, problems, "two moves of one day stand as written")
	_, problems = partFile("R-1.yaml", "serial: R-1\nwhereabouts:\n"+second+first)
	p := only(t, problems)
	require.Equal(t, "whereabouts", p.Rule)
	require.Equal(t, 6, p.Line)
	require.Equal(t, "this move of 2019-07-29 stands behind one of 2019-09-30", p.Message)
}

// Of a lot no more pieces go than came, and those that went for good are gone.
func TestPiecesOfALot(t *testing.T) {
	const lent = "  - {since: 2019-01-03, is: lent, pieces: 6}\n"
	for _, row := range []struct {
		name, moves string
		left        int
		known       bool
		problem     string
	}{
		{"none went", "", 24, true, ""},
		{"on the shelf and lent", "  - {since: 2019-01-02, is: shelf, pieces: 24}\n" + lent, 24, true, ""},
		{"into engines and to scrap", "  - {since: 2019-01-02, is: another engine, pieces: 18}\n  - {since: 2019-01-03, is: scrap, pieces: 6}\n", 0, true, ""},
		{"how many is not said", "  - {since: 2019-01-02, is: scrap}\n", 0, false, ""},
		{"more than came", "  - {since: 2019-01-02, is: sent back, pieces: 25}\n", -1, true, "25 pieces of lot B-14 went here, and there were 24"},
		{"more than were left", "  - {since: 2019-01-02, is: scrap, pieces: 20}\n" + lent, 4, true, "6 pieces of lot B-14 went here, and there were 4"},
	} {
		text := "lot: B-14\npieces: 24\n"
		if row.moves != "" {
			text += "whereabouts:\n" + row.moves
		}
		p, problems := partFile("B-14.yaml", text)
		left, known := p.Left()
		require.Equal(t, row.known, known, row.name)
		if known {
			require.Equal(t, row.left, left, row.name)
		}
		if row.problem == "" {
			require.Empty(t, problems, row.name)
			continue
		}
		require.Equal(t, row.problem, only(t, problems).Message, row.name)
	}
}

// One part has one file; serials of two part numbers are two parts.
func TestSamePart(t *testing.T) {
	file := func(name, text string) *record.PartFile {
		p, _ := partFile(name, text)
		return p
	}
	a, b := file("a.yaml", "serial: R-1\n"), file("b.yaml", "serial: R-1\npart: RT-80\n")
	p := only(t, record.SamePart([]*record.PartFile{b, a}))
	require.Equal(t, "parts/b.yaml", p.File)
	require.Equal(t, "serial R-1 has this file and parts/a.yaml", p.Message)
	require.Empty(t, record.SamePart([]*record.PartFile{b, file("c.yaml", "serial: R-1\npart: RH-80\n")}))
	require.Empty(t, record.SamePart([]*record.PartFile{a, file("d.yaml", "lot: R-1\n")}), "a lot is no serial")
	require.Equal(t, 3, only(t, record.SamePart([]*record.PartFile{file("e.yaml", "lot: L-1\n"), file("f.yaml", "lot: L-1\n")})).Line)
}

// A file of a newer format, or without words, gives no more than it can.
func TestPartFileThatCannotBeRead(t *testing.T) {
	p, problems := record.ReadPart(record.File{Path: "parts/R-1.yaml", Data: []byte("serial: [R-1\n")})
	require.Nil(t, p)
	require.Len(t, problems, 1)
	p, problems = record.ReadPart(record.File{Path: "parts/R-1.yaml", Data: []byte("format: part/9\nserial: R-1\n")})
	require.NotNil(t, p)
	require.Equal(t, "newer-format", only(t, problems).Rule)
	_, problems = partFile("R-1.yaml", "serial: R-1\nwhereabouts: [~, shelf]\n")
	require.NotEmpty(t, problems)
}
