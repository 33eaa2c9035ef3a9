package record_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema/problem"
)

// dyno is a session with one run.
func (s *shelf) dyno(build, day, columns, rows string) *shelf {
	return s.add("measurements/"+day+"-dyno-KM.yaml", "format: measurements/1\nengine: SK-07\nbuild: "+build+"\nstage: dyno\ndate: "+day+"\nby: KM\ntables:\n  dyno:\n    columns: "+columns+"\n    rows:\n"+rows)
}

func run(columns, rows string) (*record.Engine, problem.List) {
	return new(shelf).spec(1, "").dyno("1", "2024-03-02", columns, rows).problems()
}

// A run is read row by row, in the units its columns name.
func TestTableIsRead(t *testing.T) {
	e, list := run("[speed rpm, torque lbf.ft, mixture, exhaust temperature degC]", "      - [6000, 126.1, 0.92, 870]\n")
	require.Empty(t, list)
	table, session := e.Run()
	require.Equal(t, "dyno", table.Name)
	require.Equal(t, "2024-03-02-dyno-KM.yaml", session.Name())
	require.Len(t, table.Columns, 4)
	require.Equal(t, "lbf.ft", table.Columns[1].Unit.Symbol())
	require.Len(t, table.Rows, 1)
	require.Equal(t, "126.1 lbf.ft", table.Rows[0].Cells["torque"].String())
	require.InDelta(t, 170.97, table.Rows[0].Cells["torque"].SI(), 0.01) // 126.1 · 1.355818 N m
	require.Equal(t, "0.92", table.Rows[0].Cells["mixture"].String())
	require.Equal(t, folder+"/measurements/2024-03-02-dyno-KM.yaml:11", table.Rows[0].Ref.String())
}

// A cell left empty is not there; a row left without its speed is told, and no
// row.
func TestEmptyCells(t *testing.T) {
	e, list := run("[speed rpm, torque N m, mixture]", "      - [6000, ~, 0.92]\n      - [~, 170, 0.90]\n      - [7000, '', '0.91']\n")
	table, _ := e.Run()
	require.Len(t, table.Rows, 2)
	require.Len(t, table.Rows[0].Cells, 2)
	require.Len(t, table.Rows[1].Cells, 2)
	require.NotContains(t, table.Rows[0].Cells, "torque")
	require.Contains(t, list.Error(), "2024-03-02-dyno-KM.yaml:12:9: this row has no speed; write the speed, or take the row out")
}

// Each mistake in a table is told where it stands, and what is right is kept.
func TestTableProblems(t *testing.T) {
	for _, row := range []struct {
		name, columns, rows, message string
		line, kept                   int
	}{
		{"unknown column", "[speed rpm, boost kPa]", "      - [6000, 30]\n", `unknown column "boost kPa"`, 9, 1},
		{"unknown unit", "[speed rpm, torque Nx]", "      - [6000, 30]\n", `"Nx" is no unit for torque`, 9, 1},
		{"unit of another thing", "[speed rpm, torque kW]", "      - [6000, 30]\n", `"kW" is no unit for torque`, 9, 1},
		{"a unit left out", "[speed rpm, torque]", "      - [6000, 30]\n", `unknown column "torque"`, 9, 1},
		{"a column twice", "[speed rpm, torque N m, torque N m]", "      - [6000, 170, 180]\n", "the column torque stands here twice", 9, 1},
		{"speed not first", "[torque N m, speed rpm]", "      - [170, 6000]\n", "the first column is not the speed", 9, 1},
		{"a row too short", "[speed rpm, torque N m]", "      - [6000]\n      - [7000, 171]\n", "this row has 1 values for 2 columns", 11, 1},
		{"a row too long", "[speed rpm, torque N m]", "      - [6000, 170, 100]\n", "this row has 3 values for 2 columns", 11, 0},
		{"a speed twice", "[speed rpm, torque N m]", "      - [6000, 170]\n      - [6000.0, 171]\n", "the speed 6000.0 rpm stands here and on line 11", 12, 1},
		{"a cell in words", "[speed rpm, torque N m]", "      - [6000, much]\n", "torque: ", 11, 1},
		{"a cell with a unit of its own", "[speed rpm, torque N m]", "      - [6000, 170 N m]\n", "has a unit of its own", 11, 1},
		{"a speed that cannot be", "[speed rpm, torque N m]", "      - [1e30, 170]\n", "speed: 1e30 rpm is more than 30000 rpm, which cannot be", 11, 0},
		{"a torque that cannot be", "[speed rpm, torque N m]", "      - [6000, 1e30]\n", "torque: 1e30 N m is more than 20000 N m, which cannot be", 11, 1},
		{"a decimal comma in quotes", "[speed rpm, torque N m]", "      - [6000, '170,5']\n", "torque: 170,5 has a comma in its number", 11, 1},
		{"a cell that is a list", "[speed rpm, torque N m]", "      - [6000, [1]]\n", "torque: a list stands where one number is due", 11, 1},
		{"a bare decimal comma (R13)", "[speed rpm, torque N m]", "      - [6000, 170,5]\n", "the comma ends the value here, so YAML reads two", 11, 0},
		{"one among no spaces (R13)", "[speed rpm, torque N m]", "      - [6000,170,5]\n", "the comma ends the value here, so YAML reads two", 11, 0},
		{"a speed in words", "[speed rpm, torque N m]", "      - [fast, 170]\n", "speed: ", 11, 0},
	} {
		e, list := run(row.columns, row.rows)
		p := only(t, list)
		require.Equal(t, "table", p.Rule, row.name)
		require.Contains(t, p.Message, row.message, row.name)
		require.Equal(t, row.line, p.Line, row.name)
		require.NotEmpty(t, p.Mend, row.name)
		require.Len(t, e.Sessions[0].Tables[0].Rows, row.kept, row.name)
	}
}

