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

// factors are what the sizes of units are made of, in base units.
type factors struct {
	milli, micro, kilo, mega, giga, minute, hour                                           *big.Rat
	inch, foot, mile, squareInch, cubicInch, squareCm, litre, cubicCm, usGallon, impGallon *big.Rat
	gram, pound, ounce, gravity, poundForce, kilogramForce                                 *big.Rat
	bar, mercury, water, horsepower, metricHorsepower, kilowattHour                        *big.Rat
}

func newFactors() factors {
	var f factors
	f.milli = exact("1e-3")
	f.micro = exact("1e-6")
	f.kilo = exact("1e3")
	f.mega = exact("1e6")
	f.giga = exact("1e9")
	f.minute = whole(60)
	f.hour = whole(3600)

	f.inch = exact("0.0254")
	f.foot = mul(whole(12), f.inch)
	f.mile = mul(whole(5280), f.foot)
	f.squareInch = mul(f.inch, f.inch)
	f.cubicInch = cube(f.inch)
	f.squareCm = exact("1e-4")
	f.litre = f.milli
	f.cubicCm = f.micro
	f.usGallon = mul(whole(231), f.cubicInch)
	f.impGallon = exact("4.54609e-3")

	f.gram = f.milli
	f.pound = exact("0.45359237")
	f.ounce = quo(f.pound, whole(16))
	f.gravity = exact("9.80665")
	f.poundForce = mul(f.pound, f.gravity)
	f.kilogramForce = f.gravity

	f.bar = exact("1e5")
	f.mercury = mul(exact("13595.1"), f.gravity) // Pa for each metre of column
	f.water = mul(whole(1000), f.gravity)
	f.horsepower = mul(whole(550), f.foot, f.poundForce)
	f.metricHorsepower = mul(whole(75), f.kilogramForce)
	f.kilowattHour = mul(f.kilo, f.hour)
	return f
}

var one = whole(1)

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

