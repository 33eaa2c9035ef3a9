package quantity

import "math/big"

// The units, each with its exact size in the base unit of its dimension.
//
// The definitions are the usual ones, as collected in A. Thompson, B. N.
// Taylor, Guide for the Use of the International System of Units (SI), NIST
// Special Publication 811 (2008). They stand here from memory; their rounded
// values are held by a test against independent ones.
//
// Spellings such as hp_550 and psi_per are those of testdata/checks.yaml, whose
// units are read like any other.

var (
	milli  = exact("1e-3")
	micro  = exact("1e-6")
	kilo   = exact("1e3")
	mega   = exact("1e6")
	giga   = exact("1e9")
	minute = whole(60)
	hour   = whole(3600)

	inch       = exact("0.0254")
	foot       = mul(whole(12), inch)
	mile       = mul(whole(5280), foot)
	squareInch = mul(inch, inch)
	cubicInch  = cube(inch)
	squareCm   = exact("1e-4")
	litre      = milli
	cubicCm    = micro
	usGallon   = mul(whole(231), cubicInch)
	impGallon  = exact("4.54609e-3")

	gram          = milli
	pound         = exact("0.45359237")
	ounce         = quo(pound, whole(16))
	gravity       = exact("9.80665")
	poundForce    = mul(pound, gravity)
	kilogramForce = gravity

	bar              = exact("1e5")
	mercury          = mul(exact("13595.1"), gravity) // Pa for each metre of column
	water            = mul(whole(1000), gravity)
	horsepower       = mul(whole(550), foot, poundForce)
	metricHorsepower = mul(whole(75), kilogramForce)
	kilowattHour     = mul(kilo, hour)
	one              = whole(1)
)

// The sources, where several units share one.
const (
	bySI      = "SI unit or decimal multiple"
	byTime    = "minute of 60 s, hour of 3600 s, day of 24 h"
	byInch    = "definition of the inch, 25.4 mm exactly"
	byPound   = "definition of the pound, 0.45359237 kg exactly"
	byForce   = "pound 0.45359237 kg, inch 25.4 mm, standard gravity 9.80665 m/s2, all exact"
	byGravity = "standard gravity, 9.80665 m/s2 exactly"
	byGallon  = "US gallon of 231 cubic inches"
	byTurn    = "360 degrees to a turn"
	byPi      = "pi radians to 180 degrees; pi to 50 decimals"
	byMercury = "conventional column, density 13595.1 kg/m3, standard gravity"
	byWater   = "conventional column, density 1000 kg/m3, standard gravity"
	byKelvin  = "degree Celsius: 0 degC is 273.15 K"
	byPS      = "75 kgf m/s, standard gravity"
)

func unitRows() []unitRow {
	var all []unitRow
	for _, group := range [][]unitRow{
		ratioUnits, sizeUnits, massUnits, forceUnits, pressureUnits, temperatureUnits,
		turningUnits, motionUnits, energyUnits, timeUnits, flowUnits, otherUnits,
	} {
		all = append(all, group...)
	}
	return all
}

// unit makes a row of the table: factor is the unit's size in the base unit of
// its dimension, aliases are spellings that are read as this unit.
func unit(symbol string, dim Dimension, factor *big.Rat, source string, aliases ...string) unitRow {
	return unitRow{symbol: symbol, dim: dim, factor: factor, source: source, aliases: aliases}
}

// from puts a unit's zero at another place of the scale than the base unit's.
func (r unitRow) from(zero *big.Rat) unitRow {
	r.zero = zero
	return r
}

// written gives a factor that holds pi as a person would write it.
func (r unitRow) written(factor string) unitRow {
	r.holdsPi = factor
	return r
}

var ratioUnits = []unitRow{
	unit("1", Ratio, one, "a pure number"),
	unit("%", Ratio, exact("1e-2"), "hundredth", "percent", "per cent"),
	unit("1e-3", Ratio, milli, "thousandth", "‰"),
}

var sizeUnits = []unitRow{
	unit("m", Length, one, bySI),
	unit("cm", Length, exact("1e-2"), bySI),
	unit("mm", Length, milli, bySI),
	unit("um", Length, micro, bySI, "micron", "microns"),
	unit("km", Length, kilo, bySI),
	unit("in", Length, inch, byInch, "inch", "inches"),
	unit("thou", Length, mul(inch, milli), byInch),
	unit("ft", Length, foot, byInch, "foot", "feet"),

	unit("m2", Area, one, bySI),
	unit("cm2", Area, squareCm, bySI),
	unit("mm2", Area, micro, bySI),
	unit("in2", Area, squareInch, byInch, "sq in"),

	unit("m3", Volume, one, bySI),
	unit("L", Volume, litre, bySI, "l", "litre", "litres"),
	unit("mL", Volume, cubicCm, bySI, "ml"),
	unit("cm3", Volume, cubicCm, bySI, "cc", "ccm"),
	unit("mm3", Volume, exact("1e-9"), bySI),
	unit("in3", Volume, cubicInch, byInch, "cu in"),
	unit("US gal", Volume, usGallon, byGallon),
	unit("US fl oz", Volume, quo(usGallon, whole(128)), byGallon, "US floz"),
	unit("imp gal", Volume, impGallon, "definition of the imperial gallon, 4.54609 L exactly"),

	unit("1/m", Curvature, one, bySI),
	unit("1/mm", Curvature, kilo, bySI),
}

