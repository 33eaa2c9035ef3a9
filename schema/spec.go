package schema

import (
	"sync"

	"stackbook/schema/quantity"
)

// Spec is what is built: one file, spec.yaml, in the engine's folder.
func Spec() *Field { return theSpec() }

var theSpec = sync.OnceValue(func() *Field {
	f := group("spec", "what is built",
		name("format", "spec/1").must(),
		name("engine", "the engine's permanent number").must(),
		code("id", "written once by enrol; tells two engines of one number apart").must(),
		words("title", "the engine in a few words").must(),
		code("customer", "the customer's code; names stay in private/"),
		whole("build", "the build the folder describes").within("1", "99").must(),
		name("limits", "the limit set the engine is judged by; the book's default when left out"),
		choice("direction", "direction of rotation, seen from the front", "clockwise", "anticlockwise"),
		choice("drives_at", "the end that drives", "front", "rear"),
		specGeometry().must(),
		keyed("parts", "what is fitted, by position", PositionKey, fitted()),
		specPorting(), specInduction(), specFuel(), specIgnition(),
		specLubrication(), specCooling(), specExhaust(), specFasteners(),
		specBalance(), specTargets(), specOperating(),
		keyed("uncertainties", "how far a size above may be off, expanded with k = 2, by its path: geometry.eccentricity: 0.01 mm; sizes left out are taken as exact", OwnKey, anyAmount("", "how far it may be off")),
		photos(),
		free("shop", "the shop's own fields, free in form"),
	)
	return &f
})

func specGeometry() Field {
	return group("geometry", "the sizes everything follows from",
		whole("rotors", "number of rotors").within("1", "12").must(),
		size("generating_radius", "rotor centre to the centre of the rounded seal tip; never the tip radius"),
		amount("seal_tip_radius", quantity.Length, "mm", "radius of the rounded tip of the apex seal; the tip lies at generating radius plus this").within("0 mm", "20 mm"),
		size("eccentricity", "throw of the eccentric shaft"),
		size("chamber_width", "width of the rotor housing; the rotor is about 0.15 mm narrower"),
		series("phases", "angle of each lobe, from lobe 1, in the direction of rotation", amount("", quantity.Angle, "deg", "angle of one lobe")),
		series("stations", "axial place of each rotor's middle, from rotor 1, rearward positive", place("", "place of one rotor")).rising(),
		amount("flank_relief", quantity.Length, "mm", "how far the rotor flank lies inside the ideal one; rarely known: 0.05 mm of it is about 0.09 of a compression ratio").within("0 mm", "5 mm"),
		amount("recess_volume", quantity.Volume, "cm3", "plug holes and other recesses of one chamber").within("0 cm3", "200 cm3"),
		amount("pocket_volume", quantity.Volume, "cm3", "wanted volume of one rotor pocket, measured with liquid").within("0 cm3", "1000 cm3"),
		whole("pinion_teeth", "teeth of the stationary gear"),
		whole("ring_teeth", "teeth of the rotor's internal gear"),
	)
}

// fitted is one part where it is fitted.
func fitted() Field {
	return group("", "the part fitted here",
		code("part", "part number, the shop's or the maker's"),
		code("serial", "serial number"),
		code("lot", "lot, batch or bag"),
		code("supplier", "the supplier's code"),
		words("material", "material"),
		amount("expansion", quantity.Expansion, "1e-6/K", "linear expansion near room temperature; left out: that of the material, where it is a known one").within("0 1e-6/K", "100 1e-6/K"),
		words("compound", "compound of a seal or O-ring"),
		words("coating", "coating"),
		words("treatment", "heat or surface treatment"),
		choice("origin", "new parts are judged by the band for new work, used ones by the re-use limit", "new", "used"),
		amount("thickness", quantity.Length, "mm", "nominal thickness").within("0 mm", "1 m"),
		amount("width", quantity.Length, "mm", "nominal width").within("0 mm", "1 m"),
		amount("length", quantity.Length, "mm", "nominal length").within("0 mm", "3 m"),
		amount("height", quantity.Length, "mm", "nominal height").within("0 mm", "1 m"),
		amount("diameter", quantity.Length, "mm", "nominal diameter").within("0 mm", "1 m"),
		amount("mass", quantity.Mass, "g", "nominal mass").within("0 g", "500 kg"),
		words("size_class", "groove, bearing or spacer size class"),
		amount("hours_at_fitting", quantity.Time, "h", "hours the part had run, in other engines too, when it was fitted here; a new part's are none").within("0 h", "100000 h"),
		amount("engine_hours_at_fitting", quantity.Time, "h", "hours of this engine when the part was fitted; left out: those of the last replacement that touched it, else none").within("0 h", "100000 h"),
		testEvery(),
		words("substitute_for", "the part this one stands in for"),
		series("work", "what was done to the part", words("", "one operation")),
		words("note", "anything else"),
	)
}

