package schema

import (
	"sync"

	"stackbook/schema/quantity"
)

// Measurements is one measuring session.
func Measurements() *Field { return theMeasurements() }

var theMeasurements = sync.OnceValue(func() *Field {
	f := group("measurements", "one measuring session",
		name("format", "measurements/1").must(),
		name("engine", "the engine's number").must(),
		whole("build", "the build measured").within("1", "99").must(),
		choice("stage", "the stage of the work", stageNames()...).must(),
		day("date", "the day, and the time where it matters").must(),
		amount("hours", quantity.Time, "h", "running hours of the engine in all").within("0 h", "100000 h"),
		amount("hours_error", quantity.Time, "h", "how far the hours may be off").within("0 h", "100000 h"),
		words("hours_source", "where the hours come from: meter, logger, the customer"),
		words("by", "who measured, by initials").must(),
		heat("temperature", "temperature of the room; a part's own stands beside its readings"),
		group("ambient", "the air, where it matters",
			amount("pressure", quantity.PressureAbsolute, "kPa", "station pressure, not reduced to sea level").within("50 kPa", "115 kPa"),
			amount("temperature", quantity.Temperature, "degC", "air temperature").within("-60 degC", "70 degC"),
			amount("humidity", quantity.Ratio, "%", "relative humidity").within("0 %", "100 %")),
		keyed("instruments", "the instruments used, by a short key of your own", OwnKey, group("", "one instrument",
			words("kind", "what it is").must(),
			code("serial", "serial or inventory number"),
			anyAmount("resolution", "smallest step it shows"),
			anyAmount("expanded_uncertainty", "expanded uncertainty, k = 2, from its certificate, or a percentage of the reading; left out: not known"),
			words("accuracy", "in words, where no number is known"),
			day("calibrated", "day of its last calibration"),
			code("standard", "the setting standard, where two instruments share it"),
			amount("expansion", quantity.Expansion, "1e-6/K", "linear expansion of the instrument or its setting standard; none where it compensates its own; left out: that of steel").within("0 1e-6/K", "100 1e-6/K"),
			heat("temperature", "its temperature while reading; left out: that of the part"))),
		keyed("parts", "serials of the parts read, so that readings follow the part", PositionKey, code("", "serial number")),
		keyed("readings", "what was read", PointKey, free("", "readings of one point")),
		group("tables", "readings that come in rows", group("dyno", "one run on the dyno, a row a speed",
			choice("power_at", "where power was taken", "shaft", "wheel", "propeller"),
			words("correction", "weather correction already in the figures: none, or the standard and its year"),
			amount("driveline_efficiency", quantity.Ratio, "%", "efficiency between shaft and dyno, where power was taken behind a driveline").within("10 %", "100 %"),
			amount("driveline_loss", quantity.Power, "kW", "loss between shaft and dyno that does not grow with the load, from a coast-down").within("0 kW", "500 kW"),
			series("columns", "speed first: speed rpm, torque N m, power kW, ...", words("", "a name and its unit")).must(),
			series("rows", "a list of numbers a row", series("row", "one row", Field{Type: Free})).must())),
		words("conditions", "warm or cold, wet or dry, throttle, tester, who opened it"),
		words("note", "anything else"),
		photos(),
		free("shop", "the shop's own fields, free in form"),
	)
	return &f
})

// DynoColumns are the columns a run on the dyno may have, by the name that stands
// before the unit.
func DynoColumns() []Field { return dynoColumns() }

var dynoColumns = sync.OnceValue(func() []Field {
	return []Field{
		amount("speed", quantity.RotationalSpeed, "rpm", "speed of the shaft"),
		amount("torque", quantity.Torque, "N m", "torque").within("-20000 N m", "20000 N m"),
		amount("power", quantity.Power, "kW", "power").within("-5000 kW", "5000 kW"),
		amount("mixture", quantity.Ratio, "1", "lambda").within("0", "5"),
		amount("oil pressure", quantity.PressureGauge, "kPa", "at the main gallery").within("0 kPa", "3000 kPa"),
		heat("oil temperature", "oil"),
		heat("coolant temperature", "coolant"),
		amount("exhaust temperature", quantity.Temperature, "degC", "exhaust").within("-60 degC", "1400 degC"),
		amount("fuel flow", quantity.MassFlow, "kg/h", "fuel"),
	}
})

