package app

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

func (a *app) reckon() *cli.Command {
	return a.command(cli.Command{
		Name:      "reckon",
		Usage:     "one formula worked by hand, inputs in any unit",
		ArgsUsage: "[FORMULA [INPUT=VALUE ...]]",
		Description: "Without inputs, tells what the formula takes, where it holds and its source;\n" +
			"without a formula, lists them all. An input may be named in full or by its\n" +
			"symbol; a list is written with commas.\n\n" +
			"Example: stackbook reckon swept-volume e='14 mm' R='98 mm' a='2 mm' b='78 mm'",
		Action: func(c *cli.Context) error {
			if c.NArg() == 0 {
				return a.listFormulas()
			}
			f := rotary.ByID(c.Args().First())
			if f == nil {
				return unknownFormula(c.Args().First())
			}
			if c.NArg() == 1 && len(f.In) > 0 {
				return a.describeFormula(f)
			}
			return a.workFormula(f, c.Args().Tail())
		},
	})
}

func unknownFormula(id string) error {
	var known []string
	for _, f := range rotary.All() {
		known = append(known, f.ID)
	}
	return unknown("formula", id, known, "stackbook reckon lists them")
}

type formulaEntry struct {
	ID     string       `json:"id"`
	Topic  string       `json:"topic"`
	Title  string       `json:"title"`
	Words  string       `json:"formula"`
	Range  string       `json:"range"`
	Source string       `json:"source"`
	In     []paramEntry `json:"inputs"`
	Out    []paramEntry `json:"results"`
}

type paramEntry struct {
	Name     string `json:"name"`
	Symbol   string `json:"symbol"`
	Unit     string `json:"unit"`
	Title    string `json:"title"`
	Optional bool   `json:"optional,omitempty"`
	List     bool   `json:"list,omitempty"`
	Value    any    `json:"value,omitempty"`
}

func formulaOf(f *rotary.Formula) formulaEntry {
	e := formulaEntry{ID: f.ID, Topic: f.Topic, Title: f.Title, Words: f.Words, Range: f.Range, Source: f.Source, In: []paramEntry{}, Out: []paramEntry{}}
	for _, p := range f.In {
		e.In = append(e.In, paramOf(p))
	}
	for _, p := range f.Out {
		e.Out = append(e.Out, paramOf(p))
	}
	return e
}

func paramOf(p rotary.Param) paramEntry {
	return paramEntry{Name: p.Name, Symbol: p.Symbol, Unit: p.Unit, Title: p.Title, Optional: p.Optional, List: p.Kind == rotary.List}
}

type formulasDocument struct {
	Format   string         `json:"format"`
	Formulas []formulaEntry `json:"formulas"`
}

func (a *app) listFormulas() error {
	if a.json {
		d := formulasDocument{Format: "formulas/1"}
		for _, f := range rotary.All() {
			d.Formulas = append(d.Formulas, formulaOf(f))
		}
		return a.printJSON(d)
	}
	t := term.Table{Columns: []term.Column{{Title: "formula"}, {Title: "what it gives", Flex: true}, {Title: "inputs", Flex: true}}}
	topic := ""
	for _, f := range rotary.All() {
		if f.Topic != topic {
			topic = f.Topic
			t.Rows = append(t.Rows, term.Row{Group: true, Cells: []string{topic}})
		}
		var inputs []string
		for _, p := range f.In {
			inputs = append(inputs, p.Symbol)
		}
		t.Rows = append(t.Rows, term.Row{Cells: []string{f.ID, f.Title, strings.Join(inputs, ", ")}})
	}
	a.term.Table(t)
	return nil
}

func (a *app) describeFormula(f *rotary.Formula) error {
	if a.json {
		return a.printJSON(formulasDocument{"formulas/1", []formulaEntry{formulaOf(f)}})
	}
	a.showFormula(f)
	t := term.Table{Columns: []term.Column{{Title: "  input"}, {Title: "symbol"}, {Title: "unit"}, {Title: "what it is", Flex: true}}}
	for _, p := range f.In {
		t.Rows = append(t.Rows, term.Row{Cells: []string{"  " + p.Name, p.Symbol, unitWord(p), p.Title + optionalWord(p)}})
	}
	a.term.Line("")
	a.term.Table(t)
	return nil
}

func unitWord(p rotary.Param) string {
	word := p.Unit
	if word == "1" {
		word = "number"
	}
	if p.Kind == rotary.List {
		word += ", list"
	}
	return word
}

func optionalWord(p rotary.Param) string {
	if p.Optional {
		return " (may be left out)"
	}
	return ""
}

func (a *app) showFormula(f *rotary.Formula) {
	a.term.Heading(f.ID + ", " + f.Title)
	a.term.Prose(4, "  formula: %s", f.Words)
	if f.Range != "" {
		a.term.Prose(4, "  holds for: %s", f.Range)
	}
	a.term.Prose(4, "  source: %s", f.Source)
}

func (a *app) workFormula(f *rotary.Formula, words []string) error {
	in, given, err := formulaInputs(f, words)
	if err != nil {
		return err
	}
	out, err := f.Work(in)
	var outside *rotary.RangeError
	if errors.As(err, &outside) {
		return &act.UsageError{Message: outside.Error(), Mend: holds(f)}
	}
	if err != nil {
		return err
	}
	if err := absurd(f, out); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(workedJSON(f, in, out))
	}
	a.showFormula(f)
	a.term.Line("")
	for i, p := range f.In {
		if given[i] != "" {
			a.term.Line("  %s = %s   %s", p.Symbol, given[i], p.Title)
		}
	}
	for i, p := range f.Out {
		a.term.Line("  %s = %s   %s", p.Symbol, a.term.Strong(resultText(p, out[i])), p.Title)
	}
	return nil
}

