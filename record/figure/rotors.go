package figure

import "strings"

// Rotors is how a figure of a whole engine depends on how many rotors it has.
type Rotors int

// The ways.
const (
	OfEach  Rotors = iota // says the same of any number: of one rotor or chamber, or of the engine as a ratio
	Summed                // grows with the number: engines of different numbers are compared by its share for each rotor
	OfWhole               // rests on how many there are and where they sit: engines of different numbers are not compared
)

// AcrossRotors tells how the figure at a position is compared between engines
// of different numbers of rotors. What is of one rotor, housing or plate is of
// each, whatever the figure is of the whole engine.
func (f *Figure) AcrossRotors(at string) Rotors {
	if at == "engine" || strings.HasPrefix(at, "counterweight/") {
		return f.Rotors
	}
	return OfEach
}

// EachRotor is a figure of a whole engine shared out among its rotors, and its
// uncertainty with it. No limit is for a share, so none judges it.
func (r *Result) EachRotor(rotors int) *Result {
	n := float64(rotors)
	share, of := *r, *r.Figure
	of.Mark = strings.TrimPrefix(of.Mark+", for each rotor", ", ")
	share.Figure, share.Value, share.Step = &of, r.Value/n, r.Step/n
	if r.Extent != nil {
		share.Extent = &Extent{r.Extent.Low / n, r.Extent.High / n}
	}
	if r.Uncertainty != nil {
		u := *r.Uncertainty
		u.Standard, u.Expanded, u.Parts = u.Standard/n, u.Expanded/n, nil
		share.Uncertainty = &u
	}
	share.Verdict, share.Limit, share.Other, share.Guard = NoVerdict, nil, nil, 0
	return &share
}