func specPorting() Field {
	return group("porting", "ports and their timing",
		choice("intake", "kind of intake port", "side", "peripheral", "side and peripheral", "bridge"),
		choice("exhaust", "kind of exhaust port", "side", "peripheral"),
		amount("intake_opens", quantity.Angle, "deg", "intake opens, shaft degrees after the top dead centre between exhaust and intake; before it is negative").within("-360 deg", "360 deg"),
		amount("intake_closes", quantity.Angle, "deg", "intake closes, shaft degrees after intake bottom dead centre").within("-270 deg", "270 deg"),
		amount("exhaust_opens", quantity.Angle, "deg", "exhaust opens, shaft degrees before expansion bottom dead centre").within("-270 deg", "270 deg"),
		amount("exhaust_closes", quantity.Angle, "deg", "exhaust closes, shaft degrees after the top dead centre between exhaust and intake; before it is negative").within("-360 deg", "360 deg"),
		amount("intake_area", quantity.Area, "mm2", "smallest intake section of one rotor, square to the flow"),
		amount("exhaust_area", quantity.Area, "mm2", "smallest exhaust section of one rotor, square to the flow"),
		keyed("ports", "each port of each rotor", PositionKey, group("", "one port",
			choice("state", "open or filled", "open", "filled"),
			amount("area", quantity.Area, "mm2", "smallest section, square to the flow"),
			amount("opens", quantity.Angle, "deg", "opening angle, as the field of the same name above").within("-360 deg", "720 deg"),
			amount("closes", quantity.Angle, "deg", "closing angle, as the field of the same name above").within("-360 deg", "720 deg"),
			code("template", "number of the port template"),
			words("note", "anything else"))),
		code("template", "number of the port template"),
		words("note", "anything else"),
	)
}

func specInduction() Field {
	return group("induction", "what the engine breathes through",
		words("kind", "carburettor, throttle bodies, plenum, charger"),
		amount("runner_length", quantity.Length, "mm", "port edge to open end, one way").within("0 mm", "5 m"),
		amount("runner_diameter", quantity.Length, "mm", "inside diameter of a runner").within("0 mm", "500 mm"),
		keyed("runners", "runners that differ from rotor to rotor", PositionKey, group("", "one runner",
			amount("length", quantity.Length, "mm", "port edge to open end, one way"),
			amount("diameter", quantity.Length, "mm", "inside diameter").within("0 mm", "1 m"))),
		amount("throttle_diameter", quantity.Length, "mm", "diameter of one throttle plate").within("0 mm", "500 mm"),
		whole("throttles", "number of throttle plates"),
		amount("plenum_volume", quantity.Volume, "L", "volume of the plenum"),
		heat("air_temperature", "air temperature in the runner for tuning"),
		amount("tuning_angle", quantity.Angle, "deg", "shaft angle the wave has for its trips: a choice, such as intake opening to bottom dead centre").within("1 deg", "1080 deg"),
		amount("volumetric_efficiency", quantity.Ratio, "%", "assumed or measured filling, and against which density, in the note").within("1 %", "300 %"),
		words("filter", "air filter or screen"),
		words("flame_arrester", "flame arrester"),
		words("note", "anything else"),
	)
}

