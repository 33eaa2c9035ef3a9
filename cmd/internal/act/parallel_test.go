package act

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The first error by the order of the jobs is given, whichever ended first, and a
// panic in one comes to who gave the jobs, with where it was.
func TestOnAllCores(t *testing.T) {
	done := make([]bool, 100)
	err := onAllCores(len(done), silently, func(i int) error {
		if done[i] = true; i%10 == 7 {
			return errors.New(strings.Repeat("x", i))
		}
		return nil
	})
	require.EqualError(t, err, "xxxxxxx")
	require.NotContains(t, done, false)
	defer func() {
		crash, ok := recover().(*Crash)
		require.True(t, ok)
		assert.Equal(t, "job 3", crash.String())
		assert.Contains(t, string(crash.Stack), "TestOnAllCores")
	}()
	_ = onAllCores(4, silently, func(i int) error {
		if i == 3 {
			panic("job 3")
		}
		return nil
	})
	t.Fatal("the panic is lost")
}
