package rotary

// A checkRow says which formula answers the checks whose id is prefix, or
// begins with prefix and a dot; the longest prefix wins, so that a new check
// of a known kind ("geo.swept.a.99") needs no new row. Several rows with one
// prefix answer a check together, each giving what it can.
//
// A name in a check is looked up among the symbols of the formula. Where the
// two differ, in and out translate it; a name translated to "" means nothing
// to this formula, and that is meant so. A name ending in a number ("m2", "T_out1") that is no
// symbol itself means that element, counted from 1, of the list whose symbol
// is the rest ("m", "T_out"); in and out may translate the rest. The name rpm
// also finds the symbol n.
type checkRow struct {
	prefix   string
	formula  string             // id of the formula; may be empty with converts
	in, out  map[string]string  // check's name → symbol, where they differ
	fixed    map[string]float64 // inputs that the check states in words only: symbol → SI value
	words    map[string]string  // check's word → the formula's, for results that are text
	converts map[string]string  // a mere change of unit: expected name → input name
}

// checkRows is the whole table; each file of known answers appends its
// chapters' rows.
var checkRows []checkRow

func init() {
	checkRows = append(checkRows,
		// Geometry
		checkRow{prefix: "geo.point", formula: "bore-point"},
		checkRow{prefix: "geo.lean", formula: "leaning-angle"},
		checkRow{prefix: "geo.swept.pub", formula: "swept-volume-sharp"},
		checkRow{prefix: "geo.swept.a0", formula: "swept-volume-sharp"},
		checkRow{prefix: "geo.swept.a", formula: "swept-volume"},
		checkRow{prefix: "geo.swept.approx", formula: "swept-volume-approximate"},
		checkRow{prefix: "geo.ideal", formula: "ideal-volumes"},
		checkRow{prefix: "geo.ideal.a", formula: "ideal-areas"},
		checkRow{prefix: "geo.flank", formula: "flank-point"},
		checkRow{prefix: "geo.flanklen", formula: "flank-length"},
		checkRow{prefix: "geo.V", formula: "chamber-volume"},
		checkRow{prefix: "geo.dV", formula: "chamber-volume-slope"},
		checkRow{prefix: "geo.relief", formula: "relief-volume"},
		checkRow{prefix: "geo.cr", formula: "compression-ratio"},
		checkRow{prefix: "geo.pocket", formula: "pocket-volume"},
		checkRow{prefix: "geo.creff", formula: "effective-compression-ratio"},
		checkRow{prefix: "geo.equiv", formula: "equivalent-displacement"},
		checkRow{prefix: "geo.pub.stroke270", formula: "stroke-angle", in: map[string]string{"e": "", "R": "", "b": ""}},
		checkRow{prefix: "geo.pub.convex9", formula: "waist-curvature"},

		// Motion
		checkRow{prefix: "mot.slide", formula: "sliding-speed"},
		checkRow{prefix: "mot.slidestat", formula: "sliding-speed-range"},
		checkRow{prefix: "mot.radacc", formula: "seal-acceleration"},
		checkRow{prefix: "mot.normacc", formula: "contact-acceleration"},
		checkRow{prefix: "mot.gear", formula: "gear"},

		// Balance
		checkRow{prefix: "bal.cf", formula: "shaft-load"},
		checkRow{prefix: "bal.plane", formula: "counterweights"},
		checkRow{prefix: "bal.couple", formula: "rotor-couple"},
		checkRow{prefix: "bal.dm", formula: "rotor-mass-change", in: map[string]string{"phase": ""}},
		checkRow{prefix: "bal.iso", formula: "permissible-unbalance"},
		checkRow{prefix: "bal.iso.pub.G", formula: "balance-grade"},
		checkRow{prefix: "bal.iso.std.turbine", formula: "unbalance-split"},

		// Clearances, uncertainty, decision
		checkRow{prefix: "cl.run", formula: "running-clearance"},
		checkRow{prefix: "cl.ref20", formula: "length-at-20C"},
		checkRow{prefix: "cl.hot", formula: "hot-clearance"},
		checkRow{prefix: "cl.unc", formula: "mean-and-uncertainty", out: map[string]string{"U_k2": "U"}},
		checkRow{prefix: "cl.uncdiff", formula: "difference-uncertainty", in: map[string]string{"c": ""}},
		checkRow{prefix: "cl.decide", formula: "decision",
			words: map[string]string{"pass": "conforms", "undetermined": "undecided", "fail": "fails"}},

		// Power
		checkRow{prefix: "pow.kw", formula: "power",
			out: map[string]string{"hp": "P", "PS": "P"}, converts: map[string]string{"T_lbft": "T"}},
		checkRow{prefix: "pow.bmep", formula: "bmep"},
		checkRow{prefix: "pow.air", formula: "air-flow"},

		// Units
		checkRow{prefix: "unit", converts: map[string]string{"f": "x", "C": "F", "K": "F"}},
	)
}
