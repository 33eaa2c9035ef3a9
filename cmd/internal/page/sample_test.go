package page

import (
	"bytes"
	"image"
	"image/png"
	"strings"

	"stackbook/cmd/internal/page/plot"
)

// small is a short sheet of the invented Skarvik shop, with one of each thing
// a document can hold. Its figures are the example's own.
func small() *Document {
	return &Document{
		Title: "SK-01: two-rotor lake hydroplane",
		Kind:  "Rebuild summary",
		Lead:  []string{"What SK-01 is made of and what was measured."},
		Facts: []Fact{{"Customer", "C-01"}, {"Build", "2"}, {"Hours", "61 h ± 3 h"}, {"Receipt", ""}},
		Sections: []Section{
			{
				Heading: "Figures", Note: "Geometric, at 20 degC.", Text: []string{"One figure fails."},
				Facts: []Fact{{"Judged by", "limit set skarvik-race"}}, List: []string{"rotor/2 is new"},
				Table: figures(), Sections: []Section{{Heading: "As found", Text: []string{"- C was pinched"}}},
			},
			{Heading: "Tests", Table: &Table{Columns: []Column{{Title: "Test"}}, Caption: "Crack tests"}},
		},
		Cautions: []string{"Never crank ceramic seals dry.", "Cap only when cold."},
		Made:     "Made by stackbook from commit 4f2c9e1 of 2024-06-01",
		Language: "en",
	}
}

func figures() *Table {
	row := func(mark Mark, texts ...string) Row {
		var r Row
		for _, t := range texts {
			r.Cells = append(r.Cells, Cell{Text: t})
		}
		r.Cells[3].Mark = mark
		return r
	}
	return &Table{
		Caption: "Figures and their verdicts",
		Columns: []Column{{Title: "Figure"}, {Title: "Value", Right: true}, {Title: "Unit"}, {Title: "Verdict"}, {Title: "Limit"}},
		Rows: []Row{
			{Group: "Rotor"},
			row(Good, "Rotor side clearance", "0.138", "mm", "conforms", "0.10 to 0.16"),
			row(Bad, "Apex seal end gap, housing/2/at/C", "0.007", "mm", "fails", "0.05 to 0.12"),
			row(Open, "Spring load, rotor/1", "", "N", "unmeasured", "at least 30"),
			{Group: "Compression"},
			row(Open, "Ratio", "9.3 ± 0.1", "", "undecided", "9.0 to 9.3"),
			row(None, "Chamber", "567.15", "cm3", "", ""),
			row(None, "Added in the front counterweight", "19,480", "g mm", "", ""),
		},
	}
}

// hostile are texts a record may hold that a sheet must show as they are, and
// a few that are only awkward.
var hostile = []string{
	"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "</style><style>*{display:none}", "</title>",
	"javascript:alert(1)", "[press](javascript:alert(1))", "![x](http://example.invalid/x.png)", "http://example.invalid",
	"&lt;b&gt; &#60;", "{{.Title}}", "*/ } body { display: none", `\" ; } @import "x"`, "R-\u202e7711\u202c", "\u2066a\u2069",
	"a\x00b\x1b[31m", "R-11\u200d77", "a|b|c", `a\|b\`, "# heading", "- item", "1. item", "```", "---", "***", "_x_",
	"one\ntwo\r\nthree", "\t    code", "\xff\xfe", "<!-- ", "]]>", "--> x", "lot #", strings.Repeat("long", 60),
	"水温 80 °C", "\u05e9\u05dc\u05d5\u05dd 12", "=", "> said", "~~gone~~", "| - | - |", "$x$", "   ",
}

// rich is a sheet as long as a real one: more than one printed page, a wide
// table, deep sections, hostile text at every place that holds text.
func rich() *Document {
	d := small()
	d.Facts = append(d.Facts, Fact{"Delivered", "2019-09-28"}, Fact{"Rotors", "2"}, Fact{"Judged by", "limit set skarvik-race"}, Fact{"Commit", "4f2c9e1"})
	d.Sections = append([]Section{lookAtFirst(), builds()}, d.Sections...)
	d.Sections = append(d.Sections, readings(), deep(), attack(), pictured())
	return d
}

func lookAtFirst() Section {
	return Section{Heading: "Look at first", List: []string{
		"Step wear at plate/1/rear 0.06 mm, used again by concession; look again at 40 h.",
		"Not measured: spring load at rotor/1; crack test of rotor/1.",
	}}
}

