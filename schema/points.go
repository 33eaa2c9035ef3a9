package schema

import (
	"sync"

	"stackbook/schema/quantity"
)

// stages puts short words into the tables below: R as received, S as found,
// C after cleaning, I incoming, K crack test, W machining, M mock-up,
// B balance, F final assembly, L leak test, P priming, N cranking, X first
// start, Y running-in, D dyno, U running.
func stages(letters string) []string {
	names := map[rune]string{
		'R': "as-received", 'S': "as-found", 'C': "after-cleaning", 'I': "incoming", 'K': "crack-test",
		'W': "machining", 'M': "mock-up", 'B': "balance", 'F': "assembly", 'L': "leak-test", 'P': "priming",
		'N': "cranking", 'X': "first-start", 'Y': "running-in", 'D': "dyno", 'U': "running",
	}
	var list []string
	for _, letter := range letters {
		list = append(list, names[letter])
	}
	return list
}

const (
	micrometer = "outside micrometer"
	boreGauge  = "bore gauge set with a ring or micrometer"
	feeler     = "feeler gauge: what enters and what does not, an interval and not a value"
	indicator  = "dial indicator on a firm stand"
	scale      = "scale that resolves 1 g"
)

// Points is the dictionary of what is measured, in the order a rotary engine
// is measured. Ways of measuring and cautions are common practice, no source,
// unless one is named.
func Points() []Point { return points() }

var points = sync.OnceValue(func() []Point {
	return joinPoints(assemblyPoints(), housingPoints(), platePoints(), shaftPoints(), rotorPoints(), sealPoints(), balancePoints(), runPoints())
})

