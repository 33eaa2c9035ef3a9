package diff_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/diff"
)

const (
	mockUp   = "measurements/2017-02-27-mock-up-KM.yaml"
	balance  = "measurements/2017-03-14-balance-TR.yaml"
	run      = "measurements/2017-05-04-dyno-KM.yaml"
	delivery = "changes/2017-05-20-delivery.yaml"
	teardown = "changes/2019-07-22-teardown.yaml"
)

// Between two states of one engine, the sessions and changes that came or went
// are told by what they are.
func TestRecordsThatCameAndWent(t *testing.T) {
	before, after := demo(t, "06"), demo(t, "08").with(balance, "")
	r := diff.Compare(before.written(t), after.written(t))
	require.Equal(t, []string{
		`added changes/2017-05-20-delivery.yaml: "" to "delivery: delivered to C-01 with the handover sheet" `,
		`added changes/2019-07-08-telephone.yaml: "" to "event: down 350 rpm, bad to start cold, takes 1.5 L of water a weekend" `,
		`removed measurements/2017-03-14-balance-TR.yaml: "balance by TR, 6 readings" to "" `,
	}, withPrefixes(r.Changes))
}

// withPrefixes are the changes of records alone.
func withPrefixes(changes []diff.Change) []string {
	var kept []diff.Change
	for _, c := range changes {
		if strings.HasPrefix(c.Path, "measurements/") || strings.HasPrefix(c.Path, "changes/") {
			kept = append(kept, c)
		}
	}
	return told(kept)
}

// Two engines have no records in common: what each wrote is its own.
func TestRecordsOfTwoEnginesAreNotCompared(t *testing.T) {
	sister := demo(t, "15")
	sister = sister.replaced(t, "spec.yaml", "id: 5c02-7be1-90aa", "id: 91d3-0c4e-18b7")
	r := diff.Compare(demo(t, "07").state(t, ""), sister.state(t, ""))
	require.Empty(t, withPrefixes(r.Changes))
	require.NotEmpty(t, r.Changes)
	require.NotEmpty(t, r.Readings)
	require.NotEmpty(t, r.Figures)
}

// What was altered in a record both states hold is one change at one place.
func TestWhatWasAlteredInARecord(t *testing.T) {
	for _, c := range []struct{ name, file, old, by, want string }{
		{"a reading", mockUp, "housing/1/at/A: 78.013", "housing/1/at/A: 78.031",
			`changed ` + mockUp + ` housing_width housing/1/at/A: "78.013 mm" to "78.031 mm" `},
		{"repeats", mockUp, "[3.061, 3.060, 3.061]", "[3.061, 3.060]",
			`changed ` + mockUp + ` apex_groove_width rotor/2/apex/2/mouth/rear: "3.061 mm, 3.060 mm, 3.061 mm" to "3.061 mm, 3.060 mm" `},
		{"repeats that were an interval", mockUp, "[3.061, 3.060, 3.061]", "{between: [3.060, 3.061]}",
			`changed ` + mockUp + ` apex_groove_width rotor/2/apex/2/mouth/rear: "3.061 mm, 3.060 mm, 3.061 mm" to "between 3.060 mm and 3.061 mm" `},
		{"a reading filled in", mockUp, "    rotor/1/apex/1:\n", "    rotor/1/apex/1: 38\n",
			`added ` + mockUp + ` apex_spring_load rotor/1/apex/1: "" to "38 N" `},
		{"a reading taken back", mockUp, "rotor/2: clear", "rotor/2:",
			`removed ` + mockUp + ` crack_test rotor/2: "clear" to "" `},
		{"the instrument of one reading", mockUp, "bearing/main/rear/rear/x: {value: 43.019, instrument: B50}", "bearing/main/rear/rear/x: {value: 43.019, instrument: B100}",
			`changed ` + mockUp + ` bearing_bore bearing/main/rear/rear/x instrument: "B50" to "B100" `},
		{"the method of all readings of a point", mockUp, "method: free", "method: clamped",
			`changed ` + mockUp + ` housing_width method: "free" to "clamped" `},
		{"a note to one reading", balance, "rotor/1: 3.962", "rotor/1: {value: 3.962, note: weighed twice}",
			`changed ` + balance + ` rotor_mass rotor/1 note: "complete with seals, springs, bearing and gear, dry" to "weighed twice" `},
		{"a temperature given to a point", balance, "instrument: W1\n    note", "instrument: W1\n    temperature: 21 degC\n    note",
			`added ` + balance + ` rotor_mass temperature: "" to "21 degC" `},
		{"an instrument's certificate", mockUp, "B50: {kind: bore gauge 35-60 mm, resolution: 0.001 mm, expanded_uncertainty: 0.004 mm", "B50: {kind: bore gauge 35-60 mm, resolution: 0.001 mm, expanded_uncertainty: 0.006 mm",
			`changed ` + mockUp + ` instruments.B50.expanded_uncertainty: "0.004 mm" to "0.006 mm" `},
		{"the stage", balance, "stage: balance", "stage: assembly", `changed ` + balance + ` stage: "balance" to "assembly" `},
		{"a cell of a table", run, "[7600, 183.2]", "[7600, 185.2]",
			`changed ` + run + ` tables.dyno 7600 rpm torque: "183.2 N m" to "185.2 N m" `},
		{"a cell filled in", run, "columns: [speed rpm, torque N m]\n    rows:\n      - [6000, 171.0]\n      - [7000, 179.2]\n      - [7600, 183.2]\n      - [8000, 182.5]\n      - [8400, 179.6]\n      - [8800, 169.5]",
			"columns: [speed rpm, power kW, torque N m]\n    rows:\n      - [6000, ~, 171.0]\n      - [7000, ~, 179.2]\n      - [7600, ~, 183.2]\n      - [8000, ~, 182.5]\n      - [8400, 158, 179.6]\n      - [8800, ~, 169.5]",
			`added ` + run + ` tables.dyno 8400 rpm power: "" to "158 kW" `},
		{"a row put in at the top", run, "      - [6000, 171.0]\n", "      - [5000, 160.0]\n      - [6000, 171.0]\n",
			`added ` + run + ` tables.dyno 5000 rpm: "" to "160.0 N m" `},
		{"what the table says of itself", run, "correction: none", "correction: DIN, 1976", `changed ` + run + ` tables.dyno.correction: "none" to "DIN, 1976" `},
		{"why", teardown, "why: water loss and low pressure on rotor 2", "why: water loss", `changed ` + teardown + ` why: "water loss and low pressure on rotor 2" to "water loss" `},
		{"a fact", teardown, "    - dye mark of 6 mm at a lightening pocket of R-1181\n", "", `removed ` + teardown + ` findings.facts: "dye mark of 6 mm at a lightening pocket of R-1181" to "" `},
		{"how sure a cause is", teardown, "{cause: age of the crack, certainty: unknown}", "{cause: age of the crack, certainty: probable}",
			`changed ` + teardown + ` findings.causes.4.certainty: "unknown" to "probable" `},
		{"a value from a call", delivery, "coolant stop: 105 degC", "coolant stop: 104 degC", `changed ` + delivery + ` recorded.coolant stop: "105 degC" to "104 degC" `},
	} {
		before := demo(t, "09")
		after := before.replaced(t, c.file, c.old, c.by)
		require.Equal(t, []string{c.want}, told(diff.Compare(before.written(t), after.written(t)).Changes), c.name)
	}
}

