package problem_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/schema/problem"
)

func TestStringLeavesOutWhatIsNotKnown(t *testing.T) {
	tests := []struct {
		p           problem.Problem
		where, want string
	}{
		{
			problem.Problem{File: "spec.yaml", Line: 3, Column: 7, Rule: "unknown-key", Message: "rotor is not known", Mend: "write rotors"},
			"spec.yaml:3:7", "spec.yaml:3:7: rotor is not known; write rotors",
		},
		{problem.Problem{File: "spec.yaml", Line: 3, Message: "m"}, "spec.yaml:3", "spec.yaml:3: m"},
		{problem.Problem{File: "spec.yaml", Message: "m"}, "spec.yaml", "spec.yaml: m"},
		{problem.Problem{File: "spec.yaml", Column: 7, Message: "m"}, "spec.yaml", "spec.yaml: m"},
		{problem.Problem{Message: "m", Mend: "n"}, "", "m; n"},
		{problem.Problem{Line: 3, Column: 7, Message: "m"}, "", "m"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.where, tt.p.Where())
		assert.Equal(t, tt.want, tt.p.String())
		assert.EqualError(t, tt.p, tt.want)
	}
}

func TestListIsAnErrorWhenNotEmpty(t *testing.T) {
	assert.NoError(t, problem.List(nil).Err())
	assert.NoError(t, problem.List{}.Err())

	list := problem.List{{File: "a", Line: 1, Message: "m"}, {File: "b", Message: "n", Mend: "o"}}
	err := fmt.Errorf("reading: %w", list.Err())
	assert.EqualError(t, err, "reading: a:1: m\nb: n; o")
	var back problem.List
	require.True(t, errors.As(err, &back))
	assert.Equal(t, list, back)
}

func TestSort(t *testing.T) {
	inOrder := problem.List{
		{Message: "of no file"},
		{File: "a", Message: "of the whole file"},
		{File: "a", Line: 2, Column: 9, Message: "m"},
		{File: "a", Line: 10, Column: 1, Message: "m"},
		{File: "a", Line: 10, Column: 2, Message: "m"},
		{File: "a", Line: 10, Column: 2, Message: "n"},
		{File: "b", Line: 1, Column: 1, Message: "m"},
	}
	for turn := range inOrder {
		list := append(append(problem.List{}, inOrder[turn:]...), inOrder[:turn]...)
		list = append(list, inOrder[turn])
		list.Sort()
		assert.Equal(t, inOrder, list, "turned by %d, one of them twice", turn)
	}
	empty := problem.List{}
	empty.Sort()
	assert.Empty(t, empty)
}

// Doubles go also where another problem of the same place and words stands
// between them.
func TestSortDropsEveryDouble(t *testing.T) {
	one := problem.Problem{File: "a", Line: 1, Rule: "r", Message: "m", Mend: "one"}
	two := problem.Problem{File: "a", Line: 1, Rule: "r", Message: "m", Mend: "two"}
	list := problem.List{one, two, one}
	list.Sort()
	assert.Equal(t, problem.List{one, two}, list)
}

// The names of the fields are part of the documents that --json prints.
func TestJSON(t *testing.T) {
	text, err := json.Marshal(problem.Problem{File: "f", Line: 1, Column: 2, Rule: "r", Message: "m", Mend: "n"})
	require.NoError(t, err)
	assert.JSONEq(t, `{"file": "f", "line": 1, "column": 2, "rule": "r", "message": "m", "mend": "n"}`, string(text))
}