func specFuel() Field {
	return group("fuel", "fuel and how it gets in",
		words("kind", "fuel"),
		words("octane", "octane number and which: RON, MON"),
		amount("density", quantity.Density, "g/cm3", "density at 15 degC").within("0.05 g/cm3", "2 g/cm3"),
		whole("injectors", "number of injectors"),
		amount("injector_flow", quantity.VolumeFlow, "cm3/min", "static flow of one injector at the test pressure"),
		amount("injector_test_pressure", quantity.Pressure, "kPa", "pressure difference the flow was measured at").within("0 kPa", "50 MPa"),
		amount("rail_pressure", quantity.Pressure, "kPa", "rail over manifold pressure").within("0 kPa", "50 MPa"),
		amount("dead_time", quantity.Time, "ms", "injector dead time").within("0 ms", "100 ms"),
		amount("consumption", quantity.SpecificConsumption, "g/kWh", "assumed or measured specific consumption"),
		words("pump", "fuel pump"),
		amount("premix", quantity.Ratio, "1", "parts of fuel to one of oil, by volume").within("1", "1000"),
		words("premix_oil", "oil for the premix"),
		words("note", "anything else"),
	)
}

func specIgnition() Field {
	return group("ignition", "ignition and the map",
		words("kind", "ignition system"),
		words("plugs_leading", "leading plugs: type and heat range"),
		words("plugs_trailing", "trailing plugs: type and heat range"),
		amount("plug_gap", quantity.Length, "mm", "plug gap").within("0 mm", "5 mm"),
		amount("advance", quantity.Angle, "deg", "advance at full load, before top dead centre").within("-90 deg", "120 deg"),
		amount("split", quantity.Angle, "deg", "trailing after leading").within("-90 deg", "120 deg"),
		amount("limiter", quantity.RotationalSpeed, "rpm", "speed limiter"),
		words("controller", "engine controller and its firmware"),
		code("map_hash", "hash of the map file as delivered"),
		words("map_author", "who wrote the map, by initials"),
		words("map_locked", "who may alter the map"),
		words("mixture", "mixture at full load"),
		words("knock", "how knock is watched"),
		words("note", "anything else"),
	)
}

func specLubrication() Field {
	return group("lubrication", "the oil system",
		choice("kind", "wet or dry sump", "wet sump", "dry sump"),
		words("oil", "oil"),
		amount("oil_volume", quantity.Volume, "L", "oil in the system"),
		amount("pressure_displacement", quantity.DisplacementPerTurn, "cm3/rev", "displacement of the pressure stage"),
		amount("scavenge_displacement", quantity.DisplacementPerTurn, "cm3/rev", "displacement of all scavenge stages together"),
		whole("scavenge_stages", "number of scavenge stages"),
		whole("drive_teeth", "teeth on the driving pulley or gear"),
		whole("pump_teeth", "teeth on the pump's pulley or gear"),
		whole("belt_teeth", "teeth of the belt"),
		amount("belt_pitch", quantity.Length, "mm", "pitch of the belt").within("0.5 mm", "100 mm"),
		amount("belt_centres", quantity.Length, "mm", "distance between the pulley centres").within("1 mm", "5 m"),
		amount("pump_efficiency", quantity.Ratio, "%", "volumetric efficiency of the pump").within("1 %", "100 %"),
		amount("relief_pressure", quantity.PressureGauge, "kPa", "pressure the relief valve opens at").within("0 kPa", "10 MPa"),
		words("jets", "oil jets: size and state"),
		words("feeds", "external feeds and their routing"),
		words("cooler", "oil cooler"),
		words("filter", "oil filter"),
		words("metering", "metering pump or premix only"),
		flag("stock_pump", "yes: the pump of a production engine, on the shaft"),
		words("note", "anything else"),
	)
}

