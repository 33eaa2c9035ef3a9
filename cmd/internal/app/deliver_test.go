package app

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"stackbook/record/figure"
)

// What is unmeasured at many places takes a line a figure, in the order it came.
func TestNotMeasured(t *testing.T) {
	gap, play := &figure.Figure{Title: "end gap"}, &figure.Figure{Title: "end float"}
	assert.Equal(t, []string{"unmeasured: end gap at rotor/1/apex/1, rotor/1/apex/2", "unmeasured: end float at engine"},
		notMeasured([]*figure.Missing{{Figure: gap, At: "rotor/1/apex/1"}, {Figure: play, At: "engine"}, {Figure: gap, At: "rotor/1/apex/2"}}))
	assert.Empty(t, notMeasured(nil))
}
