package app

import (
	"fmt"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/page"
	"stackbook/record"
)

// notRecorded stands where the record says nothing: what an owner acts on is
// never made up.
const notRecorded = "not recorded"

// said is one line of the handover sheet: a label, and the field of the spec it
// is taken from.
type said struct {
	label, path string
	then        string // what to do at this value; "" where it is none to act on
}

// saidGroup is what stands below one heading.
type saidGroup struct {
	key, heading, note string
	lines              []said
}

// What to do at a limit. Common practice, no source.
const (
	backOff = "Back off at once, and find out why before running on."
	stopNow = "Stop at once: throttle shut, ignition and fuel off. Do not start again before the cause is found."
)

// handoverGroups are the parts of the sheet that say what the spec says.
var handoverGroups = []saidGroup{
	{"engine", "The engine", "", []said{
		{"mass and lifting points", "operating.mass_and_lifting", ""}, {"what it is for", "operating.duty", ""},
		{"direction of rotation, seen from the front", "direction", ""}, {"end that drives; the front is the accessory or pulley end", "drives_at", ""},
		{"flame arrester", "induction.flame_arrester", ""},
	}},
	{"fluids", "What goes into it", "", []said{
		{"fuel, as told", "operating.fuel", ""}, {"octane", "fuel.octane", ""}, {"premix, as told", "operating.premix", ""},
		{"premix, parts of fuel to one of oil", "fuel.premix", ""}, {"premix oil", "fuel.premix_oil", ""},
		{"oil, as told", "operating.oil", ""}, {"oil in the sump or tank", "lubrication.oil", ""}, {"oil in the system", "lubrication.oil_volume", ""},
		{"coolant, as told", "operating.coolant", ""}, {"coolant and its mixture", "cooling.coolant", ""}, {"cap pressure", "cooling.cap_pressure", ""},
	}},
	{"limits", "Limits, and what to do", "Where a value is not recorded, ask the shop before running.", []said{
		{"speed, continuous", "operating.speed_continuous", "Never longer above it than the heat or the climb asks for."},
		{"speed, momentary", "operating.speed_momentary", "Never above it. A propeller leaving the water is an over-rev: note it, with the speed."},
		{"speed limiter", "ignition.limiter", "Not to be raised."},
		{"coolant, alarm", "operating.coolant_alarm", backOff}, {"coolant, stop", "operating.coolant_stop", stopNow},
		{"oil temperature, alarm", "operating.oil_alarm", backOff}, {"oil temperature, stop", "operating.oil_stop", stopNow},
		{"oil pressure hot at speed, stop below", "operating.oil_pressure_stop", stopNow},
		{"exhaust temperature, stop", "operating.exhaust_stop", stopNow},
	}},
	{"starting", "Before load", "", []said{
		{"priming", "operating.priming", ""}, {"cranking speed to expect", "operating.speed_cranking", ""}, {"warm-up", "operating.warm_up", ""},
		{"coolant before load", "operating.coolant_before_load", ""}, {"oil before load", "operating.oil_before_load", ""}, {"running in", "operating.running_in", ""},
	}},
	{"map", "The map", "", []said{
		{"hash of the map", "ignition.map_hash", ""}, {"author", "ignition.map_author", ""}, {"who may alter it", "ignition.map_locked", ""},
		{"advance at full load", "ignition.advance", ""}, {"split", "ignition.split", ""}, {"knock is watched", "ignition.knock", ""},
		{"leading plugs", "ignition.plugs_leading", ""}, {"trailing plugs", "ignition.plugs_trailing", ""},
	}},
}

// toLog is what an owner writes down, since a later question cannot be answered
// without it. Common practice, no source.
var toLog = []string{
	"running hours after each day, and what counts them: meter, logger or estimate",
	"every speed over the continuous limit, with how long; every over-rev",
	"highest coolant and oil temperature, lowest hot oil pressure at speed; exhaust temperature by rotor where there are probes",
	"starts from cold, and months laid up",
	"fuel and octane, premix, oil and coolant put in; how much coolant and oil it takes",
	"whatever was opened or adjusted, by whom, with a picture before anything is touched",
	"the logger's files as they are: keep them, and send them with any question",
}

