package rotary

func init() {
	checkRows = append(checkRows,
		// Ports
		checkRow{prefix: "port.invert", formula: "port-angles"},
		checkRow{prefix: "port.arc", formula: "port-angles-by-arc"},
		checkRow{prefix: "port.pp", formula: "peripheral-port-timing"},
		checkRow{prefix: "port.side", formula: "side-port-point"},
		checkRow{prefix: "port.pub", formula: "port-durations"},
		checkRow{prefix: "port.vel", formula: "port-gas-speed", in: map[string]string{"rpm": "n"}},

		// Cranking test
		checkRow{prefix: "cmp.baro", formula: "cranking-barometer"},
		checkRow{prefix: "cmp.isa", formula: "station-pressure"},
		checkRow{prefix: "cmp.leak", formula: "cranking-two-speeds"},
		checkRow{prefix: "cmp.accept", formula: "cranking-acceptance",
			in:    map[string]string{"front": "p_1", "rear": "p_2"},
			fixed: map[string]float64{"p_min": 680e3, "dp_c": 150e3, "dp_r": 100e3}},
		checkRow{prefix: "cmp.pub.late654", formula: "cranking-limits"},
		checkRow{prefix: "cmp.pub.units", converts: map[string]string{"k1": "p1", "s1": "p1", "k2": "p2", "s2": "p2"}},

		// Weather, correction factors, driveline loss
		checkRow{prefix: "pow.psat.buck", formula: "vapour-pressure"},
		checkRow{prefix: "pow.psat.wg", formula: "vapour-pressure-wexler-greenspan", out: map[string]string{"P": "e_s"}},
		checkRow{prefix: "pow.psat.iapws", formula: "vapour-pressure-iapws", out: map[string]string{"P": "e_s"}},
		checkRow{prefix: "pow.psat.magnus", formula: "vapour-pressure-magnus"},
		checkRow{prefix: "pow.psat.pub.tp1971", formula: "vapour-pressure-wexler-greenspan", out: map[string]string{"p": "e_s"}},
		checkRow{prefix: "pow.psat.pub.tp", formula: "vapour-pressure-iapws", out: map[string]string{"p": "e_s"}},
		checkRow{prefix: "pow.dry", formula: "dry-air"},
		checkRow{prefix: "pow.cf.j1349_1990", formula: "correction-j1349-1990"},
		checkRow{prefix: "pow.cf.j1349_later", formula: "correction-j1349-later"},
		checkRow{prefix: "pow.cf.iso1585", formula: "correction-iso-1585"},
		checkRow{prefix: "pow.cf.din70020", formula: "correction-din-70020", in: map[string]string{"RH": ""}},
		checkRow{prefix: "pow.cf.std60f", formula: "correction-60f"},
		atOwnReference("correction-j1349-1990", "j1349_1990"),
		atOwnReference("correction-j1349-later", "j1349_later"),
		atOwnReference("correction-iso-1585", "iso1585"),
		checkRow{prefix: "pow.cf.unity", formula: "correction-din-70020",
			in:  map[string]string{"p_din": "p", "t_din": "t", "t": ""},
			out: map[string]string{"din70020": "CF"}},
		checkRow{prefix: "pow.loss", formula: "driveline-loss"},

		// Induction
		checkRow{prefix: "ind.c", formula: "sound-speed"},
		checkRow{prefix: "ind.N", formula: "tuned-speed"},
		checkRow{prefix: "ind.L", formula: "tuned-length"},
		checkRow{prefix: "ind.helm", formula: "helmholtz"},

		// Fuel
		checkRow{prefix: "fuel.duty", formula: "injector-duty"},
		checkRow{prefix: "fuel.flow", formula: "injector-flow"},
		checkRow{prefix: "fuel.pw", formula: "pulse-width", in: map[string]string{"rpm": "n"}},
		checkRow{prefix: "fuel.premix", formula: "premix"},
		checkRow{prefix: "fuel.bsfc", formula: "consumption-units"},

		// Oil and belt
		checkRow{prefix: "lub.pump", formula: "pump-flow", in: map[string]string{"rpm": "n"}},
		checkRow{prefix: "lub.beltspeed", formula: "belt-speed", in: map[string]string{"rpm": "n"}},
		checkRow{prefix: "lub.beltlen", formula: "belt-length"},
		checkRow{prefix: "lub.beltcentre", formula: "belt-centre"},
		checkRow{prefix: "lub.scav", formula: "scavenge-ratio"},

		// Cooling
		checkRow{prefix: "cool.area", formula: "passage-area"},
		checkRow{prefix: "cool.Q", formula: "heat-to-coolant"},
		checkRow{prefix: "cool.series", formula: "coolant-series"},
		checkRow{prefix: "cool.centre", formula: "coolant-centre-fed", out: map[string]string{"V_": "V_b"}},

		// Fasteners
		checkRow{prefix: "fast.preload", formula: "preload", out: map[string]string{"F_min35": "F_min", "F_max35": "F_max"}},
		checkRow{prefix: "fast.As", formula: "stress-area"},
		checkRow{prefix: "fast.pub.Fm", formula: "minimum-ultimate-load"},
		checkRow{prefix: "fast.stretch", formula: "stretch"},

		// Wear
		checkRow{prefix: "wear.strd", formula: "line-fit"},
		checkRow{prefix: "wear.fit", formula: "wear-fit"},
		checkRow{prefix: "wear.t", formula: "student-t"},
	)
}

// atOwnReference is the row of a factor that must be 1 at its own reference
// state, in dry air.
func atOwnReference(formula, name string) checkRow {
	return checkRow{prefix: "pow.cf.unity", formula: formula,
		in:    map[string]string{"pd": "p", "p_din": "", "t_din": ""},
		out:   map[string]string{name: "CF"},
		fixed: map[string]float64{"RH": 0}}
}