func builds() Section {
	changes := &Table{Caption: "Changes and events", Columns: []Column{{Title: "Date"}, {Title: "Kind"}, {Title: "What"}, {Title: "Why"}, {Title: "Touches"}}}
	for _, c := range [][]string{
		{"2019-07-29", "replacement", "housing 2 new", "C was 0.069 mm under A after running hot, limit 0.06; the seal was pinched when clamped", "housing/2"},
		{"2019-07-29", "replacement", "rotor R-2033 in place of R-1181", "a 6 mm dye mark at a lightening pocket: scrap", "rotor/2, counterweight/front, counterweight/rear"},
		{"2019-08-05", "adjustment", "spacer 8.005 mm", "end float 0.085 mm as received, 0.065 mm wanted", "shaft"},
		{"2019-09-02", "map", "limiter 8,700 rpm, plugs one range colder", "9,140 rpm once, propeller out of the water", "ignition"},
	} {
		var r Row
		for _, text := range c {
			r.Cells = append(r.Cells, Cell{Text: text})
		}
		changes.Rows = append(changes.Rows, r)
	}
	return Section{Heading: "Builds", Sections: []Section{
		{Heading: "Build 1, delivered 2017-05-20", Text: []string{"Down 350 rpm at 61 h, bad to start cold, takes 1.5 L of water a weekend."}},
		{Heading: "Build 2, delivered 2019-09-28", Table: changes},
	}}
}

// readings is a table that does not fit on one printed page.
func readings() Section {
	t := &Table{Columns: []Column{{Title: "Point"}, {Title: "At"}, {Title: "Reading", Right: true}, {Title: "Unit"}, {Title: "Read"}, {Title: "Instrument"}}}
	for rotor := range 2 {
		for apex := range 3 {
			for n, place := range []string{"mouth/front", "mouth/middle", "mouth/rear", "root/front", "root/middle", "root/rear"} {
				title := ""
				if n == 0 {
					title = "Apex groove width"
				}
				at := "rotor/" + string(rune('1'+rotor)) + "/apex/" + string(rune('1'+apex)) + "/" + place
				value := "3.0" + string(rune('5'+n%2)) + string(rune('1'+n))
				t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: title}, {Text: at}, {Text: value}, {Text: "mm"}, {Text: "2019-08-19, mock-up, KM"}, {Text: "G1 gauge blocks"}}})
			}
		}
	}
	return Section{Heading: "Readings that count", Note: "The latest reading of each point at each place on the part now fitted.", Table: t}
}

// deep has more levels than there are headings.
func deep() Section {
	s := Section{Heading: "Level 8", Text: []string{"The lowest."}}
	for level := 7; level >= 3; level-- {
		s = Section{Heading: "Level " + string(rune('0'+level)), Sections: []Section{s}}
	}
	s.Heading = "Cooling"
	return s
}

func attack() Section {
	t := &Table{Columns: []Column{{Title: "Text as written"}, {Title: "As a number", Right: true}}}
	s := Section{Heading: "</h2><script>alert(1)</script>", Note: hostile[0], Text: hostile, List: hostile, Table: t}
	for _, text := range hostile {
		s.Facts = append(s.Facts, Fact{text, text})
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: text, Mark: Bad}, {Text: text, Mark: Open}}})
	}
	return s
}

// drawings are one drawing of each kind, with a text at every place that holds
// one.
func drawings(text string) []plot.Drawing {
	axis := plot.Axis{Label: text}
	return []plot.Drawing{
		plot.Curves{Title: text, Words: text, X: axis, Y: axis, Series: []plot.Series{{Name: text, Points: []plot.Point{{X: 6000, Y: 107}, {X: 8400, Y: 158}}}, {Name: text}}}.Draw(),
		plot.Bands{Title: text, Words: text, Axis: axis, Rows: []plot.Banded{{Label: text, Value: 0.07, From: 0.064, To: 0.076, Low: 0.06, High: 0.12, Look: plot.Ring}}}.Draw(),
		plot.Spans{Title: text, Words: text, Axis: plot.Axis{Label: text, Ticks: []plot.Tick{{Value: 0, Label: text}, {Value: 540, Label: text}}}, Rows: []plot.Span{{Label: text, From: 10, To: 300}}}.Draw(),
		plot.Bars{Title: text, Words: text, Axis: axis, Rows: []plot.Bar{{Label: text, Value: 1520, Text: text}}}.Draw(),
		plot.Vectors{Title: text, Words: text, Planes: []plot.Plane{{Name: text, Arrows: []plot.Arrow{{Label: text, Length: 19480, Angle: 180}}}}}.Draw(),
	}
}

// photograph is a small picture.
func photograph() []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 16, 9))); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// pictured holds drawings and photographs, and places to sign.
func pictured() Section {
	return Section{Heading: "Drawn", Drawings: drawings("apex seal end gap"), Blanks: []string{"Signature"}, Pictures: []Picture{
		{Name: "photos/plug.png", Caption: "plug of rotor 2", Data: photograph()},
		{Name: "photos/notes.png", Caption: "no picture", Data: []byte("<svg onload=alert(1)>")},
		{Name: "photos/gone.png", Missing: "is no longer in the folder"},
	}}
}