// handoverCautions go with every engine. Common practice, no source.
var handoverCautions = []string{
	"Prime until oil pressure shows, with plugs out, fuel and ignition off. Never crank ceramic seals dry.",
	"Bring coolant and oil to the temperatures above before any load.",
	"Fuel and ignition cut-off independent of each other and in reach; throttle that returns by itself; flame arrester; in a boat a bilge blower, run before every start; fuel and oil lines checked for leaks before every start; extinguisher in reach.",
	"The exhaust comes near 1000 degC, and exhaust gas holds carbon monoxide: never run it where people are without drawing the gas off.",
	"Rotors, shaft, counterweights and flywheel can burst: scatter shield fitted, and nobody in the plane of rotation. Wear hearing protection.",
	"Open the coolant cap only when cold.",
	"Lift at the points named above only, and by a sling rated for the mass.",
	"Local codes and class rules apply. Work on fuel, pressure and aircraft systems is for licensed hands.",
}

func (a *app) forHandover(s *act.Shop, names []string) (*handout, error) {
	h, err := s.Handover(names[0])
	if err != nil {
		return nil, err
	}
	if err := a.tell(h.Loaded); err != nil {
		return nil, err
	}
	return &handout{document: handoverSheet(h), data: handoverJSON(h), states: []*act.Loaded{h.Loaded}}, nil
}

func handoverSheet(h *act.Handover) *page.Document {
	e := h.Engine
	d := &page.Document{Title: e.Number + ": " + e.Title, Kind: "Handover sheet", Language: "en", Made: madeFrom(h.Loaded), Cautions: handoverCautions,
		Lead:  []string{fmt.Sprintf("Goes with build %d of %s to whoever runs it. Read the limits and the safety notes before the first start.", e.Build, e.Number)},
		Facts: handoverFacts(h)}
	for _, g := range handoverGroups {
		d.Sections = append(d.Sections, g.section(e))
		switch g.key {
		case "starting":
			d.Sections = append(d.Sections, doneSection(e), lookAgainSection(h))
		case "map":
			d.Sections = append(d.Sections, page.Section{Heading: "Write down", List: toLog})
		}
	}
	d.Sections = append(d.Sections, codeSection(h), receiptSection(h))
	return d
}

