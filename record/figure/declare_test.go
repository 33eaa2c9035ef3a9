package figure_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
	"stackbook/record/rotary"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

var topics = []string{figure.TopicFits, figure.TopicMeasured, figure.TopicSeals, figure.TopicFasteners, figure.TopicCompression, figure.TopicPorts, figure.TopicCranking,
	figure.TopicBalance, figure.TopicPower, figure.TopicInduction, figure.TopicFuel, figure.TopicOil, figure.TopicCooling, figure.TopicGeometry, figure.TopicMotion}

// Every figure is declared whole: a person finds its title, unit, formula in
// words and source, and whatever it points to is there.
func TestEveryFigureIsDeclaredWhole(t *testing.T) {
	id := regexp.MustCompile(`^[a-z]+(_[a-z]+)*(\.[a-zA-Z]+(_[a-zA-Z]+)*)?$`)
	seen := map[string]bool{}
	for _, f := range figure.All() {
		require.Regexp(t, id, f.ID)
		require.False(t, seen[f.ID], "%s is declared twice", f.ID)
		seen[f.ID] = true
		require.Same(t, f, figure.ByID(f.ID))
		require.Contains(t, topics, f.Topic, f.ID)
		require.NotEmpty(t, f.Title, f.ID)
		require.NotNil(t, f.Work, f.ID)
		require.GreaterOrEqual(t, f.Decimals, 0, f.ID)
		words, source := f.Describe()
		require.NotEmpty(t, words, f.ID)
		require.NotEmpty(t, source, f.ID)
		unit, ok := quantity.Lookup(f.Unit)
		require.True(t, ok, "%s: %s", f.ID, f.Unit)
		_, err := unit.As(f.Dimension())
		require.NoError(t, err, f.ID)
		if f.Formula != "" {
			require.NotNil(t, rotary.ByID(f.Formula), "%s: %s", f.ID, f.Formula)
		}
		if f.LimitOf != "" {
			other := figure.ByID(f.LimitOf)
			require.NotNil(t, other, "%s: %s", f.ID, f.LimitOf)
			require.Equal(t, other.Dimension(), f.Dimension(), f.ID)
			require.Equal(t, other.At, f.At, f.ID)
		}
	}
	require.Nil(t, figure.ByID("engine.price"))
}

// A figure's positions are positions of the dictionary, whatever the number of
// rotors.
func TestFiguresExistAtKnownPositions(t *testing.T) {
	for _, f := range figure.All() {
		require.NotEmpty(t, f.At, f.ID)
		for _, pattern := range f.At {
			for _, rotors := range []int{1, 2, 4, schema.MostRotors} {
				numbered := schema.Pattern(strings.ReplaceAll(string(pattern), "*n", "1")) // any number of them
				positions := numbered.Expand(rotors)
				require.NotEmpty(t, positions, "%s at %s", f.ID, pattern)
				for _, at := range positions {
					require.NoError(t, schema.CheckPosition(at, rotors), f.ID)
				}
			}
		}
	}
}

// Every point that is judged has a figure of its own, and no figure is called
// like a point that is not: a line of a limit set means one thing.
func TestJudgedPointsAreFigures(t *testing.T) {
	for i := range schema.Points() {
		p := &schema.Points()[i]
		f := figure.ByID(p.ID)
		if p.Text || p.Judge == schema.NotJudged {
			require.Nil(t, f, p.ID)
			continue
		}
		require.NotNil(t, f, p.ID)
		require.Equal(t, p.Dim, f.Dimension(), p.ID)
		require.Equal(t, p.Unit, f.Unit, p.ID)
	}
}

// Figures come in the order a builder reads them, topic by topic.
func TestTopicsStayTogether(t *testing.T) {
	var order []string
	for _, f := range figure.All() {
		if len(order) == 0 || order[len(order)-1] != f.Topic {
			order = append(order, f.Topic)
		}
	}
	require.Equal(t, topics, order)
}

// The limits of the demo's set all judge something.
func TestDemoLimitsNameFigures(t *testing.T) {
	_, limits, problems := build1(t).load()
	require.Empty(t, problems)
	for _, id := range limits.Node("limits").Keys() {
		require.NotNil(t, figure.ByID(id), id)
	}
}