func joinPoints(lists ...[]Point) []Point {
	var all []Point
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

func assemblyPoints() []Point {
	return []Point{
		{ID: "cranking_pressure", Title: "cranking pressure", Dim: quantity.PressureGauge, Unit: "kPa", At: []Pattern{"rotor/*r"}, Places: []Pattern{"pulse/1-3"}, Sequence: true,
			Judge: Smallest, Low: "0 kPa", High: "3000 kPa", Stages: stages("RNYD"), Priority: 1,
			With:    "rotary compression tester that shows three pulses",
			How:     "Full throttle, plugs of the other rotors out, battery strong; note the three pulses in the order they come, and the speed.",
			Caution: "The pulses are a sequence, not named faces, unless a mark was logged. Fuel and ignition off; keep clear of the plug holes."},
		{ID: "cranking_speed", Title: "cranking speed", Dim: quantity.RotationalSpeed, Unit: "rpm", At: []Pattern{"rotor/*r", "engine"},
			Low: "20 rpm", High: "1500 rpm", Stages: stages("RNYD"), Priority: 1, With: "tester or pick-up on the shaft",
			How: "Read it during the three pulses; pressures at speeds more than a tenth apart are not comparable."},
		{ID: "coolant_pressure_loss", Title: "coolant pressure loss", Dim: quantity.Pressure, Unit: "kPa", At: []Pattern{"engine", "housing/*r"}, Ask: []Pattern{"engine"},
			Judge: Largest, Low: "0 kPa", High: "500 kPa", Stages: stages("RFL"), Priority: 2, With: "pressure tester with a gauge",
			How:     "Pump the cold, full system up to the test pressure, shut off, and read the fall after ten minutes; name pressure and time in the method.",
			Caution: "Never open or pump up a hot system."},
		{ID: "coolant_bubbles", Title: "where bubbles or coolant show", Text: true, At: []Pattern{"plug/*r/leading|trailing", "housing/*r", "joint/housing-*r/front|rear/inner|outer"},
			Stages: stages("RL"), Priority: 2, With: "eye and lamp", How: "Under test pressure, look into each plug hole and along each joint."},
		{ID: "end_float", Title: "end float", Dim: quantity.Length, Unit: "mm", At: []Pattern{"engine"},
			Judge: Largest, Low: "0 mm", High: "2 mm", Stages: stages("RMF"), Priority: 3, With: indicator,
			How: "Indicator on the shaft end, push and pull by hand against each stop, three times."},
		{ID: "spacer_thickness", Title: "end float spacer", Dim: quantity.Length, Unit: "mm", At: []Pattern{"spacer"}, Part: 1, Size: true,
			Nominal: "parts.{part}.thickness", Low: "0.1 mm", High: "50 mm", Stages: stages("CMF"), Priority: 3, With: micrometer, How: "At three places around."},
		{ID: "loosening_torque", Title: "loosening torque", Dim: quantity.Torque, Unit: "N m", At: []Pattern{"bolt/*n"},
			Judge: Smallest, Low: "0 N m", High: "1000 N m", Stages: stages("S"), Priority: 4, With: "torque wrench that holds its peak",
			How: "Loosen in the numbered order, read the peak as each bolt breaks free."},
		{ID: "tightening_torque", Title: "tightening torque", Dim: quantity.Torque, Unit: "N m", At: []Pattern{"bolt/*n"},
			Judge: Smallest, Low: "0 N m", High: "1000 N m", Stages: stages("F"), Priority: 25, With: "torque wrench in its calibrated range",
			How: "The last pass, with the lubricant the spec names."},
		{ID: "bolt_stretch", Title: "bolt stretch", Dim: quantity.Length, Unit: "mm", At: []Pattern{"bolt/*n"},
			Low: "0 mm", High: "10 mm", Stages: stages("F"), Priority: 25, With: "stretch gauge or depth micrometer", How: "Length tightened less length free, at the same temperature."},
		{ID: "turning_torque", Title: "turning torque", Dim: quantity.Torque, Unit: "N m", At: []Pattern{"engine"},
			Judge: Largest, Low: "0 N m", High: "500 N m", Stages: stages("F"), Priority: 25, With: "beam torque wrench", How: "Plugs out, turned slowly through one whole turn of a rotor; the greatest steady reading."},
		{ID: "joint_state", Title: "state of the coolant seal", Text: true, At: []Pattern{"joint/housing-*r/front|rear/inner|outer"}, Part: 4,
			Places: []Pattern{"clock/*n"}, Stages: stages("S"), Priority: 6, With: "eye, picture first",
			How: "By clock position seen from the front: soft, hard, extruded, cut, missing."},
		{ID: "land_corrosion", Title: "corrosion of coolant groove and land", Dim: quantity.Length, Unit: "mm", At: []Pattern{"joint/housing-*r/front|rear/inner|outer"},
			Places: []Pattern{"clock/*n"}, Judge: Largest, Low: "0 mm", High: "10 mm", Stages: stages("C"), Priority: 6, With: "depth gauge", How: "The deepest pit in the groove or on its land, by clock position seen from the front."},
		{ID: "oil_jet_state", Title: "state of the oil jets", Text: true, At: []Pattern{"oil/jet", "shaft/lobe/*r"},
			Stages: stages("CIF"), Priority: 25, With: "pin gauge and light", How: "Bore of each jet, open or blocked, and which way it points."},
	}
}

func housingPoints() []Point {
	return []Point{
		{ID: "housing_width", Title: "housing width", Dim: quantity.Length, Unit: "mm", At: []Pattern{"housing/*r"}, Places: []Pattern{"at/A|B|C|D"}, Part: 2, Size: true,
			Nominal: "geometry.chamber_width", Low: "5 mm", High: "400 mm", Stages: stages("CIM"), Priority: 7, With: micrometer,
			How:     "At A, away from the plugs and ports, and at B, C and D around the bore; say in the method whether free or clamped.",
			Caution: "Clamping shortens an aluminium housing by some 0.02 mm; an overheated one has shrunk on the plug side."},
		{ID: "bore_major_axis", Title: "bore, long axis", Dim: quantity.Length, Unit: "mm", At: []Pattern{"housing/*r"}, Places: []Pattern{"depth/front|middle|rear"}, Part: 2, Size: true,
			Low: "20 mm", High: "2 m", Stages: stages("CI"), Priority: 8, With: boreGauge, How: "At three depths."},
		{ID: "bore_minor_axis", Title: "bore, short axis", Dim: quantity.Length, Unit: "mm", At: []Pattern{"housing/*r"}, Places: []Pattern{"depth/front|middle|rear"}, Part: 2, Size: true,
			Low: "20 mm", High: "2 m", Stages: stages("CI"), Priority: 8, With: boreGauge, How: "At three depths."},
		{ID: "scratch_depth", Title: "deepest scratch in the bore", Dim: quantity.Length, Unit: "mm", At: []Pattern{"housing/*r"}, Part: 2,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("C"), Priority: 8, With: "depth indicator or replica", How: "The deepest one, with its clock position in the note."},
		{ID: "edge_chipping", Title: "chipping of the bore's edge", Dim: quantity.Length, Unit: "mm", At: []Pattern{"housing/*r"}, Part: 2,
			Judge: Largest, Low: "0 mm", High: "50 mm", Stages: stages("C"), Priority: 8, With: "scale and loupe", How: "The widest chip of the coating at either edge."},
		{ID: "bore_state", Title: "coating, chatter, plug-hole cracks", Text: true, At: []Pattern{"housing/*r", "plug/*r/leading|trailing"}, Part: 2,
			Stages: stages("SC"), Priority: 8, With: "eye, lamp and loupe; dye where in doubt", How: "Coating worn through, flaked or chatter-marked, and cracks at the plug holes."},
	}
}

func platePoints() []Point {
	return []Point{
		{ID: "flatness", Title: "flatness of the face", Dim: quantity.Length, Unit: "mm", At: []Pattern{"plate/*p/front|rear"}, Places: []Pattern{"direction/1-4"}, Part: 2,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CI"), Priority: 9, With: "straight edge and feeler", How: "In four directions across the face."},
		{ID: "step_wear", Title: "step wear", Dim: quantity.Length, Unit: "mm", At: []Pattern{"plate/*p/front|rear"}, Places: []Pattern{"track/side|corner|oil"}, Part: 2,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("C"), Priority: 10, With: indicator, How: "Draw the indicator across the edge of each track and read the step."},
		{ID: "plate_thickness", Title: "plate thickness", Dim: quantity.Length, Unit: "mm", At: []Pattern{"plate/*p"}, Places: []Pattern{"at/A|B|C|D"}, Part: 2, Size: true,
			Low: "1 mm", High: "500 mm", Stages: stages("CIW"), Priority: 10, With: micrometer, How: "At four places; the difference tells parallelism."},
		{ID: "lapping_left", Title: "lapping or coating left", Dim: quantity.Length, Unit: "mm", At: []Pattern{"plate/*p/front|rear"}, Part: 2,
			Judge: Smallest, Low: "0 mm", High: "5 mm", Stages: stages("CW"), Priority: 10, With: "from the thickness and the part's first size", How: "Depth of hard layer or stock still to be taken off."},
		{ID: "material_removed", Title: "material ever removed", Dim: quantity.Length, Unit: "mm", At: []Pattern{"plate/*p/front|rear"}, Part: 2,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("W"), Priority: 10, With: "from the thickness before and after", How: "The sum over the plate's life."},
		{ID: "crack_test", Title: "crack test", Text: true, Words: []string{"clear", "mark", "cracked"}, At: []Pattern{"shaft", "rotor/*r", "rotor/*r/gear", "gear/front|centre|rear", "gear/*n", "counterweight/front|rear", "flywheel", "housing/*r", "plate/*p"}, Part: 3,
			Stages: stages("CIK"), Priority: 11, With: "magnetic particle for steel and iron, dye for aluminium and ceramics",
			How: "The result; method and who tested it beside it, the place and length of any mark in the note.", Caution: "This is the record of burst safety: a part that was not tested has an empty line, never a result."},
	}
}

func shaftPoints() []Point {
	return []Point{
		{ID: "journal_diameter", Title: "journal diameter", Dim: quantity.Length, Unit: "mm", At: []Pattern{"shaft/main/front|centre|rear", "shaft/main/*n", "shaft/lobe/*r"}, Places: []Pattern{"front|rear/x|y"}, Part: 1, Size: true,
			Low: "5 mm", High: "500 mm", Stages: stages("CIM"), Priority: 12, With: micrometer, How: "At two places along it, in two directions: x in the plane of lobe 1's throw, y square to it."},
		{ID: "runout", Title: "run-out of the shaft", Dim: quantity.Length, Unit: "mm", At: []Pattern{"shaft", "shaft/main/front|centre|rear", "shaft/main/*n"}, Part: 1,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CI"), Priority: 12, With: indicator, How: "On vee blocks at the end journals, one slow turn, whole indicator movement."},
		{ID: "bearing_bore", Title: "bearing bore", Dim: quantity.Length, Unit: "mm", At: []Pattern{"bearing/main/front|centre|rear", "bearing/main/*n", "bearing/rotor/*r"}, Places: []Pattern{"front|rear/x|y"}, Part: 3, Size: true,
			Low: "5 mm", High: "500 mm", Stages: stages("CM"), Priority: 13, With: boreGauge, How: "As fitted in its housing, at two depths, in two directions."},
		{ID: "gear_backlash", Title: "gear backlash", Dim: quantity.Length, Unit: "mm", At: []Pattern{"gear/front|centre|rear", "gear/*n", "rotor/*r/gear"},
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CM"), Priority: 14, With: indicator, How: "At the pitch circle, at four places around."},
		{ID: "gear_state", Title: "state of the teeth", Text: true, At: []Pattern{"gear/front|centre|rear", "gear/*n", "rotor/*r/gear"}, Part: 2,
			Stages: stages("SC"), Priority: 14, With: "eye and loupe", How: "Pitting, chipping, uneven bearing of the flanks."},
	}
}

func rotorPoints() []Point {
	return []Point{
		{ID: "rotor_width", Title: "rotor width", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r"}, Places: []Pattern{"corner/1-3"}, Part: 2, Size: true,
			Low: "5 mm", High: "400 mm", Stages: stages("CIM"), Priority: 15, With: micrometer, How: "Over the lands, near each of the three corners."},
		{ID: "land_standout", Title: "land stand-out", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear"}, Places: []Pattern{"corner/1-3"}, Part: 2,
			Judge: Smallest, Low: "0 mm", High: "5 mm", Stages: stages("CI"), Priority: 15, With: "depth micrometer", How: "From the land to the side of the rotor."},
		{ID: "apex_groove_width", Title: "apex seal groove width", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Places: []Pattern{"mouth|root/front|middle|rear"}, Part: 2, Size: true,
			Low: "0.5 mm", High: "20 mm", Stages: stages("CIM"), Priority: 16, With: "gauge blocks or go and no-go pins", How: "At mouth and root, at front, middle and rear.", Caution: "A calliper cannot measure a groove to the precision needed."},
		{ID: "apex_groove_depth", Title: "apex seal groove depth", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Places: []Pattern{"front|middle|rear"}, Part: 2, Size: true,
			Low: "0.5 mm", High: "50 mm", Stages: stages("CI"), Priority: 16, With: "depth micrometer", How: "At front, middle and rear."},
		{ID: "corner_bore", Title: "corner seal bore", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/corner/1-3"}, Places: []Pattern{"x|y"}, Part: 2, Size: true,
			Low: "1 mm", High: "60 mm", Stages: stages("CI"), Priority: 17, With: "go and no-go pins", How: "In two directions."},
		{ID: "side_groove_width", Title: "side seal groove width", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/side-seal/1-3"}, Places: []Pattern{"front|middle|rear"}, Part: 2, Size: true,
			Low: "0.2 mm", High: "10 mm", Stages: stages("CI"), Priority: 18, With: "feeler or gauge blocks", How: "At both ends and the middle."},
		{ID: "pocket_volume", Title: "pocket volume", Dim: quantity.Volume, Unit: "cm3", At: []Pattern{"rotor/*r/face/1-3"}, Part: 2,
			Nominal: "geometry.pocket_volume", Low: "0 cm3", High: "1000 cm3", Stages: stages("CIW"), Priority: 19, With: "burette and a clear plate", How: "Rotor face level, plate greased on, filled from the burette; three fillings."},
		{ID: "chamber_volume_at_tdc", Title: "whole chamber at top dead centre", Dim: quantity.Volume, Unit: "cm3", At: []Pattern{"rotor/*r/face/1-3", "rotor/*r"}, Part: 0,
			Low: "0 cm3", High: "2000 cm3", Stages: stages("M"), Priority: 19, With: "burette through the plug hole", How: "The assembled chamber at top dead centre; takes precedence over a ratio reckoned from the pocket.", Caution: "Let it settle: a bubble reads as volume."},
	}
}

func sealPoints() []Point {
	return []Point{
		{ID: "apex_seal_thickness", Title: "apex seal thickness", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Places: []Pattern{"front|middle|rear"}, Part: 4, Size: true,
			Nominal: "parts.{part}.thickness", Low: "0.5 mm", High: "20 mm", Stages: stages("CIM"), Priority: 20, With: micrometer, How: "At front, middle and rear; at the depth that sits in the groove's mouth."},
		{ID: "apex_seal_height", Title: "apex seal height", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Places: []Pattern{"front|middle|rear"}, Part: 4, Size: true,
			Nominal: "parts.{part}.height", Judge: Smallest, Low: "1 mm", High: "50 mm", Stages: stages("CIM"), Priority: 20, With: micrometer, How: "At front, middle and rear."},
		{ID: "apex_seal_length", Title: "apex seal length", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4, Size: true,
			Nominal: "parts.{part}.length", Low: "5 mm", High: "400 mm", Stages: stages("CIM"), Priority: 20, With: micrometer, How: "With all its pieces together."},
		{ID: "apex_seal_mass", Title: "apex seal mass", Dim: quantity.Mass, Unit: "g", At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4,
			Nominal: "parts.{part}.mass", Low: "0.1 g", High: "500 g", Stages: stages("CIM"), Priority: 20, With: "scale that resolves 0.1 g", How: "With all its pieces, clean and dry, without its spring."},
		{ID: "apex_seal_bow", Title: "apex seal bow", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CI"), Priority: 20, With: feeler, How: "Between the tops of two seals laid together, or on a surface plate; say which."},
		{ID: "apex_spring_height", Title: "apex spring free height", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4,
			Judge: Smallest, Low: "0 mm", High: "50 mm", Stages: stages("CI"), Priority: 20, With: "calliper or height gauge", How: "Free, on a flat plate."},
		{ID: "apex_spring_load", Title: "apex spring load at fitted height", Dim: quantity.Force, Unit: "N", At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4,
			Judge: Smallest, Low: "0 N", High: "1000 N", Stages: stages("CI"), Priority: 20, With: "spring tester", How: "Pressed to its height in the engine; the height goes in the note."},
		{ID: "apex_seal_state", Title: "state of the apex seal", Text: true, At: []Pattern{"rotor/*r/apex/1-3"}, Part: 4,
			Stages: stages("SC"), Priority: 5, With: "eye and loupe, picture first", How: "Chipped, cracked, stuck, worn out of square; before cleaning and after."},
		{ID: "apex_seal_standout", Title: "apex seal stand-out, sprung", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"},
			Judge: Smallest, Low: "0 mm", High: "20 mm", Stages: stages("S"), Priority: 5, With: "depth gauge", How: "Before cleaning, with its spring, and whether it moves."},
		{ID: "corner_seal_diameter", Title: "corner seal diameter", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/corner/1-3"}, Part: 5, Size: true,
			Low: "1 mm", High: "60 mm", Stages: stages("CI"), Priority: 17, With: micrometer, How: "Across, clear of the slot."},
		{ID: "corner_seal_standout", Title: "corner seal stand-out, sprung", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/corner/1-3"},
			Judge: Smallest, Low: "0 mm", High: "10 mm", Stages: stages("SC"), Priority: 17, With: "depth gauge", How: "With its spring fitted."},
		{ID: "side_seal_thickness", Title: "side seal thickness", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/side-seal/1-3"}, Part: 5, Size: true,
			Low: "0.2 mm", High: "10 mm", Stages: stages("CI"), Priority: 18, With: micrometer, How: "At both ends and the middle; the worst is entered."},
		{ID: "side_seal_standout", Title: "side seal stand-out, sprung", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/side-seal/1-3"},
			Judge: Smallest, Low: "0 mm", High: "10 mm", Stages: stages("SC"), Priority: 18, With: "depth gauge", How: "With its spring fitted."},
		{ID: "side_seal_end_gap", Title: "side seal end gap, one end", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/side-seal/1-3"}, Places: []Pattern{"end/1|2"},
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CM"), Priority: 22, With: feeler, How: "Between seal and corner seal, at each end; the sum of both is reckoned."},
		{ID: "oil_ring_lip", Title: "oil ring lip width", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/oil-ring/inner|outer"}, Part: 5,
			Judge: Largest, Low: "0 mm", High: "5 mm", Stages: stages("CI"), Priority: 21, With: "loupe with a scale", How: "The widest place of the polished lip."},
		{ID: "oil_ring_standout", Title: "oil ring stand-out, sprung", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/front|rear/oil-ring/inner|outer"},
			Judge: Smallest, Low: "0 mm", High: "10 mm", Stages: stages("CM"), Priority: 21, With: "depth gauge", How: "With spring and O-ring fitted."},
		{ID: "apex_seal_end_gap_felt", Title: "apex seal end gap by feeler", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"},
			Low: "0 mm", High: "5 mm", Stages: stages("M"), Priority: 22, With: feeler, How: "Seal in its groove between two straight edges, or in the clamped housing; say which."},
		{ID: "apex_seal_side_clearance_felt", Title: "apex seal side clearance by feeler", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r/apex/1-3"},
			Low: "0 mm", High: "2 mm", Stages: stages("M"), Priority: 22, With: feeler, How: "Seal in its groove, without spring."},
		{ID: "radial_clearance", Title: "rotor to bore at the waist", Dim: quantity.Length, Unit: "mm", At: []Pattern{"rotor/*r"}, Places: []Pattern{"face/1-3"},
			Judge: Smallest, Low: "0 mm", High: "10 mm", Stages: stages("M"), Priority: 22, With: feeler, How: "Each face at the waist without seals; look for rub marks."},
		{ID: "port_opens", Title: "port opening by degree wheel", Dim: quantity.Angle, Unit: "deg", At: []Pattern{"port/*r/intake/primary|secondary|auxiliary|peripheral", "port/*r/exhaust/side|peripheral"},
			Low: "-720 deg", High: "1080 deg", Stages: stages("M"), Priority: 23, With: "degree wheel", How: "Turn in the direction of rotation only; shaft degrees after the top dead centre between exhaust and intake."},
		{ID: "port_closes", Title: "port closing by degree wheel", Dim: quantity.Angle, Unit: "deg", At: []Pattern{"port/*r/intake/primary|secondary|auxiliary|peripheral", "port/*r/exhaust/side|peripheral"},
			Low: "-720 deg", High: "1080 deg", Stages: stages("M"), Priority: 23, With: "degree wheel", How: "Turn in the direction of rotation only; shaft degrees after the top dead centre between exhaust and intake."},
		{ID: "port_edge_arc", Title: "edge of a peripheral port along the bore", Dim: quantity.Length, Unit: "mm", At: []Pattern{"port/*r/intake/peripheral", "port/*r/exhaust/peripheral"}, Places: []Pattern{"edge/opening|closing"},
			Low: "-1000 mm", High: "1000 mm", Stages: stages("M"), Priority: 23, With: "strip laid into the bore", How: "Along the bore from the waist between the ports to the edge the seal passes first (opening) and last (closing); with the rotation positive, so intake edges are positive and exhaust edges negative.",
			Caution: "At the waist 0.1 mm is 0.3 degrees of shaft."},
		{ID: "port_edge_margin", Title: "least margin of a port's edge", Dim: quantity.Length, Unit: "mm", At: []Pattern{"port/*r/intake/primary|secondary|auxiliary|peripheral", "port/*r/exhaust/side|peripheral"}, Places: []Pattern{"to/corner-track|oil-track"},
			Judge: Smallest, Low: "0 mm", High: "100 mm", Stages: stages("M"), Priority: 23, With: "scale or template", How: "From the port's edge to the track a seal runs on."},
	}
}

func balancePoints() []Point {
	return []Point{
		{ID: "rotor_mass", Title: "complete rotor mass", Dim: quantity.Mass, Unit: "g", At: []Pattern{"rotor/*r"}, Part: 2,
			Nominal: "parts.{part}.mass", Low: "100 g", High: "100 kg", Stages: stages("B"), Priority: 24, With: scale, How: "With seals, springs, bearing and gear, clean and dry; the oil allowance stands in the spec.", Caution: "Lift a rotor by its bore, never by its apexes."},
		{ID: "rotor_static_unbalance", Title: "rotor's own static unbalance", Dim: quantity.Unbalance, Unit: "g mm", At: []Pattern{"rotor/*r"}, Part: 2,
			Judge: Largest, Low: "0 g mm", High: "1000000 g mm", Stages: stages("B"), Priority: 24, With: "knife edges or balancing machine", How: "About its own bearing axis."},
		{ID: "bob_weight", Title: "bob weight", Dim: quantity.Mass, Unit: "g", At: []Pattern{"shaft/lobe/*r"}, Part: 0,
			Low: "100 g", High: "100 kg", Stages: stages("B"), Priority: 24, With: scale, How: "As hung on the lobe, with its oil allowance."},
		{ID: "counterweight_unbalance", Title: "counterweight as made", Dim: quantity.Unbalance, Unit: "g mm", At: []Pattern{"counterweight/front|rear"}, Part: 2,
			Low: "0 g mm", High: "100000000 g mm", Stages: stages("B"), Priority: 24, With: "balancing machine", How: "Mass times radius of what is fitted."},
		{ID: "residual_unbalance", Title: "residual unbalance", Dim: quantity.Unbalance, Unit: "g mm", At: []Pattern{"counterweight/front|rear"},
			Low: "0 g mm", High: "1000000 g mm", Stages: stages("B"), Priority: 24, With: "balancing machine", How: "Last reading on the machine, with the bob weights named.", Caution: "Holds on the machine, with these bob weights. Keep out of the plane of rotation."},
	}
}

func runPoints() []Point {
	return []Point{
		{ID: "oil_pressure_primed", Title: "oil pressure, primed", Dim: quantity.PressureGauge, Unit: "kPa", At: []Pattern{"engine"},
			Judge: Smallest, Low: "0 kPa", High: "3000 kPa", Stages: stages("P"), Priority: 25, With: "gauge at the main gallery", How: "Plugs out, fuel and ignition off, cranked or driven until pressure shows.", Caution: "Never crank ceramic seals dry."},
		{ID: "oil_pressure_idle", Title: "oil pressure, hot idle", Dim: quantity.PressureGauge, Unit: "kPa", At: []Pattern{"engine"},
			Judge: Smallest, Low: "0 kPa", High: "3000 kPa", Stages: stages("XYD"), Priority: 25, With: "gauge at the main gallery", How: "With oil temperature noted."},
		{ID: "oil_pressure_speed", Title: "oil pressure, hot at speed", Dim: quantity.PressureGauge, Unit: "kPa", At: []Pattern{"engine"},
			Judge: Smallest, Low: "0 kPa", High: "3000 kPa", Stages: stages("YDU"), Priority: 25, With: "gauge at the main gallery", How: "At 3000 rpm or the speed in the method, oil temperature noted."},
		{ID: "oil_temperature", Title: "oil temperature", Dim: quantity.Temperature, Unit: "degC", At: []Pattern{"engine"}, Places: []Pattern{"in|out"},
			Low: "-40 degC", High: "300 degC", Stages: stages("YDU"), With: "thermocouple", How: "Into and out of the engine: oil carries a large share of the heat."},
		{ID: "coolant_temperature", Title: "coolant temperature", Dim: quantity.Temperature, Unit: "degC", At: []Pattern{"housing/*r", "engine"}, Places: []Pattern{"in|out"},
			Low: "-40 degC", High: "200 degC", Stages: stages("YDU"), With: "thermocouple", How: "Into the engine and out of each housing, settled.", Caution: "Hot coolant under pressure scalds: cap only when cold."},
		{ID: "coolant_flow", Title: "coolant flow", Dim: quantity.VolumeFlow, Unit: "L/min", At: []Pattern{"engine", "housing/*r"},
			Low: "0 L/min", High: "2000 L/min", Stages: stages("YD"), With: "flow meter", How: "At the speed in the method."},
		{ID: "exhaust_temperature", Title: "exhaust temperature", Dim: quantity.Temperature, Unit: "degC", At: []Pattern{"rotor/*r"},
			Low: "0 degC", High: "1400 degC", Stages: stages("DU"), With: "thermocouple near the port", How: "At full load, settled.", Caution: "Near 1000 degC, with carbon monoxide: extraction and distance."},
		{ID: "mixture", Title: "mixture, lambda", Dim: quantity.Ratio, Unit: "1", At: []Pattern{"rotor/*r", "engine"},
			Low: "0.5", High: "2", Stages: stages("DU"), With: "wide-band sensor", How: "At full load, settled."},
		{ID: "throttle_gap", Title: "throttle-plate gap at the idle stop", Dim: quantity.Length, Unit: "mm", At: []Pattern{"intake/throttle"}, Places: []Pattern{"*n"},
			Low: "0 mm", High: "20 mm", Stages: stages("XY"), With: feeler, How: "With the plate resting on its stop."},
		{ID: "top_speed", Title: "greatest speed recorded", Dim: quantity.RotationalSpeed, Unit: "rpm", At: []Pattern{"engine"},
			Low: "0 rpm", High: "20000 rpm", Stages: stages("U"), With: "logger", How: "From the logger's raw file; keep the file."},
	}
}
