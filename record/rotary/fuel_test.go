package rotary

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestInjectorDutyBalances: injectors open for the duty pass exactly the fuel
// the power burns.
func TestInjectorDutyBalances(t *testing.T) {
	const power, consumption, injectors, flow, density = 220e3, 330e-3 / 3.6e6, 4, 800e-6 / 60, 745.0
	duty, fuel, err := InjectorDuty(power, consumption, injectors, flow, density)
	require.NoError(t, err)
	assert.InEpsilon(t, power*consumption, duty*injectors*flow*density, 1e-12)
	assert.InEpsilon(t, power*consumption, fuel*density, 1e-12)
}

// TestInjectorFlow: four times the pressure is twice the flow, and going back
// gives the flow as tested.
func TestInjectorFlow(t *testing.T) {
	twice, err := InjectorFlow(800, 3e5, 12e5)
	require.NoError(t, err)
	assert.InEpsilon(t, 1600, twice, 1e-12)
	back, err := InjectorFlow(twice, 12e5, 3e5)
	require.NoError(t, err)
	assert.InEpsilon(t, 800, back, 1e-12)
}

// TestPulseWidthBeyondTheTurn: a pulse longer than the turn is shown as such,
// not capped: the injector never closes.
func TestPulseWidthBeyondTheTurn(t *testing.T) {
	duty, useful, err := PulseWidth(9000*degree*6, 0.008, 0.001)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.2, duty, 1e-12)
	assert.InEpsilon(t, 1.05, useful, 1e-12)
}

// TestPremixOunceInAGallon: an ounce in a US gallon is 128:1 exactly.
func TestPremixOunceInAGallon(t *testing.T) {
	const gallon, ounce = 3.785411784e-3, 29.5735295625e-6
	oil, err := Premix(gallon, 128)
	require.NoError(t, err)
	assert.InEpsilon(t, ounce, oil, 1e-12)
}

// TestConsumptionUnitsAreOneQuantity: the three results differ in unit alone.
func TestConsumptionUnitsAreOneQuantity(t *testing.T) {
	out := worked(t, "consumption-units", si(map[string]float64{"consumption": 9e-8}))
	for name, v := range out {
		assert.Equal(t, 9e-8, v.Number, name)
	}
	assert.Len(t, out, 3)
}
