package rotary

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// glycol is 50/50 coolant flowing at so many litres a minute.
func glycol(litres float64) Coolant { return Coolant{litres / 60e3, glycolDensity, glycolHeat} }

var fourHousings = []Housing{{18e3, 1800}, {20e3, 1800}, {22e3, 1700}, {19e3, 1900}}

const inletK = 80 + zeroCelsius

// TestCoolantSeriesEnergyBalance: what the coolant carries off at the end is
// what the housings gave, and every metal is warmer than its coolant by q/hA.
func TestCoolantSeriesEnergyBalance(t *testing.T) {
	c := glycol(180)
	warmed, err := CoolantSeries(c, inletK, fourHousings)
	require.NoError(t, err)
	carried, err := HeatToCoolant(c, warmed[3].Outlet-inletK)
	require.NoError(t, err)
	assert.InEpsilon(t, 79e3, carried, 1e-9)
	inlet := inletK
	for i, w := range warmed {
		assert.InEpsilon(t, fourHousings[i].Heat/fourHousings[i].Transfer, w.Metal-(inlet+w.Outlet)/2, 1e-9)
		inlet = w.Outlet
	}
}

// TestCentreFedEnergyBalance: both branches together carry off all the heat,
// for equal and unequal branches and any place of the feed.
func TestCentreFedEnergyBalance(t *testing.T) {
	c := glycol(180)
	for split := 1; split <= 3; split++ {
		for _, rearK := range []float64{1, 1.44, 0.3} {
			warmed, flows, err := CoolantCentreFed(c, inletK, fourHousings, split, 1, rearK)
			require.NoError(t, err)
			assert.InEpsilon(t, c.Flow, flows[0]+flows[1], 1e-12)
			assert.InEpsilon(t, flows[0]*flows[0], rearK*flows[1]*flows[1], 1e-12, "both branches drop alike")
			front := c.Density * c.Heat * flows[0] * (warmed[0].Outlet - inletK)
			rear := c.Density * c.Heat * flows[1] * (warmed[3].Outlet - inletK)
			assert.InEpsilon(t, 79e3, front+rear, 1e-9)
		}
	}
}

// TestCentreFedLeavesTheInputAlone: the housings come back in their own order
// and the caller's list is not turned round.
func TestCentreFedLeavesTheInputAlone(t *testing.T) {
	housings := append([]Housing(nil), fourHousings...)
	warmed, _, err := CoolantCentreFed(glycol(180), inletK, housings, 2, 1, 1)
	require.NoError(t, err)
	assert.Equal(t, fourHousings, housings)
	assert.Greater(t, warmed[0].Outlet, warmed[1].Outlet, "the outer housing of a branch is the warmer")
	assert.Less(t, warmed[2].Outlet, warmed[3].Outlet)
}

// TestCentreFedNarrowsTheSpread holds the two layouts side by side: for equal
// housings and branches the hottest outlet is the same, the metal spread 5.4 K
// in series and 3.6 K centre-fed (own arithmetic: 4 x 20 kW, 180 L/min).
func TestCentreFedNarrowsTheSpread(t *testing.T) {
	even := []Housing{{20e3, 1800}, {20e3, 1800}, {20e3, 1800}, {20e3, 1800}}
	series, err := CoolantSeries(glycol(180), inletK, even)
	require.NoError(t, err)
	centre, _, err := CoolantCentreFed(glycol(180), inletK, even, 2, 1, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, series[3].Outlet, centre[0].Outlet, 1e-12)
	assert.InDelta(t, 5.4, series[3].Metal-series[0].Metal, 0.05)
	assert.InDelta(t, 3.6, centre[0].Metal-centre[1].Metal, 0.05)
}

func TestCentreFedWantsTwoBranches(t *testing.T) {
	f := ByID("coolant-centre-fed")
	given := si(map[string]float64{"split": 1, "flow": 0.002, "inlet-temperature": inletK, "heat-transfer": 1800})
	given["heat"] = Value{List: []float64{2e4, 2e4}}
	given["resistances"] = Value{List: []float64{1}}
	_, err := f.Work(withDefaults(f, given))
	assert.EqualError(t, err, "coolant-centre-fed: resistances must be two, front and rear")
	given["resistances"] = Value{List: []float64{1, 0}}
	_, err = f.Work(withDefaults(f, given))
	assert.EqualError(t, err, "coolant-centre-fed: resistances must be greater than zero")
}

func TestPassageArea(t *testing.T) {
	four, err := PassageArea(4, 0.006)
	require.NoError(t, err)
	one, err := PassageArea(1, 0.012)
	require.NoError(t, err)
	assert.InEpsilon(t, one, four, 1e-12, "four of half the diameter are one")
}
