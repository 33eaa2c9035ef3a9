package quantity

import (
	"math/big"
	"sync"
)

// Dimension says what kind of thing a quantity measures. Two quantities can be
// compared, added or converted only when their dimensions are the same.
//
// Some dimensions share their units: a plain pressure in kPa may be meant as
// gauge or as absolute, and 20 degC may be a point or a difference. Parse
// cannot know; the field a quantity is written in does, and says so through
// Quantity.As.
type Dimension int

// The dimensions. A ratio is a pure number: per cent, per mille, or nothing.
const (
	Ratio Dimension = iota
	Length
	Area
	Volume
	Mass
	Density
	Force
	Torque
	SpringRate
	Pressure // plain: a stress, a pressure difference, or not yet said which
	PressureGauge
	PressureAbsolute
	Temperature // a point on the scale
	TemperatureDifference
	Angle
	RotationalSpeed
	Velocity
	Acceleration
	LengthRate // wear over running hours
	Power
	Energy
	Time
	Frequency
	VolumeFlow
	MassFlow
	VolumePerAngle      // change of a chamber's volume with shaft angle
	DisplacementPerTurn // of a pump, for each turn of its shaft
	Unbalance           // mass times radius
	UnbalanceMoment     // mass times radius times length: an unbalance couple
	SpecificConsumption // fuel mass for each unit of work
	SpecificHeat
	HeatTransfer // heat flow for each degree
	Expansion    // linear expansion for each degree
	Curvature
	Voltage

	dimensionCount
)

// A dimensionRow is what the package knows about a dimension. All factors of
// its units count from base, which is the coherent SI unit except where that
// would make exact comparison impossible: angles count in degrees and turns,
// since a radian holds an irrational number of them.
type dimensionRow struct {
	name    string    // with its article, for messages
	example string    // a quantity ready to type
	base    string    // symbol of the unit the exact values count in
	delta   Dimension // of the difference of two points on a scale; none for the rest
}

var dimensionRows = [dimensionCount]dimensionRow{
	Ratio:                 {name: "a ratio", example: "85 %", base: "1"},
	Length:                {name: "a length", example: "12.5 mm", base: "m"},
	Area:                  {name: "an area", example: "640 mm2", base: "m2"},
	Volume:                {name: "a volume", example: "27.2 cm3", base: "m3"},
	Mass:                  {name: "a mass", example: "3.948 kg", base: "kg"},
	Density:               {name: "a density", example: "1042 kg/m3", base: "kg/m3"},
	Force:                 {name: "a force", example: "38 N", base: "N"},
	Torque:                {name: "a torque", example: "35 N m", base: "N m"},
	SpringRate:            {name: "a spring rate", example: "5.2 N/mm", base: "N/m"},
	Pressure:              {name: "a pressure", example: "150 kPa", base: "Pa"},
	PressureGauge:         {name: "a gauge pressure", example: "350 kPa", base: "Pa gauge", delta: Pressure},
	PressureAbsolute:      {name: "an absolute pressure", example: "98.6 kPa", base: "Pa abs", delta: Pressure},
	Temperature:           {name: "a temperature", example: "80 degC", base: "K", delta: TemperatureDifference},
	TemperatureDifference: {name: "a temperature difference", example: "8 K", base: "K"},
	Angle:                 {name: "an angle", example: "75 deg", base: "deg"},
	RotationalSpeed:       {name: "a rotational speed", example: "8400 rpm", base: "rpm"},
	Velocity:              {name: "a velocity", example: "24 m/s", base: "m/s"},
	Acceleration:          {name: "an acceleration", example: "9.81 m/s2", base: "m/s2"},
	LengthRate:            {name: "a rate of wear", example: "0.002 mm/h", base: "m/s"},
	Power:                 {name: "a power", example: "158 kW", base: "W"},
	Energy:                {name: "an energy", example: "12 kJ", base: "J"},
	Time:                  {name: "a time", example: "61 h", base: "s"},
	Frequency:             {name: "a frequency", example: "180 Hz", base: "Hz"},
	VolumeFlow:            {name: "a volume flow", example: "150 L/min", base: "m3/s"},
	MassFlow:              {name: "a mass flow", example: "0.2 kg/s", base: "kg/s"},
	VolumePerAngle:        {name: "a volume per angle", example: "3.8 cm3/deg", base: "m3/deg"},
	DisplacementPerTurn:   {name: "a displacement per turn", example: "16 cm3/rev", base: "m3/rev"},
	Unbalance:             {name: "an unbalance", example: "16 g mm", base: "kg m"},
	UnbalanceMoment:       {name: "an unbalance couple", example: "4200 g mm2", base: "kg m2"},
	SpecificConsumption:   {name: "a specific fuel consumption", example: "310 g/kWh", base: "kg/J"},
	SpecificHeat:          {name: "a specific heat", example: "3.55 kJ/(kg K)", base: "J/(kg K)"},
	HeatTransfer:          {name: "a heat flow per degree", example: "1.6 kW/K", base: "W/K"},
	Expansion:             {name: "a linear expansion", example: "23 1e-6/K", base: "1/K"},
	Curvature:             {name: "a curvature", example: "0.01 1/mm", base: "1/m"},
	Voltage:               {name: "a voltage", example: "13.8 V", base: "V"},
}

// String gives the dimension with its article, as messages say it: "a length".
func (d Dimension) String() string { return d.row().name }

// Example gives a quantity of this dimension as a person would type it.
func (d Dimension) Example() string { return d.row().example }

func (d Dimension) row() *dimensionRow {
	if d < 0 || d >= dimensionCount {
		return &dimensionRow{name: "an unknown dimension"}
	}
	return &dimensionRows[d]
}

// baseSI gives the size of the dimension's base unit in coherent SI units.
func (d Dimension) baseSI() *big.Rat {
	switch d {
	case Angle:
		return radiansSI()
	case RotationalSpeed:
		return turningSI()
	case VolumePerAngle:
		return perAngleSI()
	}
	return one
}

// The base units that are not coherent SI units, in those.
var (
	radiansSI  = sync.OnceValue(func() *big.Rat { return quo(pi(), whole(180)) })
	turningSI  = sync.OnceValue(func() *big.Rat { return quo(pi(), whole(30)) })
	perAngleSI = sync.OnceValue(func() *big.Rat { return quo(whole(180), pi()) })
)

// difference gives the dimension of the difference of two values: plain
// pressure for two gauge pressures, itself for a length.
func (d Dimension) difference() Dimension {
	if delta := d.row().delta; delta != Ratio {
		return delta
	}
	return d
}

// may tells whether a unit written for d can be read as one of want: where the
// text leaves open what the field decides.
func (d Dimension) may(want Dimension) bool {
	switch {
	case d == want:
		return true
	case d == Pressure:
		return want == PressureGauge || want == PressureAbsolute
	case d == Temperature:
		return want == TemperatureDifference
	}
	return false
}
