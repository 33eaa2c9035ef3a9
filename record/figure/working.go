package figure

import (
	"errors"
	"math"
	"slices"
	"strings"

	"stackbook/record/rotary"
)

// in are the named arguments of a formula; a list goes under lists.
type in []rotary.Argument

// Formula works a formula of the registry and gives one of its results. An
// argument outside its range makes the figure impossible, with the reason.
func (l *Look) Formula(id, result string, args in, lists map[string][]float64) float64 {
	return l.formula(id, result, args, lists).Number
}

// Formulas is Formula for a result that is a list; an empty one where there is
// none.
func (l *Look) Formulas(id, result string, args in, lists map[string][]float64) []float64 {
	return l.formula(id, result, args, lists).List
}

func (l *Look) formula(id, result string, args in, lists map[string][]float64) rotary.Value {
	if len(l.missing) > 0 || l.failed != nil {
		return rotary.Value{}
	}
	f := rotary.ByID(id)
	l.arranged = f.Arrange(l.arranged[:0], args, lists)
	out, err := f.Work(l.arranged)
	if err != nil {
		l.fail(err)
		l.refused = args
		return rotary.Value{}
	}
	for i, p := range f.Out {
		if p.Name == result {
			return out[i]
		}
	}
	panic("figure: formula " + id + " has no result " + result)
}

// usual is what a formula takes for an argument left out.
func usual(id, argument string) float64 {
	for _, p := range rotary.ByID(id).In {
		if p.Name == argument {
			return p.Default
		}
	}
	panic("figure: formula " + id + " has no argument " + argument)
}

func (l *Look) fail(err error) {
	if l.failed == nil {
		l.failed = err
	}
}

// why says in words why the figure could not be worked, and where the value
// stands that is at fault.
func (l *Look) why() string {
	if l.failed == nil {
		return ""
	}
	var outside *rotary.RangeError
	if errors.As(l.failed, &outside) && outside.Input != "" {
		if in := l.atFault(outside.Input); in != nil {
			return in.Ref.String() + ": " + outside.Error()
		}
	}
	return l.failed.Error()
}

// atFault is the input that a formula's refused argument came from: the one of
// its name, else the only one of its value; nil where neither tells.
func (l *Look) atFault(argument string) *Input {
	key := strings.ReplaceAll(argument, "-", "_")
	var found *Input
	for i := range l.inputs {
		in := l.inputs[i]
		if strings.HasSuffix(in.Name, "."+key) || strings.HasPrefix(in.Name, key+" ") {
			return in
		}
	}
	value := l.refused.of(argument)
	given := slices.ContainsFunc(l.refused, func(a rotary.Argument) bool { return a.Name == argument })
	for i := range l.inputs {
		if in := l.inputs[i]; given && math.Abs(in.SI) == math.Abs(value) {
			if found != nil {
				return nil
			}
			found = in
		}
	}
	return found
}
