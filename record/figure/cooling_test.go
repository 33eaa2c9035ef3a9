package figure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

// The demo: 72 in, 76 and 80 out in series at 150 L/min; then fed at the centre
// 79.8 and 80.2: the front warmer, the rear the same, the spread gone.
func TestCoolingOfTheDemo(t *testing.T) {
	before, after := build1(t).compute(t), build2(t).compute(t)
	require.Equal(t, "4.0", result(t, before, "cooling.outlet_spread", "engine").Text())
	require.Equal(t, "0.4", result(t, after, "cooling.outlet_spread", "engine").Text())
	const heatOfAKelvin = 1042 * 3.55 * 150. / 60000 // kW/K at 150 L/min, half glycol
	for _, row := range []struct {
		set  *figure.Set
		at   string
		rise float64
	}{
		{before, "housing/1", 4}, {before, "housing/2", 4}, {before, "engine", 8},
		{after, "housing/1", 7.8 / 2}, {after, "housing/2", 8.2 / 2}, {after, "engine", 8}, // half the flow each
	} {
		require.InEpsilon(t, heatOfAKelvin*row.rise, result(t, row.set, "cooling.heat", row.at).In(), 1e-9, row.at)
	}
	for _, id := range []string{"cooling.outlet", "cooling.metal_index", "cooling.feed_area"} {
		require.Nil(t, missing(before, id, "housing/1"), "nobody assumed a heat")
	}
}

// Every way the coolant can take balances: what the branches carry away is what
// the housings give.
func TestEstimatedOutletsBalance(t *testing.T) {
	for routing, leaving := range map[string][]string{
		"front to rear": {"housing/3"}, "rear to front": {"housing/1"},
		"parallel":                   {"housing/1", "housing/2", "housing/3"},
		"centre feed, feed_after: 1": {"housing/1", "housing/3"},
	} {
		s := small{spec: "geometry: {rotors: 3}\ncooling: {flow: 120 L/min, inlet: 80 degC, housing_heat: 20 kW, conductance: 1.6 kW/K, routing: " + routing + "}\n"}
		set := s.compute(t)
		carried := 0.0
		for _, housing := range leaving {
			share := 1 / float64(len(leaving))
			carried += 1042 * 3550 * 0.002 * share * (result(t, set, "cooling.outlet", housing).Value - (80 + 273.15))
		}
		require.InEpsilon(t, 60e3, carried, 1e-9, routing)
		for _, housing := range []string{"housing/1", "housing/2", "housing/3"} {
			require.Greater(t, result(t, set, "cooling.metal_index", housing).Value, result(t, set, "cooling.outlet", housing).Value, "%s %s", routing, housing)
		}
	}
}

// Measured less estimated is a difference of temperatures: it has no zero to
// add, and in another unit none to take off.
func TestMeasuredOutletLessEstimated(t *testing.T) {
	s := small{"geometry: {rotors: 2}\ncooling: {flow: 150 L/min, inlet: 72 degC, housing_heat: 30 kW, routing: front to rear}\n",
		map[string]string{"dyno 2024-03-02": "readings: {coolant_temperature: {unit: degC, engine/in: 74, housing/1/out: 78}}\n"}}
	set := s.compute(t)
	r := result(t, set, "cooling.outlet_difference", "housing/1")
	require.InDelta(t, 4-30e3/(1042*3550*0.0025), r.In(), 1e-9, "from the inlet measured, not the one assumed")
	require.Equal(t, quantity.TemperatureDifference, r.Figure.Dimension())
	require.Nil(t, set.Find("cooling.outlet_difference", "housing/2"))
	require.Nil(t, missing(set, "cooling.outlet_difference", "housing/2"), "nobody read it")
	require.Equal(t, []string{"coolant_temperature at housing/2/out"}, needed(t, set, "cooling.outlet_spread", "engine").Needs)
}

// Estimates are never judged, whatever a limit set says.
func TestMetalTemperatureIsNeverJudged(t *testing.T) {
	s := small{spec: "geometry: {rotors: 1}\ncooling: {flow: 120 L/min, inlet: 80 degC, housing_heat: 20 kW, conductance: 1.6 kW/K, routing: parallel}\n"}
	set := figure.Compute(s.load(t), limitsOf(t, "cooling.metal_index: {new: {max: 60 degC}, source: own}"))
	require.Equal(t, figure.NoVerdict, result(t, set, "cooling.metal_index", "housing/1").Verdict)
	lacking := small{spec: "geometry: {rotors: 1}\ncooling: {conductance: 1.6 kW/K, inlet: 80 degC}\n"}.compute(t)
	require.Equal(t, []string{"cooling.routing in spec.yaml", "cooling.flow in spec.yaml", "cooling.housing_heat in spec.yaml"}, needed(t, lacking, "cooling.metal_index", "housing/1").Needs)
}

// A feed between no two housings is refused with its line.
func TestCentreFeedOutsideTheEngine(t *testing.T) {
	s := small{spec: "geometry: {rotors: 2}\ncooling: {flow: 120 L/min, inlet: 80 degC, housing_heat: 20 kW, routing: centre feed, feed_after: 2}\n"}
	require.Equal(t, "cooling.feed_after: 2 housings in front of the feed leave none behind it in an engine of 2", needed(t, s.compute(t), "cooling.outlet", "housing/1").Why)
}

// Feeds: each where it enters, all at the engine, the largest over the smallest.
func TestFeeds(t *testing.T) {
	s := small{spec: "geometry: {rotors: 2}\ncooling: {feeds: {front: {at: plate/1, passages: 6, diameter: 12 mm}, added: {at: plate/2, passages: 4, diameter: 6 mm}, loose: {passages: 1, diameter: 12 mm}}}\n"}
	set := s.compute(t)
	for at, text := range map[string]string{"plate/1": "679", "plate/2": "113", "engine": "905"} { // 678.6, 113.1, and 113.1 that enters nowhere
		require.Equal(t, text, result(t, set, "cooling.feed_area", at).Text(), at)
	}
	require.Equal(t, "6.00", result(t, set, "cooling.feed_ratio", "engine").Text())
	require.Nil(t, set.Find("cooling.feed_area", "housing/1"))
}

// A way through the engine that nobody knows is not taken for another.
func TestUnknownRouting(t *testing.T) {
	s := small{spec: "geometry: {rotors: 2}\ncooling: {flow: 120 L/min, inlet: 80 degC, housing_heat: 20 kW, routing: sideways}\n"}
	e, problems := record.Load("engines/2024/SK-07", s.files())
	require.NotEmpty(t, problems)
	require.Equal(t, `cooling.routing: "sideways" is no way through the engine that is known`, needed(t, figure.Compute(e, nil), "cooling.outlet", "housing/1").Why)
}