func specCooling() Field {
	return group("cooling", "the coolant's way through the engine",
		choice("routing", "how the housings are fed", "front to rear", "rear to front", "centre feed", "parallel"),
		whole("feed_after", "centre feed: housings in front of the feed"),
		words("path", "the routing in words: which passages, which are blocked, which added"),
		amount("flow", quantity.VolumeFlow, "L/min", "coolant flow"),
		heat("inlet", "coolant temperature at the inlet"),
		keyed("feeds", "each feed: its passages", OwnKey, group("", "one feed",
			at("at", "where it enters"),
			whole("passages", "number of passages"),
			amount("diameter", quantity.Length, "mm", "diameter of one passage").within("0 mm", "1 m"))),
		words("coolant", "coolant and its mixture"),
		amount("cap_pressure", quantity.PressureGauge, "kPa", "pressure the cap opens at").within("0 kPa", "1000 kPa"),
		words("pump", "coolant pump"),
		words("thermostat", "thermostat or restrictor"),
		amount("coolant_density", quantity.Density, "kg/m3", "density of the coolant; left out: half glycol, half water at 80 degC").within("500 kg/m3", "1500 kg/m3"),
		amount("coolant_heat", quantity.SpecificHeat, "kJ/(kg K)", "specific heat of the coolant; left out: half glycol, half water").within("0.5 kJ/(kg K)", "10 kJ/(kg K)"),
		amount("housing_heat", quantity.Power, "kW", "heat to the coolant from one housing, assumed"),
		amount("conductance", quantity.HeatTransfer, "kW/K", "heat to the coolant a degree between metal and coolant, of one housing, assumed").within("0.001 kW/K", "100 kW/K"),
		heat("housing_temperature", "assumed mean housing temperature, for hot clearances"),
		heat("rotor_temperature", "assumed mean rotor temperature, for hot clearances"),
		amount("housing_expansion", quantity.Expansion, "1e-6/K", "expansion of the housing material"),
		amount("rotor_expansion", quantity.Expansion, "1e-6/K", "expansion of the rotor material"),
		words("note", "anything else"),
	)
}

func specExhaust() Field {
	return group("exhaust", "the exhaust",
		words("kind", "header, manifold, water-cooled elbow"),
		amount("primary_length", quantity.Length, "mm", "port to collector"),
		amount("primary_diameter", quantity.Length, "mm", "inside diameter of a primary").within("1 mm", "1 m"),
		words("collector", "collector"),
		words("silencer", "silencer"),
		words("note", "anything else"),
	)
}

func specFasteners() Field {
	return group("fasteners", "what holds the stack",
		whole("bolts", "number of tension bolts"),
		amount("thread", quantity.Length, "mm", "nominal thread diameter").within("1 mm", "100 mm"),
		amount("pitch", quantity.Length, "mm", "thread pitch").within("0.1 mm", "20 mm"),
		words("property_class", "property class: 10.9, 12.9"),
		amount("length", quantity.Length, "mm", "length between head and thread engagement"),
		amount("shank_diameter", quantity.Length, "mm", "shank diameter").within("1 mm", "100 mm"),
		amount("torque", quantity.Torque, "N m", "tightening torque, last pass").within("0 N m", "1000 N m"),
		series("passes", "torque of each pass", amount("", quantity.Torque, "N m", "torque of one pass").within("0 N m", "1000 N m")),
		words("sequence", "order of tightening"),
		words("lubricant", "what the threads and heads were wetted with"),
		amount("nut_factor", quantity.Ratio, "1", "nut factor K").within("0.01", "1"),
		words("sealant", "sealant and where"),
		amount("stack_expansion", quantity.Expansion, "1e-6/K", "expansion of what the bolts clamp, for the hot clamp load"),
		amount("bolt_expansion", quantity.Expansion, "1e-6/K", "expansion of the bolts"),
		heat("stack_temperature", "assumed mean temperature of stack and bolts, hot"),
		words("note", "anything else"),
	)
}