var massUnits = []unitRow{
	unit("kg", Mass, one, bySI),
	unit("g", Mass, gram, bySI),
	unit("mg", Mass, micro, bySI),
	unit("lb", Mass, pound, byPound, "lbs"),
	unit("oz", Mass, ounce, byPound),

	unit("kg/m3", Density, one, bySI),
	unit("g/cm3", Density, kilo, bySI, "kg/L", "kg/l", "g/mL", "g/ml", "g/cc"),

	unit("kg m", Unbalance, one, bySI),
	unit("g mm", Unbalance, micro, bySI),
	unit("g cm", Unbalance, exact("1e-5"), bySI),
	unit("oz.in", Unbalance, mul(ounce, inch), byPound+"; "+byInch),

	unit("kg m2", UnbalanceMoment, one, bySI),
	unit("g mm2", UnbalanceMoment, exact("1e-9"), bySI),
}

var forceUnits = []unitRow{
	unit("N", Force, one, bySI),
	unit("kN", Force, kilo, bySI),
	unit("lbf", Force, poundForce, byForce),
	unit("kgf", Force, kilogramForce, byGravity, "kp"),

	unit("N m", Torque, one, bySI, "Nm"),
	unit("lbf.ft", Torque, mul(poundForce, foot), byForce, "ft lbf", "ft lb", "lb ft"),
	unit("lbf.in", Torque, mul(poundForce, inch), byForce, "in lbf", "in lb"),
	unit("kgf.m", Torque, kilogramForce, byGravity, "m kgf"),

	unit("N/m", SpringRate, one, bySI),
	unit("N/mm", SpringRate, kilo, bySI),
	unit("lbf/in", SpringRate, quo(poundForce, inch), byForce),
}

var pressureUnits = []unitRow{
	unit("Pa", Pressure, one, bySI),
	unit("hPa", Pressure, whole(100), bySI),
	unit("kPa", Pressure, kilo, bySI),
	unit("MPa", Pressure, mega, bySI, "N/mm2"),
	unit("GPa", Pressure, giga, bySI),
	unit("mbar", Pressure, whole(100), "bar of 100 kPa"),
	unit("bar", Pressure, bar, "bar of 100 kPa"),
	unit("psi", Pressure, quo(poundForce, squareInch), byForce, "lbf/in2", "psi_per"),
	unit("kgf/cm2", Pressure, quo(kilogramForce, squareCm), byGravity, "kg/cm2"),
	unit("atm", Pressure, whole(101325), "standard atmosphere, 101.325 kPa exactly"),
	unit("mmHg", Pressure, mul(mercury, milli), byMercury, "mm Hg", "mmHg_conv"),
	unit("inHg", Pressure, mul(mercury, inch), byMercury, "in Hg", "inHg_conv"),
	unit("inH2O", Pressure, mul(water, inch), byWater, "in H2O"),
}

var temperatureUnits = []unitRow{
	unit("K", Temperature, one, bySI),
	unit("degC", Temperature, one, byKelvin, "deg C", "celsius").from(exact("273.15")),
	unit("degF", Temperature, exact("5/9"), byKelvin+"; 32 degF is 0 degC, 212 degF is 100 degC",
		"deg F", "fahrenheit").from(quo(exact("459.67"), exact("1.8"))),

	unit("1/K", Expansion, one, bySI),
	unit("1e-6/K", Expansion, micro, bySI, "1e-6/degC", "um/(m K)", "ppm/K"),

	unit("J/(kg K)", SpecificHeat, one, bySI),
	unit("kJ/(kg K)", SpecificHeat, kilo, bySI),

	unit("W/K", HeatTransfer, one, bySI),
	unit("kW/K", HeatTransfer, kilo, bySI),
}

