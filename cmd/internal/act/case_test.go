package act_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

// A case begins with the delivery and takes in how the build was found; what
// was done to the next build is none of it.
func TestCase(t *testing.T) {
	b := demoBook(t)
	c, err := b.Case("SK-01/1")
	require.NoError(t, err)
	var names []string
	for _, ev := range c.Events {
		names = append(names, ev.Name())
	}
	assert.Equal(t, []string{"2017-05-20-delivery.yaml", "2019-07-08-telephone.yaml", "2019-07-20-as-received-KM.yaml", "2019-07-22-teardown.yaml", "2019-07-22-as-found-KM.yaml", "2019-07-26-after-cleaning-KM.yaml"}, names)
	assert.Equal(t, "SK-01", c.Now.Name)
	assert.Equal(t, 1, c.Then.Engine.Build)
	var out []string
	for _, r := range c.Out {
		out = append(out, r.From+" to "+r.To)
	}
	assert.Equal(t, []string{"housing/2 to scrap", "rotor/2 to scrap", "rotor/2/apex/3 to kept as evidence", "spacer to shelf"}, out)
	assert.False(t, c.Proof.Mismatch())
	require.NotEmpty(t, c.Commits)
	assert.NotEqual(t, c.Proof.Commit.Hash, c.Commits[len(c.Commits)-1].Hash, "the delivery itself is not since the delivery")

	for text, want := range map[string]int{"SK-01": 2, "SK-01/2": 2, "SK-01@2019-07-10": 1} {
		c, err := b.Case(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, c.Build, text)
	}
}

// What was recorded stands beside the limits as they were sent with that build,
// whatever they are today.
func TestCaseBeside(t *testing.T) {
	b := demoBook(t)
	c, err := b.Case("SK-01/1")
	require.NoError(t, err)
	require.Len(t, c.Recorded, 2)
	got := map[string]float64{}
	for _, r := range c.Recorded {
		for _, beside := range r.Beside {
			got[r.What+" / "+beside.Limit.Key+" "+beside.Limit.Text] = beside.Apart
		}
	}
	assert.Equal(t, map[string]float64{
		"coolant, highest / coolant_alarm 95 degC": 23, "coolant, highest / coolant_stop 105 degC": 13,
		"speed, highest / speed_continuous 8500 rpm": 640, "speed, highest / speed_momentary 8800 rpm": 340,
	}, got)
}

// Values of other units are held against a limit all the same; what is no
// quantity, or belongs to no limit that was sent, stands beside none.
func TestRecordedInWords(t *testing.T) {
	cases := []struct {
		key, value string
		limit      string
		apart      float64
	}{
		{"coolant, highest", "212 degF", "coolant_stop", -2},
		{"water out", "102 degC", "coolant_stop", 0},
		{"speed with a comma", "8,760 rpm", "", 0},
		{"speed", "8760 rpm, twice", "speed_momentary", 60},
		{"oil pressure at speed", "2.8 bar", "oil_pressure_stop", -20},
		{"oil temperature", "120 degC", "", 0}, // no limit of it was sent
		{"air", "30 degC", "", 0},
		{"coolant without a unit", "95", "", 0},
		{"coolant by hand", "warm to the hand", "", 0},
		{"coolant lost", "1.5 L", "", 0},
		{"boat speed", "90 km/h", "", 0},
	}
	text := "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2020-01-02\nkind: event\nby: KM\nwhat: a call\nrecorded:\n"
	for _, c := range cases {
		text += fmt.Sprintf("  %q: %q\n", c.key, c.value)
	}
	b := demoBook(t)
	b.write(engineFolder+"/changes/2020-01-02-call.yaml", text)
	got, err := b.Case("SK-01/2")
	require.NoError(t, err)
	require.Len(t, got.Recorded, len(cases))
	for i, c := range cases {
		r := got.Recorded[i]
		assert.Equal(t, []string{c.key, c.value}, []string{r.What, r.Text})
		var apart []float64
		for _, beside := range r.Beside {
			if beside.Limit.Key == c.limit {
				apart = append(apart, beside.Apart)
			}
		}
		if c.limit == "" {
			assert.Empty(t, r.Beside, c.key)
		} else if assert.Len(t, apart, 1, c.key) {
			assert.InDelta(t, c.apart, apart[0], 1e-6, c.key)
		}
	}
}