// The positions a change touches are a set; the parts it took out go by where
// they came from.
func TestListsOfAChange(t *testing.T) {
	change := func(touches, removed string) files {
		return bare("").with("changes/2019-07-29-rotor-2.yaml", fmt.Sprintf("format: change/1\nengine: SK-01\nbuild: 1\ndate: 2019-07-29\nkind: replacement\nby: KM\nwhat: replaced\ntouches: [%s]\nremoved: [%s]\n", touches, removed))
	}
	a := change("rotor/2, rotor/1", "{from: rotor/1, to: shelf}, {from: rotor/2, to: scrap}")
	require.True(t, diff.Compare(a.written(t), change("rotor/1, rotor/2", "{from: rotor/2, to: scrap}, {from: rotor/1, to: shelf}").written(t)).Empty())
	require.Equal(t, []string{
		`added changes/2019-07-29-rotor-2.yaml touches: "" to "bearing/rotor/2" `,
		`removed changes/2019-07-29-rotor-2.yaml touches: "rotor/1" to "" `,
		`changed changes/2019-07-29-rotor-2.yaml removed.rotor/2.to: "scrap" to "kept" `,
	}, told(diff.Compare(a.written(t), change("bearing/rotor/2, rotor/2", "{from: rotor/1, to: shelf}, {from: rotor/2, to: kept}").written(t)).Changes))
}

// The temperature a reading was taken at is a quantity like any other.
func TestTemperatureOfAReading(t *testing.T) {
	at := func(temperature string) diff.State {
		return taken(t, "end_float", "engine: {value: 0.06 mm, temperature: "+temperature+"}")
	}
	require.True(t, diff.Compare(at("21 degC"), at("294.15 K")).Empty())
	require.Equal(t, []string{`changed ` + run + ` end_float temperature: "21 degC" to "22 degC" `}, told(diff.Compare(at("21 degC"), at("22 degC")).Changes))
}

// Two repeats are not the interval between them, though their mean is.
func TestRepeatsAreNoInterval(t *testing.T) {
	r := diff.Compare(taken(t, "end_float", "unit: mm, engine: [0.06, 0.07]"), taken(t, "end_float", "unit: mm, engine: {between: [0.06, 0.07]}"))
	require.Empty(t, r.Readings)
	require.Equal(t, []string{`changed ` + run + ` end_float engine: "0.06 mm, 0.07 mm" to "between 0.06 mm and 0.07 mm" `}, told(r.Changes))
}

// Columns that changed places with all their cells are no difference.
func TestColumnsThatChangedPlaces(t *testing.T) {
	session := func(table string) files {
		return bare("").with(run, "format: measurements/1\nengine: SK-01\nbuild: 1\nstage: dyno\ndate: 2017-05-04\nby: KM\ntables: {dyno: "+table+"}\n")
	}
	a := session("{columns: [speed rpm, torque N m, power kW], rows: [[8000, 182.5, 152.9], [12000, 100, 125.7], [6000, 171, ~]]}")
	b := session("{columns: [speed rpm, power kW, torque N m], rows: [[6000, ~, 171], [8000, 152.9, 182.5], [12000, 125.7, 100]]}")
	require.True(t, diff.Compare(a.written(t), b.written(t)).Empty())
	require.Equal(t, []string{`added ` + run + ` tables.dyno 6000 rpm mixture: "" to "0" `}, told(diff.Compare(
		session("{columns: [speed rpm, mixture], rows: [[6000, ~]]}").written(t),
		session("{columns: [speed rpm, mixture], rows: [[6000, 0]]}").written(t)).Changes), "nothing is not zero")
	none := session("{columns: [speed rpm, torque N m], rows: []}")
	require.Equal(t, []string{
		`added ` + run + ` tables.dyno 6000 rpm: "" to "171 N m" `,
		`added ` + run + ` tables.dyno 8000 rpm: "" to "182.5 N m, 152.9 kW" `,
		`added ` + run + ` tables.dyno 12000 rpm: "" to "100 N m, 125.7 kW" `,
	}, told(diff.Compare(none.written(t), a.written(t)).Changes))
}
