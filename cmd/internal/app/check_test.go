package app

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"stackbook/cmd/internal/act"
)

// A few engines that are not checked out are named one by one, many by their
// groups.
func TestAwayLines(t *testing.T) {
	few := []act.Place{{Number: "SK-01", Folder: "engines/2017/SK-01"}, {Number: "SK-02", Folder: "engines/2017/SK-02"}}
	assert.Equal(t, []string{
		"not checked: SK-01 is not checked out here; type: git sparse-checkout add engines/2017/SK-01",
		"not checked: SK-02 is not checked out here; type: git sparse-checkout add engines/2017/SK-02",
	}, awayLines(few))
	many := few
	for i := range 7 {
		number := fmt.Sprintf("SK-1%d", i)
		many = append(many, act.Place{Number: number, Folder: "engines/2018/" + number})
	}
	many = append(many, act.Place{Number: "SK-20", Folder: "engines/2019/SK-20"})
	assert.Equal(t, []string{
		"not checked: 2 engines of engines/2017 are not checked out here, SK-01 to SK-02; type: git sparse-checkout add engines/2017",
		"not checked: 7 engines of engines/2018 are not checked out here, SK-10 to SK-16; type: git sparse-checkout add engines/2018",
		"not checked: SK-20 is not checked out here; type: git sparse-checkout add engines/2019",
	}, awayLines(many))
	assert.Empty(t, awayLines(nil))
}
