package figure_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record/figure"
)

// warm is a housing width of 80.012 mm read on a housing of 31 degC, and a rotor
// of 79.850 mm read without a word of its temperature.
type warm struct{ part, instrument, session, reading string }

func (w warm) compute(t *testing.T) *figure.Set {
	t.Helper()
	reading := w.reading
	if reading == "" {
		reading = "{value: 80.012, temperature: 31 degC}"
	}
	return small{
		"geometry: {rotors: 1}\nparts:\n  housing/1: {" + w.part + "}\n",
		map[string]string{"mock-up 2024-03-02": w.session + "instruments:\n  M: {kind: outside micrometer, expanded_uncertainty: 0.002 mm" + w.instrument + "}\n" +
			"readings:\n  housing_width: {unit: mm, instrument: M, housing/1/at/A: " + reading + "}\n  rotor_width: {unit: mm, instrument: M, rotor/1/corner/1: 79.850}\n"},
	}.compute(t)
}

// width is the housing's width as the clearance used it, and its input.
func (w warm) width(t *testing.T) (mm float64, in *figure.Input) {
	t.Helper()
	r := result(t, w.compute(t), "rotor.side_clearance", "rotor/1")
	for _, in := range r.Inputs {
		if strings.HasPrefix(in.Name, "housing_width") {
			require.InDelta(t, in.SI-0.07985, r.Value, 1e-12)
			return in.SI * 1e3, in
		}
	}
	require.Fail(t, "the clearance read no width")
	return 0, nil
}

const castHousing = "material: cast aluminium"

// The known answers of the formula come out of records: the part's temperature
// beside its reading, its expansion, and what is said of the instrument.
func TestSizesAreBroughtTo20(t *testing.T) {
	answers := knownAnswers(t)
	row := through{
		spec: "geometry: {rotors: 1}\nparts:\n  housing/1: {expansion: '{a_part} 1e-6/K'}\n",
		sessions: map[string]string{"mock-up 2024-03-02": "instruments:\n  M: {kind: outside micrometer, expansion: '{a_inst} 1e-6/K', temperature: '{T_inst} degC'}\n" +
			"readings:\n  housing_width: {unit: mm, instrument: M, temperature: '{T_part} degC', housing/1/at/A: {L_ind}}\n  rotor_width: {unit: mm, rotor/1/corner/1: 40}\n"},
	}
	for _, id := range []string{"cl.ref20.01", "cl.ref20.02", "cl.ref20.03"} {
		k, ok := answers[id]
		require.True(t, ok, id)
		want := k.expectedValue(t, "L20") - 40
		require.InDelta(t, want, result(t, row.filled(t, k).compute(t), "rotor.side_clearance", "rotor/1").In(), 1e-8, id)
	}
}

// What a part is made of tells its expansion, where the format document names
// the material; the part's own expansion comes first, and steel stands for an
// instrument that says nothing.
func TestMaterialsOfTheFormatDocument(t *testing.T) {
	const between = "`material` of these words"
	_, text, ok := strings.Cut(readFile(t, "../../schema/FORMAT.md"), between)
	require.True(t, ok, between)
	text, _, _ = strings.Cut(text, ";")
	named := 0
	for _, m := range regexp.MustCompile(`(wrought or )?([a-z][a-z ]+) \(([\d.]+)`).FindAllStringSubmatch(text, -1) {
		ppm, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		materials := []string{m[2], strings.ToUpper(m[2])}
		if m[1] != "" {
			materials = append(materials, "wrought aluminium")
		}
		for _, material := range materials {
			named++
			mm, in := warm{part: "material: " + material}.width(t)
			require.InDelta(t, 80.012*(1+11.5e-6*11)/(1+ppm*1e-6*11), mm, 1e-9, material)
			require.Contains(t, in.Note, "at 20 degC", material)
		}
	}
	require.Equal(t, 15, named)
	mm, in := warm{part: castHousing + ", expansion: 20 1e-6/K"}.width(t)
	require.InDelta(t, 80.012*(1+11.5e-6*11)/(1+20e-6*11), mm, 1e-9)
	require.Equal(t, "80.012 mm", in.Text, "as it was written")
	require.Equal(t, "read at 31 degC, is 80.0045 mm at 20 degC: housing/1 grows by 20.0 1e-6/K, the gauge by 11.5 1e-6/K", in.Note)
}

// What is not known corrects nothing, and where a temperature was given for
// nothing that is said.
func TestSizesLeftAsRead(t *testing.T) {
	for name, c := range map[string]struct {
		w    warm
		note string
	}{
		"no material":              {warm{part: "serial: H-1"}, "read at 31 degC and left so: the expansion of housing/1 is not known"},
		"a material of many kinds": {warm{part: "material: aluminium"}, "the expansion of housing/1 is not known"},
		"the room's temperature":   {warm{part: castHousing, session: "temperature: 31 degC\n", reading: "80.012"}, ""},
		"an empty expansion":       {warm{part: "expansion: ''"}, "not known"},
	} {
		mm, in := c.w.width(t)
		require.Equal(t, 80.012, mm, name)
		if c.note == "" {
			require.Empty(t, in.Note, name)
		}
		require.Contains(t, in.Note, c.note, name)
	}
}

// R6: a size that its gauge grows with stays the decimal it was written as.
func TestR6SteelReadWithSteelStaysExact(t *testing.T) {
	w := warm{part: "material: steel", reading: "{value: 80.011, temperature: 33.3 degC}"}
	require.Equal(t, 0.000161, result(t, w.compute(t), "rotor.side_clearance", "rotor/1").Value)
}

