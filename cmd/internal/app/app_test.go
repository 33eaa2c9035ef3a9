package app

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Each command is made under the name it is typed by, and the one that is typed is
// made alone; where none is, or the program itself is asked, all are.
func TestTheCommandThatIsTyped(t *testing.T) {
	a := &app{}
	flags := a.program().Flags
	for _, m := range a.makers() {
		require.Equal(t, m.name, m.make().Name)
		for _, words := range [][]string{{m.name}, {"--in", "x", m.name, "-h"}, {"help", m.name}, {"--in=x", "help", m.name}} {
			list, typed := a.commandsFor(flags, words)
			require.True(t, typed, "%q", words)
			require.Len(t, list, 1)
			require.Equal(t, m.name, list[0].Name)
		}
		list, typed := a.commandsFor(flags, []string{"--version", m.name})
		require.False(t, typed)
		require.Len(t, list, len(a.makers()))
	}
	for _, words := range [][]string{nil, {"--help"}, {"help"}, {"no such"}, {"help", "no such"}, {"--in", "figures"}} {
		list, typed := a.commandsFor(flags, words)
		require.False(t, typed, "%q", words)
		require.Len(t, list, len(a.makers()), "%q", words)
	}
}