// What is proposed for a column or cell is right.
func TestTableMends(t *testing.T) {
	for _, row := range []struct{ columns, rows, mend string }{
		{"[speed rpm, torque]", "      - [6000, 30]\n", "did you mean torque N m?"},
		{"[speed rpm, torqe N m]", "      - [6000, 30]\n", "did you mean torque N m?"},
		{"[speed rpm, boost kPa]", "      - [6000, 30]\n", "a column is one of: speed rpm, torque N m, power kW, mixture, "},
		{"[speed rpm, torque kW]", "      - [6000, 30]\n", "write it like torque N m"},
		{"[speed rpm, torque N m]", "      - [6000, '170,5']\n", "write 170.5"},
		{"[speed rpm, torque N m]", "      - [6000, 170 N m]\n", "write 170"},
		{"[speed rpm, torque N m]", "      - [6000, 170,5]\n", "write 170.5"},
		{"[speed rpm, torque N m]", "      - [fast, 170]\n", "write it like 8400"},
		{"[speed rpm, oil pressure kPa]", "      - [6000, -50]\n", "write a value from 0 kPa to 3000 kPa, such as 350"},
	} {
		_, list := run(row.columns, row.rows)
		require.Contains(t, only(t, list).Mend, row.mend)
	}
}

// Of a column told twice the first counts.
func TestColumnTwiceKeepsTheFirst(t *testing.T) {
	e, _ := run("[speed rpm, torque N m, torque N m]", "      - [6000, 170, 180]\n")
	table, _ := e.Run()
	require.Equal(t, "170 N m", table.Rows[0].Cells["torque"].String())
}

// A table without columns or rows is an empty one; so is one of another shape.
func TestTableWithoutRows(t *testing.T) {
	for _, text := range []string{"{columns: [], rows: []}", "{columns: [speed rpm]}", "{columns: words, rows: [1]}", "[1, 2]", "words", "~"} {
		e, _ := new(shelf).spec(1, "").add("measurements/2024-03-02-dyno-KM.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: dyno\ndate: 2024-03-02\nby: KM\ntables:\n  dyno: "+text+"\n").problems()
		table, session := e.Run()
		require.Nil(t, table, text)
		require.Nil(t, session, text)
	}
}

// The run that counts is the latest of this build.
func TestTheLatestRunCounts(t *testing.T) {
	const columns, row = "[speed rpm, torque N m]", "      - [6000, 170]\n"
	s := new(shelf).spec(1, "").dyno("1", "2024-03-05", columns, row).dyno("1", "2024-03-02", columns, row)
	_, session := s.load(t).Run()
	require.Equal(t, "2024-03-05", session.Date.Day())
	s = new(shelf).spec(2, "").dyno("1", "2024-03-05", columns, row)
	table, _ := s.load(t).Run()
	require.Nil(t, table, "a run of an earlier build is not carried: the engine was taken apart since")
}
