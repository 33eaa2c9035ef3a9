package act_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

const customers = `format: customers/1
customers:
  C-01: {name: Ola Testmann, telephone: "+47 55 01 23 45", email: ola@lake.example, address: at the lake}
  C-02: {name: [Åse Ødegård-Müller, Å Ø], telephone: ["0171 1234567", "12"]}
  C-03: {name: A. N. Shoreside, email: [n@shore.example, a.n@shore.example]}
  C-04: {name: Bo, telephone: 998}
  C-05:
`

// note is a change whose free text is given as it is to stand in the file.
func note(text string) string {
	return "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2020-01-02\nkind: note\nby: KM\nwhat: a call\nnote: " + text + "\n"
}

const noteFile = engineFolder + "/changes/2020-01-02-note.yaml"

// mentioned are texts of a note, with what they tell of a customer; the latter
// ones only look as if they did.
var mentioned = []struct{ text, want string }{
	{"Ola Testmann called", "name of customer C-01"},
	{"ask Testmann, Ola", "name of customer C-01"},
	{"OLA   TESTMANN", "name of customer C-01"},
	{"Ola K. Testmann", "name of customer C-01"},
	{"Ola Testmann's boat", "name of customer C-01"},
	{"Ola Testmanns boat", "name of customer C-01"},
	{"see ola_testmann.jpg and OlaTestmann.jpg", "name of customer C-01"},
	{">-\n  asked by Ola\n  Testmann again", "name of customer C-01"},
	{"|\n  asked by Ola\n  Testmann again", "name of customer C-01"},
	{`"\u004fla \x54estmann"`, "name of customer C-01"},
	{"\"Ola Test\\\n  mann\"", "name of customer C-01"},
	{"seen   # Ola Testmann's son", "name of customer C-01"},
	{"O\u0301la Test\u00admann", "name of customer C-01"},
	{"ａｓｋ Ｏｌａ Ｔｅｓｔｍａｎｎ", "name of customer C-01"},
	{"Ase Odegard Muller", "name of customer C-02"},
	{"Aase Oedegaard-Mueller", "name of customer C-02"},
	{"ÅSE ØDEGÅRD MÜLLER", "name of customer C-02"},
	{"Mr A N Shoreside", "name of customer C-03"},
	{"55012345", "telephone of customer C-01"},
	{"call 55 01 23 45.", "telephone of customer C-01"},
	{"0047 5501 2345", "telephone of customer C-01"},
	{"+4755012345", "telephone of customer C-01"},
	{"(55) 0.123-45, after six", "telephone of customer C-01"},
	{`"5501\u0032345"`, "telephone of customer C-01"},
	{"+49 171 1234567", "telephone of customer C-02"},
	{"0171/12 34 567", "telephone of customer C-02"},
	{"Ola@Lake.Example", "email of customer C-01"},
	{"ola @ lake.example", "email of customer C-01"},
	{"ola (at) lake.example", "email of customer C-01"},
	{"<n@shore.example>", "email of customer C-03"},

	{"Ola called", ""},
	{"a testmann", ""},
	{"Ola fitted it, and Per held it; Testmann rings", ""},
	{"the boat at the shoreside", ""},
	{"Bo, 998 or 12 rpm", ""},
	{"Å or Ø", ""},
	{"viola testmanning", ""},
	{"155012345678", ""},
	{"9955012345999", ""},
	{"viola@lake.example", ""},
	{"ola@lake.example2", ""},
	{"C-01 called", ""},
}

// R15: a customer is not named in history, however the name is written; and
// what only looks like it may be.
func TestR15ContentIsHeldAgainstCustomers(t *testing.T) {
	b := demoBook(t)
	b.write(act.PrivateFile, customers)
	for _, tt := range mentioned {
		t.Run(tt.text, func(t *testing.T) {
			b.t = t
			b.write(noteFile, note(tt.text))
			if tt.want == "" {
				b.commit("a note")
				b.git("reset", "-q", "--hard", "HEAD~1")
				return
			}
			problems := b.refused("a note")
			require.Len(t, problems, 1)
			code := tt.want[len(tt.want)-4:]
			require.Regexp(t, "^"+noteFile+`:(8|9|10): the `+tt.want+" stands here, and private/ is to stay out of history; write the code "+code+" instead$", problems[0])
			require.NotRegexp(t, "(?i)testmann|muller|lake", strings.TrimPrefix(problems[0], noteFile))
		})
	}
}

