package figure

import (
	"math"

	"stackbook/record"
)

const spacerNote = "holds for the spacer the end float was read with; too small a float asks for a thicker spacer, too large for a thinner one (workshop manual of the late 654 cm3 class [S16a])"

// endFloat is the spacer to fit.
func endFloat() []*Figure {
	return []*Figure{
		{
			ID: "spacer.wanted", Topic: TopicFits, Title: "spacer the wanted end float calls for", Unit: "mm", Decimals: 3, At: at("engine"), Words: "fitted spacer + wanted end float − measured end float", Source: "own derivation; direction by [S16a]",
			Note: spacerNote, Only: has("targets.end_float"),
			Work: func(l *Look, _ string) float64 { return l.spacerWanted() },
		},
		{
			ID: "spacer.nearest", Topic: TopicFits, Title: "nearest spacer at hand", Unit: "mm", Decimals: 3, At: at("engine"), Words: "of targets.spacers the one nearest to what is called for; of two as near the thicker", Source: commonPractice,
			Note: spacerNote, Only: spacersAtHand, Work: func(l *Look, _ string) float64 { return l.nearestSpacer().SI },
		},
		{
			ID: "spacer.end_float", Topic: TopicFits, Title: "end float with it", Unit: "mm", Decimals: 3, At: at("engine"), Words: "measured end float + nearest spacer − fitted spacer", Source: "own derivation",
			Note: spacerNote, Only: spacersAtHand,
			Work: func(l *Look, _ string) float64 {
				nearest := l.nearestSpacer()
				return l.Largest("end_float", "engine").SI + nearest.Minus(l.fittedSpacer())
			},
		},
	}
}

// spacersAtHand tells whether the spec lists any.
func spacersAtHand(e *record.Engine) bool {
	n := e.Spec.Node("targets.spacers")
	return n != nil && len(n.Items()) > 0
}

func (l *Look) fittedSpacer() Num { return l.Largest("spacer_thickness", "spacer") }

func (l *Look) spacerWanted() float64 {
	return l.fittedSpacer().SI + l.Spec("targets.end_float").Minus(l.Largest("end_float", "engine"))
}

// nearestSpacer is the spacer at hand nearest to the one wanted. Distances are
// compared to a millionth of a millimetre: two as near as each other are not
// told apart by binary fractions.
func (l *Look) nearestSpacer() Num {
	const same = 1e-9 // m
	wanted := l.spacerWanted()
	best, off := Num{}, math.Inf(1)
	for _, s := range l.Sizes("targets.spacers") {
		d := math.Abs(s.SI - wanted)
		if d < off-same || d < off+same && s.SI > best.SI {
			best, off = s, d
		}
	}
	return best
}

const disagree = "fails means that feeler and sizes disagree by more than both may be off"

// felt holds what a feeler says against what the sizes give.
func felt() []*Figure {
	return []*Figure{
		byFeeler("apex_seal.end_gap_by_feeler", "end gap by feeler, less computed", "apex_seal_end_gap_felt",
			"end gap by feeler − (smallest housing width of A to D − seal length)", disagree+"; free and clamped widths differ by some 0.02 mm",
			func(l *Look, at string) float64 {
				return l.Smallest("housing_width", housingOf(at)).Minus(l.Largest("apex_seal_length", at))
			}),
		byFeeler("apex_seal.side_clearance_by_feeler", "side clearance by feeler, less computed", "apex_seal_side_clearance_felt",
			"side clearance by feeler − (smallest groove width − largest seal thickness)", disagree,
			func(l *Look, at string) float64 {
				return l.Smallest("apex_groove_width", at).Minus(l.Largest("apex_seal_thickness", at))
			}),
	}
}

func byFeeler(id, title, point, words, note string, computed func(l *Look, at string) float64) *Figure {
	difference := func(l *Look, at string) float64 { return l.Mean(point, at).SI - computed(l, at) }
	return &Figure{
		ID: id, Topic: TopicFits, Title: title, Unit: "mm", Decimals: 3, At: apexes, Words: words, Source: commonPractice,
		Note: note, Where: whereRead(point), Limit: agrees(difference), Work: difference,
	}
}

// agrees makes the limit of a difference of two ways to measure one thing: its
// own expanded uncertainty. There is none where that is not known.
func agrees(difference func(l *Look, at string) float64) func(l *Look, at string) (Limit, bool) {
	return func(l *Look, at string) (Limit, bool) {
		if len(l.missing) > 0 || l.failed != nil {
			return Limit{}, false
		}
		u := uncertainty(&Figure{Work: difference}, at, l.from, l)
		if u == nil {
			return Limit{}, false
		}
		return Limit{Low: -u.Expanded, High: u.Expanded, Kind: "combined uncertainty", Source: "JCGM 100:2008, k = 2", Agreeing: true}, true
	}
}