var turningUnits = []unitRow{
	unit("deg", Angle, one, byTurn, "degree", "degrees"),
	unit("rad", Angle, quo(whole(180), pi), byPi).written("180/pi"),

	unit("rpm", RotationalSpeed, one, byTurn, "1/min", "rev/min", "r/min", "RPM"),
	unit("rad/s", RotationalSpeed, quo(whole(30), pi), byPi).written("30/pi"),

	unit("m3/deg", VolumePerAngle, one, bySI),
	unit("cm3/deg", VolumePerAngle, cubicCm, bySI, "cc/deg"),

	unit("m3/rev", DisplacementPerTurn, one, bySI),
	unit("cm3/rev", DisplacementPerTurn, cubicCm, bySI, "cc/rev"),
}

var motionUnits = []unitRow{
	unit("m/s", Velocity, one, bySI),
	unit("mm/s", Velocity, milli, bySI),
	unit("km/h", Velocity, quo(kilo, hour), byTime, "kph"),
	unit("mph", Velocity, quo(mile, hour), byInch+"; mile of 5280 ft"),
	unit("kn", Velocity, quo(whole(1852), hour), "nautical mile of 1852 m", "knot", "knots"),
	unit("ft/min", Velocity, quo(foot, minute), byInch, "fpm"),
	unit("ft/s", Velocity, foot, byInch),

	unit("m/s2", Acceleration, one, bySI),
	unit("mm/h", LengthRate, quo(milli, hour), byTime, "mm/hr"),
	unit("in/h", LengthRate, quo(inch, hour), byInch, "in/hr"),
}

var energyUnits = []unitRow{
	unit("W", Power, one, bySI),
	unit("kW", Power, kilo, bySI),
	unit("hp", Power, horsepower, "550 ft lbf/s; "+byForce, "HP", "hp_550"),
	unit("metric hp", Power, metricHorsepower, byPS, "PS"),

	unit("J", Energy, one, bySI),
	unit("kJ", Energy, kilo, bySI),
	unit("MJ", Energy, mega, bySI),
	unit("kWh", Energy, kilowattHour, byTime, "kW h"),
	unit("BTU_IT", Energy, exact("1055.05585262"), "International Table unit, 1055.05585262 J exactly", "Btu_IT"),

	unit("kg/J", SpecificConsumption, one, bySI),
	unit("g/kWh", SpecificConsumption, quo(gram, kilowattHour), byTime, "g/(kW h)", "g/kW h"),
	unit("lb/(hp h)", SpecificConsumption, quo(pound, mul(horsepower, hour)), byForce+"; hp of 550 ft lbf/s",
		"lb/(hp hr)", "lb/hp h", "lb/hp hr"),
	unit("g/(PS h)", SpecificConsumption, quo(gram, mul(metricHorsepower, hour)), byPS, "g/PS h", "g/(metric hp h)"),
}

var timeUnits = []unitRow{
	unit("s", Time, one, bySI, "sec"),
	unit("ms", Time, milli, bySI),
	unit("us", Time, micro, bySI),
	unit("min", Time, minute, byTime),
	unit("h", Time, hour, byTime, "hr", "hrs", "hour", "hours"),
	unit("d", Time, mul(whole(24), hour), byTime, "day", "days"),

	unit("Hz", Frequency, one, bySI, "1/s"),
	unit("kHz", Frequency, kilo, bySI),
}

var flowUnits = []unitRow{
	unit("m3/s", VolumeFlow, one, bySI),
	unit("m3/h", VolumeFlow, quo(one, hour), byTime),
	unit("L/s", VolumeFlow, litre, bySI, "l/s"),
	unit("L/min", VolumeFlow, quo(litre, minute), byTime, "l/min"),
	unit("L/h", VolumeFlow, quo(litre, hour), byTime, "l/h", "L/hr"),
	unit("cm3/min", VolumeFlow, quo(cubicCm, minute), byTime, "cc/min", "mL/min", "ml/min"),
	unit("ft3/min", VolumeFlow, quo(cube(foot), minute), byInch, "cfm"),
	unit("US gal/min", VolumeFlow, quo(usGallon, minute), byGallon),
	unit("US gal/h", VolumeFlow, quo(usGallon, hour), byGallon, "US gal/hr"),
	unit("imp gal/h", VolumeFlow, quo(impGallon, hour), "imperial gallon of 4.54609 L", "imp gal/hr"),

	unit("kg/s", MassFlow, one, bySI),
	unit("g/s", MassFlow, gram, bySI),
	unit("kg/h", MassFlow, quo(one, hour), byTime, "kg/hr"),
	unit("lb/h", MassFlow, quo(pound, hour), byPound, "lb/hr"),
	unit("lb/min", MassFlow, quo(pound, minute), byPound),
}

var otherUnits = []unitRow{
	unit("V", Voltage, one, bySI),
	unit("mV", Voltage, milli, bySI),
	unit("kV", Voltage, kilo, bySI),
}
