package app

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema/quantity"
)

const spec = `format: spec/1
engine: SK-01
id: 5c02-7be1-90aa
title: two rotors
build: 1
geometry:
  rotors: 2
  generating_radius: 98 mm
  seal_tip_radius: 2 mm
  eccentricity: 14 mm
  chamber_width: 78 mm
porting:
  intake_opens: -86 deg
  intake_closes: 75 deg
  exhaust_opens: 75 deg
  exhaust_closes: 48 deg
  intake_area: 1520 mm2
  exhaust_area: 1610 mm2
  ports:
    port/1/intake/primary: {state: filled, area: 400 mm2}
    port/1/intake/peripheral: {state: open, area: 1500 mm2, closes: 70 deg}
`

const mockUp = `format: measurements/1
engine: SK-01
build: 1
stage: mock-up
date: 2024-03-02
by: KM
readings:
  port_opens:
    unit: deg
    port/2/exhaust/peripheral: -346
  port_closes:
    unit: deg
    port/2/exhaust/peripheral: 47.6
`

const onDyno = `format: measurements/1
engine: SK-01
build: 1
stage: dyno
date: 2024-04-02
by: KM
readings:
  coolant_temperature:
    unit: degC
    engine/in: 72
    housing/1/out: 76
    housing/2/in: 75
    housing/2/out: 80
tables:
  dyno:
    columns: [speed rpm, torque N m, power kW]
    rows:
      - [6000, 171, ~]
      - [8400, ~, 158]
      - [8800, ~, ~]
`

// engineOf loads an engine from its spec and sessions.
func engineOf(t *testing.T, spec string, sessions ...string) *record.Engine {
	t.Helper()
	files := []record.File{{Path: "engines/2024/SK-01/spec.yaml", Data: []byte(spec)}}
	for _, text := range sessions {
		name := "2024-03-02-mock-up-KM.yaml"
		if text == onDyno {
			name = "2024-04-02-dyno-KM.yaml"
		}
		files = append(files, record.File{Path: "engines/2024/SK-01/measurements/" + name, Data: []byte(text)})
	}
	e, problems := record.Load("engines/2024/SK-01", files)
	require.Empty(t, problems)
	return e
}

// The spec counts an opening exhaust back from the bottom dead centre before
// the exchange and a closing intake on from the one behind it; both are 270 deg
// of shaft away. What was read by degree wheel is counted from the exchange.
func TestPortsOf(t *testing.T) {
	type row struct {
		label                string
		opens, closes, area  float64
		from                 string
		exhaustDrawnAsHollow bool
	}
	var got []row
	for _, p := range portsOf(engineOf(t, spec, mockUp)) {
		got = append(got, row{p.label(), *p.opens, *p.closes, *p.area, p.from, p.exhaust})
	}
	assert.Equal(t, []row{
		{"rotor 1 exhaust", -345, 48, 1610, "spec", true},
		{"rotor 1 intake peripheral", -86, 340, 1500, "spec", false},
		{"rotor 2 exhaust peripheral", -346, 47.6, 1610, "measured", true},
		{"rotor 2 intake", -86, 345, 1520, "spec", false},
	}, got)
}

// A column that was not read is worked from the other: P = M omega.
func TestRowValue(t *testing.T) {
	table, _ := engineOf(t, spec, onDyno).Run()
	require.NotNil(t, table)
	rpm := quantity.MustLookup("rpm")
	assert.InDelta(t, 171*quantity.ToSI(6000, rpm), rowValue(table.Rows[0], "power", "torque"), 1e-6)
	assert.InDelta(t, 171, rowValue(table.Rows[0], "torque", "power"), 1e-9)
	assert.InDelta(t, 158e3/quantity.ToSI(8400, rpm), rowValue(table.Rows[1], "torque", "power"), 1e-6)
	assert.True(t, math.IsNaN(rowValue(table.Rows[2], "power", "torque")))
}

// Only what leaves a housing counts, and what enters the engine.
func TestCoolantRead(t *testing.T) {
	at := coolantRead(engineOf(t, spec, onDyno))
	require.Len(t, at, 3)
	for n, celsius := range []float64{72, 76, 80} {
		assert.InDelta(t, celsius+273.15, at[n], 1e-9, "%d", n)
	}
}

// An estimated temperature is a figure at a housing, and no reading.
func TestCoolantEstimated(t *testing.T) {
	estimate := &figure.Figure{ID: "cooling.coolant_out", Unit: "degC"}
	heat := &figure.Figure{ID: "cooling.metal", Unit: "degC"}
	s := &figure.Set{Results: []*figure.Result{{Figure: estimate, At: "housing/2", Value: 350}, {Figure: heat, At: "housing/1", Value: 400}, {Figure: estimate, At: "engine", Value: 360}}}
	assert.Equal(t, map[int]float64{2: 350}, coolantEstimated(s))
}

// Without a pocket the curve is that of the ideal flank: least and most as the
// formulas have them, the same 540 deg on. Sizes that bound no chamber draw none.
func TestChamberOf(t *testing.T) {
	e := engineOf(t, spec)
	d := drawn{name: "SK-01", figures: figure.Compute(e, nil)}
	volume, basis := chamberOf(d)
	require.NotNil(t, volume)
	assert.Equal(t, "ideal flank, no pocket", basis)
	// The swept volume of these sizes is 567.15 cm3 (see the checks of the formulas).
	assert.InDelta(t, 567.15e-6, volume(1.5*math.Pi)-volume(0), 1e-8)
	assert.InDelta(t, volume(1), volume(1+3*math.Pi), 1e-12)

	bare := engineOf(t, "format: spec/1\nengine: SK-01\ntitle: x\nbuild: 1\nid: 5c02-7be1-90aa\ngeometry:\n  rotors: 1\n  eccentricity: 14 mm\n  generating_radius:\n  seal_tip_radius:\n  chamber_width:\n")
	d.figures = figure.Compute(bare, nil)
	volume, _ = chamberOf(d)
	assert.Nil(t, volume)
	assert.Nil(t, drawChambers([]drawn{d}))
	assert.Nil(t, drawRuns([]drawn{d}))
	assert.Nil(t, drawCoolant([]drawn{d}))
	assert.Nil(t, drawPorts(d))
	assert.Nil(t, drawAreas(d))
	assert.Nil(t, drawBalance(d))
	assert.Nil(t, drawBands(d))
	assert.Nil(t, sections("Drawn", nil, nil))
}

// A value is drawn with both ends of what it may be, or none.
func TestBanded(t *testing.T) {
	mm := quantity.MustLookup("mm")
	f := &figure.Figure{Unit: "mm"}
	r := &figure.Result{Figure: f, At: "rotor/1", Value: 0.1e-3, Verdict: figure.Fails, Limit: &figure.Limit{Low: 0.12e-3, High: math.NaN()}}
	b := banded(r, mm)
	assert.InDelta(t, 0.12, b.Low, 1e-12)
	assert.True(t, math.IsNaN(b.High) && math.IsNaN(b.From))
	r.Uncertainty = &figure.Uncertainty{Expanded: 0.006e-3}
	b = banded(r, mm)
	assert.InDelta(t, 0.094, b.From, 1e-9)
	assert.InDelta(t, 0.106, b.To, 1e-9)
	r.Extent = &figure.Extent{Low: 0.06e-3, High: 0.14e-3}
	assert.InDelta(t, 0.06, banded(r, mm).From, 1e-9)
}