// ReadCell reads one cell of a column: a number in the column's unit, within the
// bounds of the field.
func (f *Field) ReadCell(text string, unit quantity.Unit) (quantity.Quantity, *Refusal) {
	read := func(text string) (quantity.Quantity, error) {
		q, err := quantity.ParseNumber(text, unit)
		if err != nil {
			return q, err
		}
		return q, sensible(q, f.Low, f.High, f.Dim)
	}
	q, err := read(text)
	if err != nil {
		return quantity.Quantity{}, refusal(err, func(text string) bool { _, err := read(text); return err == nil }, exampleNumber(f.Dim, unit, f.Low, f.High))
	}
	return q, nil
}

// Whereabouts are the places a part can be besides in an engine.
var Whereabouts = []string{"shelf", "scrap", "out for plating", "out for work", "lent", "sent back", "kept as evidence", "another engine"}

// Change is one change, event or note.
func Change() *Field { return theChange() }

var theChange = sync.OnceValue(func() *Field {
	f := group("change", "one change, event or note",
		name("format", "change/1").must(),
		name("engine", "the engine's number").must(),
		whole("build", "the build it belongs to").within("1", "99").must(),
		day("date", "the day it happened, and the time where it matters").must(),
		choice("kind", "the kind of change", changeKindNames()...).must(),
		words("by", "who did it, by initials").must(),
		amount("hours", quantity.Time, "h", "running hours of the engine in all").within("0 h", "100000 h"),
		amount("hours_error", quantity.Time, "h", "how far the hours may be off").within("0 h", "100000 h"),
		words("hours_source", "where the hours come from: meter, logger, the customer"),
		words("what", "what was done or happened").must(),
		words("why", "why"),
		series("touches", "the positions it altered; everything below a position counts", at("", "a position")),
		group("concession", "what was accepted although it did not conform",
			words("accepted_by", "by whom"),
			series("figures", "the figures and points it is about", words("", "a figure or point, and its position")),
			words("told", "what the customer was told"),
			words("look_again", "when to look again"),
			day("closed", "the day it was closed"),
			words("closed_because", "why it was closed")),
		group("findings", "facts, cause and settlement, kept apart",
			series("facts", "what was seen", words("", "one fact")),
			words("cause", "what led to it"),
			series("causes", "each possible cause with how sure it is", group("", "one cause",
				words("cause", "the cause").must(),
				choice("certainty", "how sure", "confirmed", "probable", "unknown", "no proven part").must())),
			words("settlement", "what was agreed")),
		group("counts", "what the engine has gone through since the count before, from its logger or its owner",
			whole("over_revs", "times over the momentary speed limit"),
			whole("heat_events", "times over the coolant stop"),
			whole("cold_starts", "starts from cold"),
			whole("stored_months", "months laid up")),
		keyed("recorded", "values from a logger, a telephone call or a bench: with their units", OwnKey, words("", "a value")),
		words("source", "where this comes from: telephone, logger file, letter"),
		words("receipt", "how receipt was confirmed"),
		words("kept", "parts and samples kept: which, where, until when"),
		series("removed", "parts taken out: serials, lots and where they went", group("", "one part",
			at("from", "the position it was fitted at").must(),
			at("found_at", "the position it was found at, where that is another"),
			code("serial", "serial number"),
			code("lot", "lot, batch or bag"),
			amount("hours", quantity.Time, "h", "hours the part had run in all, in every engine").within("0 h", "100000 h"),
			choice("to", "where it went", Whereabouts...),
			words("where", "the shelf, the borrower, who works on it, the engine it goes to"),
			words("note", "anything else"))).known("from"),
		series("raw_files", "files too large for the book, such as a logger's", group("", "one file",
			words("file", "its name").must(),
			code("sha256", "SHA-256 of the file"),
			words("kept", "where it is kept"))).known("file"),
		photos(),
		words("note", "anything else"),
		free("shop", "the shop's own fields, free in form"),
	)
	return &f
})

// Book is book.yaml, at the root of the book.
func Book() *Field { return theBook() }