func specBalance() Field {
	return group("balance", "how the shaft is balanced",
		place("front_plane", "axial place of the front counterweight's centre of mass, from rotor 1, rearward positive"),
		place("rear_plane", "axial place of the rear counterweight's centre of mass, from rotor 1, rearward positive"),
		amount("oil_allowance", quantity.Mass, "g", "oil carried in one rotor, added to its mass").within("0 g", "1 kg"),
		amount("grade", quantity.Velocity, "mm/s", "balance quality grade of ISO 21940-11: 2.5 mm/s for G 2.5").within("0.01 mm/s", "4000 mm/s"),
		amount("speed", quantity.RotationalSpeed, "rpm", "speed the grade is applied at"),
		amount("assembly_mass", quantity.Mass, "kg", "mass of the balanced shaft with counterweights and bob weights").within("0.001 kg", "1000 kg"),
		keyed("lobes", "unbalance of the shaft's own lobes, as extra items", PositionKey, group("", "one lobe",
			amount("unbalance", quantity.Unbalance, "g mm", "mass times radius, at the lobe's own phase"))),
		words("method", "machine, bob weights and how they were made up"),
		series("holes", "balance holes: where on which part, diameter and depth", words("", "one hole")),
		words("note", "anything else"),
	)
}

func specTargets() Field {
	return group("targets", "what the build aims at",
		amount("power", quantity.Power, "kW", "wanted power"),
		amount("power_speed", quantity.RotationalSpeed, "rpm", "at this speed"),
		amount("torque", quantity.Torque, "N m", "wanted torque"),
		amount("torque_speed", quantity.RotationalSpeed, "rpm", "at this speed"),
		amount("compression_ratio", quantity.Ratio, "1", "wanted geometric compression ratio").within("1", "30"),
		gap("side_clearance", "wanted rotor side clearance"),
		gap("apex_seal_end_gap", "wanted apex seal end gap"),
		gap("apex_seal_side_clearance", "wanted apex seal side clearance"),
		gap("end_float", "wanted end float"),
		series("spacers", "end float spacers at hand", size("", "thickness of one spacer")),
		amount("two_rotor_power", quantity.Power, "kW", "what a two-rotor of this kind makes in this shop"),
		amount("service_interval", quantity.Time, "h", "hours between openings"),
		words("note", "anything else"),
	)
}

func specOperating() Field {
	return group("operating", "what the customer was told",
		amount("speed_continuous", quantity.RotationalSpeed, "rpm", "greatest continuous speed"),
		amount("speed_momentary", quantity.RotationalSpeed, "rpm", "greatest momentary speed"),
		amount("speed_cranking", quantity.RotationalSpeed, "rpm", "expected cranking speed"),
		words("oil", "oil"),
		words("fuel", "fuel and octane"),
		words("premix", "premix: oil and ratio, or none"),
		words("coolant", "coolant"),
		heat("coolant_alarm", "coolant temperature to back off at"),
		heat("coolant_stop", "coolant temperature to stop at once"),
		heat("oil_alarm", "oil temperature to back off at"),
		heat("oil_stop", "oil temperature to stop at once"),
		amount("oil_pressure_stop", quantity.PressureGauge, "kPa", "hot oil pressure at speed to stop at once below").within("0 kPa", "10 MPa"),
		amount("exhaust_stop", quantity.Temperature, "degC", "exhaust temperature to stop at once").within("0 degC", "1400 degC"),
		heat("coolant_before_load", "coolant temperature to reach before load"),
		heat("oil_before_load", "oil temperature to reach before load"),
		amount("first_check", quantity.Time, "h", "hours to the first check"),
		words("warm_up", "how to warm up"),
		words("running_in", "how to run in"),
		words("priming", "how to prime"),
		words("mass_and_lifting", "mass of the engine and its lifting points"),
		words("duty", "what the engine is used for"),
		day("sent", "the day these limits were sent to the customer"),
		words("receipt", "how their receipt was confirmed"),
		words("note", "anything else"),
	)
}

// photos names attachments with their hash (R25).
func photos() Field {
	return series("photos", "small attachments in the engine's folder", group("", "one attachment",
		words("file", "path inside the engine's folder").must(),
		code("sha256", "SHA-256 of the file").must(),
		words("caption", "what it shows"),
		at("at", "the position it shows"),
	)).known("file")
}