// unitRows makes the table.
func unitRows() []unitRow {
	f := newFactors()
	var all []unitRow
	for _, group := range [][]unitRow{
		f.ratioUnits(), f.sizeUnits(), f.massUnits(), f.forceUnits(), f.pressureUnits(), f.temperatureUnits(),
		f.turningUnits(), f.motionUnits(), f.energyUnits(), f.timeUnits(), f.flowUnits(), f.otherUnits(),
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

func (f *factors) ratioUnits() []unitRow {
	return []unitRow{
		unit("1", Ratio, one, "a pure number"),
		unit("%", Ratio, exact("1e-2"), "hundredth", "percent", "per cent"),
		unit("1e-3", Ratio, f.milli, "thousandth", "‰"),
	}
}

func (f *factors) sizeUnits() []unitRow {
	return []unitRow{
		unit("m", Length, one, bySI),
		unit("cm", Length, exact("1e-2"), bySI),
		unit("mm", Length, f.milli, bySI),
		unit("um", Length, f.micro, bySI, "micron", "microns"),
		unit("km", Length, f.kilo, bySI),
		unit("in", Length, f.inch, byInch, "inch", "inches"),
		unit("thou", Length, mul(f.inch, f.milli), byInch),
		unit("ft", Length, f.foot, byInch, "foot", "feet"),

		unit("m2", Area, one, bySI),
		unit("cm2", Area, f.squareCm, bySI),
		unit("mm2", Area, f.micro, bySI),
		unit("in2", Area, f.squareInch, byInch, "sq in"),

		unit("m3", Volume, one, bySI),
		unit("L", Volume, f.litre, bySI, "l", "litre", "litres"),
		unit("mL", Volume, f.cubicCm, bySI, "ml"),
		unit("cm3", Volume, f.cubicCm, bySI, "cc", "ccm"),
		unit("mm3", Volume, exact("1e-9"), bySI),
		unit("in3", Volume, f.cubicInch, byInch, "cu in"),
		unit("US gal", Volume, f.usGallon, byGallon),
		unit("US fl oz", Volume, quo(f.usGallon, whole(128)), byGallon, "US floz"),
		unit("imp gal", Volume, f.impGallon, "definition of the imperial gallon, 4.54609 L exactly"),

		unit("1/m", Curvature, one, bySI),
		unit("1/mm", Curvature, f.kilo, bySI),
	}
}

func (f *factors) massUnits() []unitRow {
	return []unitRow{
		unit("kg", Mass, one, bySI),
		unit("g", Mass, f.gram, bySI),
		unit("mg", Mass, f.micro, bySI),
		unit("lb", Mass, f.pound, byPound, "lbs"),
		unit("oz", Mass, f.ounce, byPound),

		unit("kg/m3", Density, one, bySI),
		unit("g/cm3", Density, f.kilo, bySI, "kg/L", "kg/l", "g/mL", "g/ml", "g/cc"),

		unit("kg m", Unbalance, one, bySI),
		unit("g mm", Unbalance, f.micro, bySI),
		unit("g cm", Unbalance, exact("1e-5"), bySI),
		unit("oz.in", Unbalance, mul(f.ounce, f.inch), byPound+"; "+byInch),

		unit("kg m2", UnbalanceMoment, one, bySI),
		unit("g mm2", UnbalanceMoment, exact("1e-9"), bySI),
	}
}

func (f *factors) forceUnits() []unitRow {
	return []unitRow{
		unit("N", Force, one, bySI),
		unit("kN", Force, f.kilo, bySI),
		unit("lbf", Force, f.poundForce, byForce),
		unit("kgf", Force, f.kilogramForce, byGravity, "kp"),

		unit("N m", Torque, one, bySI, "Nm"),
		unit("lbf.ft", Torque, mul(f.poundForce, f.foot), byForce, "ft lbf", "ft lb", "lb ft"),
		unit("lbf.in", Torque, mul(f.poundForce, f.inch), byForce, "in lbf", "in lb"),
		unit("kgf.m", Torque, f.kilogramForce, byGravity, "m kgf"),

		unit("N/m", SpringRate, one, bySI),
		unit("N/mm", SpringRate, f.kilo, bySI),
		unit("lbf/in", SpringRate, quo(f.poundForce, f.inch), byForce),
	}
}

func (f *factors) pressureUnits() []unitRow {
	return []unitRow{
		unit("Pa", Pressure, one, bySI),
		unit("hPa", Pressure, whole(100), bySI),
		unit("kPa", Pressure, f.kilo, bySI),
		unit("MPa", Pressure, f.mega, bySI, "N/mm2"),
		unit("GPa", Pressure, f.giga, bySI),
		unit("mbar", Pressure, whole(100), "bar of 100 kPa"),
		unit("bar", Pressure, f.bar, "bar of 100 kPa"),
		unit("psi", Pressure, quo(f.poundForce, f.squareInch), byForce, "lbf/in2", "psi_per"),
		unit("kgf/cm2", Pressure, quo(f.kilogramForce, f.squareCm), byGravity, "kg/cm2"),
		unit("atm", Pressure, whole(101325), "standard atmosphere, 101.325 kPa exactly"),
		unit("mmHg", Pressure, mul(f.mercury, f.milli), byMercury, "mm Hg", "mmHg_conv"),
		unit("inHg", Pressure, mul(f.mercury, f.inch), byMercury, "in Hg", "inHg_conv"),
		unit("inH2O", Pressure, mul(f.water, f.inch), byWater, "in H2O"),
	}
}

func (f *factors) temperatureUnits() []unitRow {
	return []unitRow{
		unit("K", Temperature, one, bySI),
		unit("degC", Temperature, one, byKelvin, "deg C", "celsius").from(exact("273.15")),
		unit("degF", Temperature, exact("5/9"), byKelvin+"; 32 degF is 0 degC, 212 degF is 100 degC",
			"deg F", "fahrenheit").from(quo(exact("459.67"), exact("1.8"))),

		unit("1/K", Expansion, one, bySI),
		unit("1e-6/K", Expansion, f.micro, bySI, "1e-6/degC", "um/(m K)", "ppm/K"),

		unit("J/(kg K)", SpecificHeat, one, bySI),
		unit("kJ/(kg K)", SpecificHeat, f.kilo, bySI),

		unit("W/K", HeatTransfer, one, bySI),
		unit("kW/K", HeatTransfer, f.kilo, bySI),
	}
}

func (f *factors) turningUnits() []unitRow {
	return []unitRow{
		unit("deg", Angle, one, byTurn, "degree", "degrees"),
		unit("rad", Angle, quo(whole(180), pi()), byPi).written("180/pi"),

		unit("rpm", RotationalSpeed, one, byTurn, "1/min", "rev/min", "r/min", "RPM"),
		unit("rad/s", RotationalSpeed, quo(whole(30), pi()), byPi).written("30/pi"),

		unit("m3/deg", VolumePerAngle, one, bySI),
		unit("cm3/deg", VolumePerAngle, f.cubicCm, bySI, "cc/deg"),

		unit("m3/rev", DisplacementPerTurn, one, bySI),
		unit("cm3/rev", DisplacementPerTurn, f.cubicCm, bySI, "cc/rev"),
	}
}

func (f *factors) motionUnits() []unitRow {
	return []unitRow{
		unit("m/s", Velocity, one, bySI),
		unit("mm/s", Velocity, f.milli, bySI),
		unit("km/h", Velocity, quo(f.kilo, f.hour), byTime, "kph"),
		unit("mph", Velocity, quo(f.mile, f.hour), byInch+"; mile of 5280 ft"),
		unit("kn", Velocity, quo(whole(1852), f.hour), "nautical mile of 1852 m", "knot", "knots"),
		unit("ft/min", Velocity, quo(f.foot, f.minute), byInch, "fpm"),
		unit("ft/s", Velocity, f.foot, byInch),

		unit("m/s2", Acceleration, one, bySI),
		unit("mm/h", LengthRate, quo(f.milli, f.hour), byTime, "mm/hr"),
		unit("in/h", LengthRate, quo(f.inch, f.hour), byInch, "in/hr"),
	}
}

func (f *factors) energyUnits() []unitRow {
	return []unitRow{
		unit("W", Power, one, bySI),
		unit("kW", Power, f.kilo, bySI),
		unit("hp", Power, f.horsepower, "550 ft lbf/s; "+byForce, "HP", "hp_550"),
		unit("metric hp", Power, f.metricHorsepower, byPS, "PS"),

		unit("J", Energy, one, bySI),
		unit("kJ", Energy, f.kilo, bySI),
		unit("MJ", Energy, f.mega, bySI),
		unit("kWh", Energy, f.kilowattHour, byTime, "kW h"),
		unit("BTU_IT", Energy, exact("1055.05585262"), "International Table unit, 1055.05585262 J exactly", "Btu_IT"),

		unit("kg/J", SpecificConsumption, one, bySI),
		unit("g/kWh", SpecificConsumption, quo(f.gram, f.kilowattHour), byTime, "g/(kW h)", "g/kW h"),
		unit("lb/(hp h)", SpecificConsumption, quo(f.pound, mul(f.horsepower, f.hour)), byForce+"; hp of 550 ft lbf/s",
			"lb/(hp hr)", "lb/hp h", "lb/hp hr"),
		unit("g/(PS h)", SpecificConsumption, quo(f.gram, mul(f.metricHorsepower, f.hour)), byPS, "g/PS h", "g/(metric hp h)"),
	}
}

func (f *factors) timeUnits() []unitRow {
	return []unitRow{
		unit("s", Time, one, bySI, "sec"),
		unit("ms", Time, f.milli, bySI),
		unit("us", Time, f.micro, bySI),
		unit("min", Time, f.minute, byTime),
		unit("h", Time, f.hour, byTime, "hr", "hrs", "hour", "hours"),
		unit("d", Time, mul(whole(24), f.hour), byTime, "day", "days"),

		unit("Hz", Frequency, one, bySI, "1/s"),
		unit("kHz", Frequency, f.kilo, bySI),
	}
}

func (f *factors) flowUnits() []unitRow {
	return []unitRow{
		unit("m3/s", VolumeFlow, one, bySI),
		unit("m3/h", VolumeFlow, quo(one, f.hour), byTime),
		unit("L/s", VolumeFlow, f.litre, bySI, "l/s"),
		unit("L/min", VolumeFlow, quo(f.litre, f.minute), byTime, "l/min"),
		unit("L/h", VolumeFlow, quo(f.litre, f.hour), byTime, "l/h", "L/hr"),
		unit("cm3/min", VolumeFlow, quo(f.cubicCm, f.minute), byTime, "cc/min", "mL/min", "ml/min"),
		unit("ft3/min", VolumeFlow, quo(cube(f.foot), f.minute), byInch, "cfm"),
		unit("US gal/min", VolumeFlow, quo(f.usGallon, f.minute), byGallon),
		unit("US gal/h", VolumeFlow, quo(f.usGallon, f.hour), byGallon, "US gal/hr"),
		unit("imp gal/h", VolumeFlow, quo(f.impGallon, f.hour), "imperial gallon of 4.54609 L", "imp gal/hr"),

		unit("kg/s", MassFlow, one, bySI),
		unit("g/s", MassFlow, f.gram, bySI),
		unit("kg/h", MassFlow, quo(one, f.hour), byTime, "kg/hr"),
		unit("lb/h", MassFlow, quo(f.pound, f.hour), byPound, "lb/hr"),
		unit("lb/min", MassFlow, quo(f.pound, f.minute), byPound),
	}
}

func (f *factors) otherUnits() []unitRow {
	return []unitRow{
		unit("V", Voltage, one, bySI),
		unit("mV", Voltage, f.milli, bySI),
		unit("kV", Voltage, f.kilo, bySI),
	}
}