var theBook = sync.OnceValue(func() *Field {
	f := group("book", "the book itself",
		name("format", "book/1").must(),
		whole("dictionary", "number of the dictionary the book was last written with").within("1", "1000000").must(),
		words("shop", "the shop's name").must(),
		name("limits", "the limit set engines are judged by when they name none"),
		group("units", "units shown to a person; records may use any",
			Field{Key: "length", Help: "sizes and clearances", Type: Choice, Choices: []string{"mm", "in"}},
			Field{Key: "pressure", Help: "pressures", Type: Choice, Choices: []string{"kPa", "bar", "psi"}},
			Field{Key: "torque", Help: "torques", Type: Choice, Choices: []string{"N m", "lbf.ft", "kgf.m"}},
			Field{Key: "power", Help: "powers", Type: Choice, Choices: []string{"kW", "hp", "metric hp"}},
			Field{Key: "volume", Help: "chamber volumes", Type: Choice, Choices: []string{"cm3", "in3"}},
			Field{Key: "temperature", Help: "temperatures", Type: Choice, Choices: []string{"degC", "degF"}}),
		group("intervals", "the shop's own intervals, in running hours",
			amount("crack_test", quantity.Time, "h", "from one crack test to the next, of every part that must not burst: shaft, rotors, gears, counterweights, flywheel").within("1 h", "100000 h"),
			amount("opening", quantity.Time, "h", "from delivery to opening the engine").within("1 h", "100000 h")),
		words("note", "anything else"),
	)
	return &f
})

func band() []Field {
	return []Field{
		words("min", "least value, with its unit; left out: none"),
		words("max", "greatest value, with its unit; left out: none"),
	}
}

// Limits is one limit set.
func Limits() *Field { return theLimits() }

var theLimits = sync.OnceValue(func() *Field {
	f := group("limits", "a limit set of the shop's own",
		name("format", "limits/1").must(),
		name("name", "the name specs use").must(),
		words("title", "what it is for"),
		amount("guard", quantity.Ratio, "1", "coverage factor k of the guard band (ISO 14253-1)").within("0", "5"),
		keyed("limits", "one entry a figure or point", LimitKey, group("", "one limit",
			group("new", "band for new work", band()...),
			group("reuse", "limit for a part used again", band()...),
			words("for", "what it belongs to: seal material, bearing pair, width, port type"),
			flag("reference_only", "yes: shown for reference, no verdict"),
			words("source", "where it comes from").must(),
			words("note", "anything else"))).must(),
	)
	return &f
})

// Part is one part or lot and its whereabouts: a part that is in no engine, or
// was in more than one. A part bears a serial; a bag or batch of parts without
// serials bears a lot and a number of pieces.
func Part() *Field { return thePart() }

var thePart = sync.OnceValue(func() *Field {
	f := group("part", "a part or lot and its whereabouts",
		name("format", "part/1").must(),
		code("serial", "serial number of a single part"),
		code("lot", "lot, batch or bag"),
		code("part", "part number"),
		code("supplier", "the supplier's code"),
		words("what", "what it is").must(),
		words("material", "material"),
		words("papers", "papers that came with it, and where they are kept"),
		day("received", "the day it came to the shop"),
		whole("pieces", "pieces in the lot when it came"),
		testEvery(),
		series("whereabouts", "where it has been besides in an engine, one entry a move, the latest last", group("", "one move",
			day("since", "the day it came there").must(),
			choice("is", "where it is", Whereabouts...).must(),
			words("where", "the shelf, the borrower, who works on it, the engine and position"),
			amount("hours", quantity.Time, "h", "hours the part had run in all by then").within("0 h", "100000 h"),
			amount("hours_error", quantity.Time, "h", "how far the hours may be off").within("0 h", "100000 h"),
			whole("pieces", "pieces of a lot that went there"),
			words("why", "why it went there"),
			words("by", "who moved it, by initials"))),
		words("note", "anything else"),
		free("shop", "the shop's own fields, free in form"),
	)
	return &f
})

// testEvery is a part's own interval; the book's stands in book.yaml.
func testEvery() Field {
	return amount("test_every", quantity.Time, "h", "running hours of the part from one crack test to the next").within("1 h", "100000 h")
}

// Kinds lists the kinds of record: the words before the slash of their format
// lines.
func Kinds() []string {
	return []string{"book", "change", "limits", "measurements", "part", "spec"}
}

// Kind gives what a kind of record may hold, nil where there is none of the name.
func Kind(name string) *Field {
	switch name {
	case "spec":
		return Spec()
	case "measurements":
		return Measurements()
	case "change":
		return Change()
	case "book":
		return Book()
	case "limits":
		return Limits()
	case "part":
		return Part()
	}
	return nil
}

// FormatNumber is the number each kind of record is written with, and the
// newest that is read; there is no older one yet.
const FormatNumber = 1
