//go:build unix

package act

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// R17: a name of two lines is refused while nothing is committed yet.
func TestR17NameOfTwoLines(t *testing.T) {
	b := smallBook(t)
	b.write("photos/a\nb.png", "x")
	_, err := b.Closing("SK-07", DeliverOptions{})
	assert.Equal(t, "photos/a\nb.png: a line end in the name of a file would make the delivery code ambiguous; rename it", inShort(t, err))
	b.remove("photos/a\nb.png")
	b.deliver()
}