// A picture is handed out only as the file whose hash the record says.
func TestCasePictures(t *testing.T) {
	b := demoBook(t)
	b.write(engineFolder+"/photos/a.jpg", "not the file that was meant")
	b.write(engineFolder+"/changes/2020-01-02-note.yaml", "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2020-01-02\nkind: note\nby: KM\nwhat: pictures\nphotos:\n"+
		"  - {file: photos/a.jpg, sha256: aaaa, caption: soot}\n  - {file: photos/gone.jpg, sha256: bbbb}\n  - {file: ../../../book.yaml, sha256: cccc}\n  - {file: spec.yaml, sha256: dddd}\n")
	c, err := b.Case("SK-01/2")
	require.NoError(t, err)
	require.Len(t, c.Pictures, 4)
	for _, p := range c.Pictures {
		assert.Nil(t, p.Data, p.File)
		assert.NotEmpty(t, p.Missing, p.File)
	}
	assert.Equal(t, "soot", c.Pictures[0].Caption)
	assert.Equal(t, "a.jpg is another file than the one whose sha256 is written", c.Pictures[0].Missing)
}

// A build whose delivery is written and not committed has no code yet, and one
// that is open has no delivery.
func TestHandover(t *testing.T) {
	h, err := demoBook(t).Handover("SK-01/1")
	require.NoError(t, err)
	require.NotNil(t, h.Proof)
	assert.Equal(t, "2017-05-20", h.Delivery.Date.Day())

	b := openBook(t)
	h, err = b.Handover("SK-01")
	require.NoError(t, err)
	assert.Nil(t, h.Delivery)
	assert.Nil(t, h.Proof)

	b.write(engineFolder+"/changes/2019-09-28-delivery.yaml", "format: change/1\nengine: SK-01\nbuild: 2\ndate: 2019-09-28\nkind: delivery\nby: KM\nhours: 65 h\nwhat: delivered\n")
	h, err = b.Handover("SK-01")
	require.NoError(t, err)
	assert.NotNil(t, h.Delivery)
	assert.Nil(t, h.Proof)
}

// R15: no sheet names a customer, however the name is spelled; its code is no
// name.
func TestMayTell(t *testing.T) {
	b := demoBook(t)
	require.NoError(t, b.MayTell("the sheet", "Ola Testmann", ", or not at all"), "without the file nothing is known to be private")
	b.write(act.PrivateFile, customers)
	for _, c := range mentioned {
		err := b.MayTell("the sheet", "a sheet\n"+c.text+"\nand more", ", or not at all")
		if c.want == "" {
			assert.NoError(t, err, c.text)
		} else if c.text[0] != '"' && c.text[0] != '>' { // the rest is only plain once YAML is read
			assert.ErrorContains(t, err, c.want, c.text)
		}
	}
	require.NoError(t, b.MayTell("the sheet", "customer C-01", ""))
}

func TestCustomerName(t *testing.T) {
	b := demoBook(t)
	_, err := b.CustomerName("C-01")
	require.ErrorContains(t, err, "there is no private/customers.yaml here")
	b.write(act.PrivateFile, customers)
	for code, want := range map[string]string{"C-01": "Ola Testmann", "C-02": "Åse Ødegård-Müller", "C-04": "Bo"} {
		name, err := b.CustomerName(code)
		require.NoError(t, err)
		assert.Equal(t, want, name)
	}
	for _, code := range []string{"C-05", "C-99", ""} {
		_, err := b.CustomerName(code)
		assert.ErrorContains(t, err, "tells no name of customer", code)
	}
}