// absurd refuses results that have to do with no engine, each input sensible
// though it was.
func absurd(f *rotary.Formula, out []rotary.Value) error {
	for i, p := range f.Out {
		if p.Kind == rotary.Text || out[i].Text != "" {
			continue
		}
		unit := quantity.MustLookup(p.Unit)
		for _, si := range append([]float64{out[i].Number}, out[i].List...) {
			if schema.Far(si, unit.Dimension()) {
				return &act.UsageError{Message: fmt.Sprintf("%s: %s comes out as %s, which has to do with no engine", f.ID, p.Name, resultText(p, rotary.Value{Number: si})),
					Mend: "look at the inputs and their units again"}
			}
		}
	}
	return nil
}

func holds(f *rotary.Formula) string {
	if f.Range == "" {
		return ""
	}
	return "the formula holds for: " + f.Range
}

// formulaInputs reads INPUT=VALUE words into the formula's order.
func formulaInputs(f *rotary.Formula, words []string) (in []rotary.Value, given []string, err error) {
	in, given = make([]rotary.Value, len(f.In)), make([]string, len(f.In))
	for i, p := range f.In {
		in[i].Number = p.Default
	}
	for _, w := range words {
		name, text, ok := strings.Cut(w, "=")
		if !ok {
			return nil, nil, &act.UsageError{Message: fmt.Sprintf("%q gives no input a value", w), Mend: "write it like " + f.In[0].Name + "='" + exampleInput(f.In[0]) + "'"}
		}
		i, err := inputNamed(f, name)
		if err != nil {
			return nil, nil, err
		}
		if given[i] != "" {
			return nil, nil, &act.UsageError{Message: f.In[i].Name + " is given twice", Mend: "leave one of them out"}
		}
		if in[i], err = inputValue(f.In[i], text); err != nil {
			return nil, nil, refusedInput(f.In[i], err)
		}
		given[i] = text
	}
	for i, p := range f.In {
		if given[i] == "" && !p.Optional {
			return nil, nil, &act.UsageError{Message: f.ID + " needs " + p.Name + ": " + p.Title, Mend: "write it like " + p.Name + "='" + exampleInput(p) + "'"}
		}
	}
	return in, given, nil
}

// refusedInput says what is wrong with an input and what to write instead.
func refusedInput(p rotary.Param, err error) error {
	var why *schema.Refusal
	if !errors.As(err, &why) {
		return err
	}
	return &act.UsageError{Message: p.Name + ": " + why.What, Mend: why.Mend}
}

func inputNamed(f *rotary.Formula, name string) (int, error) {
	var known []string
	for i, p := range f.In {
		if name == p.Name || name == p.Symbol {
			return i, nil
		}
		known = append(known, p.Name)
	}
	mend := f.ID + " takes " + strings.Join(known, ", ")
	if near := schema.Nearest(name, known); near != "" {
		mend = "did you mean " + near + "?"
	}
	return 0, &act.UsageError{Message: fmt.Sprintf("%s has no input %q", f.ID, name), Mend: mend}
}

func inputValue(p rotary.Param, text string) (rotary.Value, error) {
	switch p.Kind {
	case rotary.Text:
		return rotary.Value{Text: text}, nil
	case rotary.List:
		var list []float64
		for _, part := range strings.Split(text, ",") {
			si, err := inputNumber(p, strings.TrimSpace(part))
			if err != nil {
				return rotary.Value{}, err
			}
			list = append(list, si)
		}
		return rotary.Value{List: list}, nil
	}
	si, err := inputNumber(p, text)
	return rotary.Value{Number: si}, err
}

func inputNumber(p rotary.Param, text string) (float64, error) {
	unit := quantity.MustLookup(p.Unit)
	q, why := schema.ReadInput(text, unit.Dimension(), p.Unit)
	if why != nil {
		return 0, why
	}
	return q.SI(), nil
}

func exampleInput(p rotary.Param) string {
	example := "12.5 " + p.Unit
	if p.Unit == "1" || p.Unit == "" {
		example = "2"
	}
	if p.Kind == rotary.List {
		example += ", " + example
	}
	return example
}

func resultText(p rotary.Param, v rotary.Value) string {
	if p.Kind == rotary.Text || v.Text != "" {
		return v.Text
	}
	unit := quantity.MustLookup(p.Unit)
	if p.Kind == rotary.List {
		var parts []string
		for _, x := range v.List {
			parts = append(parts, quantity.FormatSig(quantity.FromSI(x, unit), 7))
		}
		return strings.TrimSuffix(strings.Join(parts, ", ")+" "+p.Unit, " 1")
	}
	return strings.TrimSuffix(quantity.FormatSig(quantity.FromSI(v.Number, unit), 7)+" "+p.Unit, " 1")
}

type workedDocument struct {
	Format  string       `json:"format"`
	Formula formulaEntry `json:"formula"`
}

func workedJSON(f *rotary.Formula, in, out []rotary.Value) workedDocument {
	e := formulaOf(f)
	for i, p := range f.In {
		e.In[i].Value = valueJSON(p, in[i])
	}
	for i, p := range f.Out {
		e.Out[i].Value = valueJSON(p, out[i])
	}
	return workedDocument{"reckon/1", e}
}

func valueJSON(p rotary.Param, v rotary.Value) any {
	switch {
	case p.Kind == rotary.Text || v.Text != "":
		return v.Text
	case p.Kind == rotary.List:
		list := []float64{}
		for _, x := range v.List {
			list = append(list, tidy(quantity.FromSI(x, quantity.MustLookup(p.Unit))))
		}
		return list
	}
	return tidy(quantity.FromSI(v.Number, quantity.MustLookup(p.Unit)))
}