func handoverFacts(h *act.Handover) []page.Fact {
	e := h.Engine
	delivered, hours := "not yet", ""
	if h.Delivery != nil {
		delivered, hours = h.Delivery.Date.Day(), h.Delivery.Hours()
	}
	return []page.Fact{{Label: "Engine", Value: e.Number}, {Label: "Build", Value: fmt.Sprint(e.Build)}, {Label: "Customer", Value: or(e.Customer, notRecorded)},
		{Label: "Delivered", Value: delivered}, {Label: "Hours", Value: or(hours, notRecorded)}, {Label: "Rotors", Value: fmt.Sprint(e.Rotors)},
		{Label: "Turns", Value: or(e.Spec.Text("direction"), notRecorded) + ", seen from the front"}, {Label: "Drives at", Value: or(e.Spec.Text("drives_at"), notRecorded)}}
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// section shows a group: as facts, or as a table where there is something to do.
func (g *saidGroup) section(e *record.Engine) page.Section {
	s := page.Section{Heading: g.heading, Note: g.note}
	for _, line := range g.lines {
		text := e.Spec.Text(line.path)
		if line.then == "" {
			s.Facts = append(s.Facts, page.Fact{Label: line.label, Value: or(text, notRecorded)})
			continue
		}
		if s.Table == nil {
			s.Table = &page.Table{Columns: []page.Column{{Title: "Limit"}, {Title: "Value", Right: true}, {Title: "What to do"}}}
		}
		row := cells(line.label, or(text, notRecorded), line.then)
		if text == "" {
			row.Cells[1].Mark = page.Open
		}
		s.Table.Rows = append(s.Table.Rows, row)
	}
	return s
}

// doneStages are the steps that were run at the shop.
var doneStages = []string{"priming", "cranking", "first-start", "running-in", "dyno"}

// doneSection tells what of starting and running-in the shop did, step by step.
func doneSection(e *record.Engine) page.Section {
	s := page.Section{Heading: "Done at the shop"}
	t := &page.Table{Columns: []page.Column{{Title: "Date"}, {Title: "Step"}, {Title: "Hours"}, {Title: "How"}, {Title: "By"}}}
	for _, name := range doneStages {
		for _, m := range e.Sessions {
			if m.Build == e.Build && m.Stage != nil && m.Stage.Name == name {
				t.Rows = append(t.Rows, cells(m.Date.Day(), m.Stage.Title, m.Hours(), strings.Trim(m.Text("conditions")+"; "+m.Text("note"), "; "), m.By))
			}
		}
	}
	if s.Table = t; len(t.Rows) == 0 {
		s.Table, s.Text = nil, []string{"Priming, first start and running-in: " + notRecorded + "."}
	}
	return s
}

// lookAgainSection tells what is to be looked at and when.
func lookAgainSection(h *act.Handover) page.Section {
	e := h.Engine
	s := page.Section{Heading: "Look again", Facts: []page.Fact{
		{Label: "first check", Value: or(e.Spec.Text("operating.first_check"), notRecorded) + firstCheckFrom(h)},
		{Label: "between openings", Value: or(or(e.Spec.Text("targets.service_interval"), h.Opening), notRecorded)},
	}}
	for _, c := range e.OpenConcessions() {
		s.List = append(s.List, fmt.Sprintf("Open concession of %s: %s. Told: %s. Look again: %s.", c.Date.Day(), c.What, or(c.Text("concession.told"), notRecorded), or(c.Text("concession.look_again"), notRecorded)))
	}
	if len(s.List) == 0 {
		s.List = []string{"No concession is open."}
	}
	t := &page.Table{Caption: "Crack tests of what must not burst; hours are the part's own", Columns: []page.Column{{Title: "Part"}, {Title: "Last test"}, {Title: "Hours now"}, {Title: "Due at"}}}
	for _, g := range h.Guards {
		due, now := notRecorded, notRecorded
		if g.Due != nil {
			due = hoursText(*g.Due) + " h"
		}
		if g.Run.Now != nil {
			now = g.Run.Now.String()
		}
		row := cells(guardName(g), testText(g), now, due)
		if g.Last == nil {
			row.Cells[1].Mark = page.Open
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table = t
	return s
}

// firstCheckFrom says from when the hours to the first check count.
func firstCheckFrom(h *act.Handover) string {
	switch {
	case h.Engine.Spec.Text("operating.first_check") == "":
		return ""
	case h.Delivery != nil && h.Delivery.Hours() != "":
		return " after delivery, which was at " + h.Delivery.Hours() + " on " + h.Delivery.Date.Day()
	}
	return " after delivery"
}

// codeSection gives the delivery code and how to hold it against the book.
func codeSection(h *act.Handover) page.Section {
	s := page.Section{Heading: "Delivery code"}
	if h.Proof == nil {
		s.Text = []string{"This build is not delivered yet; stackbook deliver prints its code."}
		return s
	}
	name := act.BuildName(h.Engine.Number, h.Engine.Build)
	s.Facts = []page.Fact{{Label: "code", Value: h.Proof.Sum.Code()}, {Label: "build", Value: name}}
	s.Text = []string{"Keep it: it proves what was recorded of this build at its delivery. stackbook verify " + name + " --code CODE holds it against the book; it can be worked without stackbook too."}
	if len(h.Proof.Altered) > 0 {
		s.Text = append(s.Text, count(len(h.Proof.Altered), "delivered file")+" of the folder is altered since: make this sheet from "+name+" instead.")
	}
	return s
}

// receiptSection is where the receiver signs, and says how that goes into the
// record.
func receiptSection(h *act.Handover) page.Section {
	e := h.Engine
	receipt := e.Spec.Text("operating.receipt")
	if receipt == "" && h.Delivery != nil {
		receipt = h.Delivery.Text("receipt")
	}
	return page.Section{Heading: "Receipt", Facts: []page.Fact{{Label: "limits sent", Value: or(e.Spec.Text("operating.sent"), notRecorded)}, {Label: "receipt", Value: or(receipt, notRecorded)}},
		Text: []string{"I have received this sheet with the engine named above, and have read the limits, what to do at each, the open concessions and the safety notes.",
			"For the shop: the day this sheet goes out is written as operating.sent in the engine's spec, and how its receipt was confirmed as receipt in the delivery change, or as operating.receipt; keep the signed copy."},
		Blanks: []string{"Receiver, name", "Place and date", "Signature", "For the shop, initials"}}
}
