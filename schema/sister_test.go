package schema

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A key that is renamed in the dictionary must not slip out of the list of what
// stays with one engine: its sister would get another engine's serials.
func TestOwnToOneIsInTheDictionary(t *testing.T) {
	for path := range ownToOne {
		assert.NotNil(t, Spec().At(path), "there is no %s in a spec", path)
	}
}

func TestOwnToOne(t *testing.T) {
	for path, want := range map[string]bool{
		"id": true, "parts.*.serial": true, "operating.sent": true,
		"parts.*.part": false, "parts.*.work": false, "operating.coolant_stop": false, "geometry.eccentricity": false,
	} {
		_, own := OwnToOne(path)
		assert.Equal(t, want, own, path)
	}
}