// What is shown as it was measured stays as it was read.
func TestPointsAsMeasuredStayAsRead(t *testing.T) {
	set := small{
		"geometry: {rotors: 1}\nparts:\n  rotor/1/apex/1: {expansion: 100 1e-6/K}\n",
		map[string]string{"mock-up 2024-03-02": "readings:\n  apex_seal_height: {unit: mm, temperature: 60 degC, rotor/1/apex/1: 8.000}\n"},
	}.compute(t)
	r := result(t, set, "apex_seal_height", "rotor/1/apex/1")
	require.Equal(t, "8.000", r.Text())
	require.Empty(t, r.Inputs[0].Note)
}

// Both ends of an interval are brought to 20 degC.
func TestIntervalIsBroughtTo20(t *testing.T) {
	w := warm{part: castHousing, instrument: ", expansion: 0 1e-6/K", reading: "{between: [80.00, 80.02], temperature: 31 degC}"}
	r := result(t, w.compute(t), "rotor.side_clearance", "rotor/1")
	grown := 1 + 21.5e-6*11
	require.InDelta(t, 80.00/grown-79.850, r.Extent.Low*1e3, 1e-9)
	require.InDelta(t, 80.02/grown-79.850, r.Extent.High*1e3, 1e-9)
	require.InDelta(t, 80.01/grown-79.850, r.In(), 1e-9)
}

// A temperature is never known exactly: 0.5 K of standard uncertainty where
// nobody said (common practice), else what stands beside it.
func TestTemperatureAddsToTheUncertainty(t *testing.T) {
	of := func(w warm) float64 {
		return result(t, w.compute(t), "rotor.side_clearance", "rotor/1").Uncertainty.Standard * 1e6
	}
	// One micrometer's certificate cancels in a difference of two sizes (the
	// readings share it), so that the temperature's part is left alone.
	require.InDelta(t, 80.012e3*21.5e-6*0.5, of(warm{part: castHousing}), 1e-3, "half a kelvin of 80 mm of aluminium is 0.86 um")
	require.InDelta(t, 80.012e3*21.5e-6*2, of(warm{part: castHousing, reading: "{value: 80.012, temperature: 31 degC, temperature_error: 4 K}"}), 3e-3)
	require.InDelta(t, 80.012e3*21.5e-6, of(warm{part: castHousing, reading: "{value: 80.012, temperature: 31 degC, temperature_error: 3.6 degF}"}), 1e-3, "a difference has no offset")
	require.Nil(t, result(t, warm{part: "serial: H-1"}.compute(t), "rotor.side_clearance", "rotor/1").Uncertainty, "as read there is none")
}

// R4: everything that brings a size to 20 degC is in the digest; how it is
// written is not.
func TestR4WarmthIsDigested(t *testing.T) {
	digest := func(w warm) string { return w.compute(t).Digest() }
	base := digest(warm{part: castHousing})
	seen := map[string]string{base: "the base"}
	for name, w := range map[string]warm{
		"another temperature":     {part: castHousing, reading: "{value: 80.012, temperature: 32 degC}"},
		"no temperature":          {part: castHousing, reading: "80.012"},
		"another material":        {part: "material: grey cast iron"},
		"an expansion of its own": {part: castHousing + ", expansion: 21 1e-6/K"},
		"the gauge's expansion":   {part: castHousing, instrument: ", expansion: 9 1e-6/K"},
		"the gauge's temperature": {part: castHousing, instrument: ", temperature: 25 degC"},
		"how far it may be off":   {part: castHousing, reading: "{value: 80.012, temperature: 31 degC, temperature_error: 3 K}"},
	} {
		d := digest(w)
		require.NotContains(t, seen, d, name)
		seen[d] = name
	}
	require.Equal(t, base, digest(warm{part: "material: Cast aluminium", reading: "{value: 80.012, temperature: 87.8 degF}"}), "31 degC is 87.8 degF")
	require.Equal(t, base, digest(warm{part: castHousing, instrument: ", expansion: 11.5 1e-6/K, temperature: 31 degC"}), "what is assumed, said")
}

// What moved a figure from one state to another may be a temperature alone.
func TestTemperatureMovesAFigure(t *testing.T) {
	from, to := warm{part: castHousing, reading: "80.012"}.compute(t), warm{part: castHousing}.compute(t)
	moved := movedBy(t, from, to, "rotor.side_clearance", "rotor/1")
	require.Equal(t, []string{"housing_width at housing/1"}, names(moved))
	require.InDelta(t, 80.012e-3*(1-(1+21.5e-6*11)/(1+11.5e-6*11)), moved.Shares[0].Share, 1e-8)
}

func names(m figure.Moved) []string {
	var list []string
	for _, s := range m.Shares {
		list = append(list, s.Input)
	}
	return list
}

// R1: a reading that follows its part from another place is brought to 20 degC
// by what the part is now fitted as.
func TestR1CarriedSizeOfAWarmPart(t *testing.T) {
	s := overBuilds()
	for file, text := range s.files {
		s.files[file] = strings.NewReplacer(
			"rotor/3: {serial: R-1}", "rotor/3: {serial: R-1, material: ductile iron}",
			"rotor_width: {unit: mm, rotor/2/corner/1: 77.860}", "rotor_width: {unit: mm, temperature: 30 degC, rotor/2/corner/1: 77.860}").Replace(text)
	}
	r := result(t, s.compute(t), "rotor.side_clearance", "rotor/3")
	want := 78.008 - 77.860*(1+11.5e-5)/(1+10.9e-5)
	require.InDelta(t, want, r.In(), 1e-9)
	require.Greater(t, math.Abs(want-0.148), 1e-5, fmt.Sprint(want))
}