// R15: the message, a path, a key, an attachment and the book's own files are
// looked at too; every place is told in one run.
func TestR15WhereverItStands(t *testing.T) {
	b := demoBook(t)
	b.write(act.PrivateFile, customers)
	named := engineFolder + "/changes/2020-01-02-testmann-ola.yaml"
	b.write(named, strings.Replace(note("55 01 23 45"), "note:", "shop: {ola testmann: x}\nnote:", 1))
	const stay = ", and private/ is to stay out of history; write the code C-01 instead"
	require.Equal(t, []string{
		named + ": the name of customer C-01 stands in this path" + stay,
		named + ":8: the name of customer C-01 stands here" + stay,
		named + ":9: the telephone of customer C-01 stands here" + stay,
		"the message: the email of customer C-01 stands here" + stay,
	}, b.refused("as OLA@lake.example asked"))

	b.edit("limits/shop.yaml", "title: the shop", "title: Ola Testmann's")
	_, err := b.CommitBook(act.CommitOptions{Message: "limits"})
	require.EqualError(t, err, "limits/shop.yaml:4: the name of customer C-01 stands here"+stay)
}

// R15: a file that tells a name may be taken out.
func TestR15TakenOut(t *testing.T) {
	b := demoBook(t)
	named := engineFolder + "/changes/2020-01-02-testmann-ola.yaml"
	b.write(named, note("Ola Testmann"))
	b.commit("before the customer was written down")
	b.write(act.PrivateFile, customers)
	b.git("rm", "-q", named)
	require.Contains(t, b.commit("taken out").Paths, named)
}

// R15: what would be passed over in the file of customers is told.
func TestR15FileOfCustomers(t *testing.T) {
	tests := []struct{ old, new, want string }{
		{"customers:\n", "customer:\n", `2:1: unknown key "customer"; use one of: format, customers`},
		{"email: ola", "e-mail: ola", `3:60: unknown key "e-mail" of customer C-01; use one of: name, telephone, email, address, note`},
		{"{name: Bo, telephone: 998}", "Bo", "6:3: customer C-04 is not written key by key; write: C-04: {name: ..., telephone: ..., email: ...}"},
		{"{name: Bo", "{name: Bo, name: Bo", "6:20: name is written twice, first on line 6; keep one of the two"},
	}
	b := demoBook(t)
	b.write(noteFile, note("nothing"))
	for _, tt := range tests {
		b.write(act.PrivateFile, strings.Replace(customers, tt.old, tt.new, 1))
		problems := b.refused("a note")
		require.Len(t, problems, 1)
		require.Contains(t, problems[0], fmt.Sprintf("%s:%s", act.PrivateFile, tt.want))
	}
}

// R15: private/ is not tracked, neither committed nor staged.
func TestR15PrivateIsTracked(t *testing.T) {
	const want = "private: git tracks private/, which is never to enter history; take it out: git rm -r --cached private, and put private/ into .gitignore"
	b := demoBook(t)
	b.write(act.PrivateFile, customers)
	b.write(noteFile, note("nothing"))
	b.git("add", "-f", "private")
	require.Equal(t, []string{want}, b.refused("a note"))
	b.git("commit", "-q", "-m", "too much", "private")
	require.Equal(t, []string{want}, b.refused("a note"))
	b.git("rm", "-q", "-r", "--cached", "private")
	require.Equal(t, []string{want}, b.refused("a note"), "the last commit still holds it")
	b.git("commit", "-q", "-m", "taken out")
	b.commit("a note")
}
