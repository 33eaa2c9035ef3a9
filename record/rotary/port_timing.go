package rotary

import "math"

// halfTurnChamber is the shaft angle from a top to a bottom dead centre of a
// chamber, 270 degrees, in rad.
const halfTurnChamber = 3 * math.Pi / 2

// Timing is when a chamber's ports open and close, in rad of the shaft, in the
// words of the trade.
type Timing struct {
	IntakeOpensBTDC, IntakeClosesABDC   float64
	ExhaustOpensBBDC, ExhaustClosesATDC float64
}

// Intake is how long the intake is open, in rad of the shaft.
func (t Timing) Intake() float64 {
	return t.IntakeOpensBTDC + halfTurnChamber + t.IntakeClosesABDC
}

// Exhaust is how long the exhaust is open, in rad of the shaft.
func (t Timing) Exhaust() float64 {
	return t.ExhaustOpensBBDC + halfTurnChamber + t.ExhaustClosesATDC
}

// Overlap is how long both are open, in rad of the shaft; negative where the
// exhaust closes before the intake opens.
func (t Timing) Overlap() float64 { return t.ExhaustClosesATDC + t.IntakeOpensBTDC }

// Span is the stretch of the bore a peripheral port opens, from one trochoid
// parameter to the next in the direction of rotation, in rad.
type Span struct{ From, To float64 }

// PeripheralTiming returns the timing of peripheral ports. A port spanning t_a
// to t_b is open to a chamber from the moment the leading apex reaches t_a until
// the trailing apex has passed t_b:
//
//	open = 3 t_a + 90 deg,  close = 3 t_b + 450 deg,  duration = 360 deg + 3 (t_b - t_a)
//
// so that even a pin-hole is open for 360 degrees. Own derivation. Range: ports
// on the port side, -pi <= t_a < t_b <= 0.
func PeripheralTiming(intake, exhaust Span) (Timing, error) {
	const id = "peripheral-port-timing"
	for _, p := range []struct {
		name string
		Span
	}{{"intake", intake}, {"exhaust", exhaust}} {
		if !(p.From >= -math.Pi && p.To <= 0) {
			return Timing{}, &RangeError{Formula: id, Input: p.name + "-from", Why: "must lie on the port side, as the port's end must: -180 deg to 0 deg"}
		}
		if !(p.From < p.To) {
			return Timing{}, &RangeError{Formula: id, Input: p.name + "-to", Why: "must come after the port's beginning, in the direction of rotation"}
		}
	}
	return Timing{
		IntakeOpensBTDC:   -portAngle(intake.From).Leading,
		IntakeClosesABDC:  portAngle(intake.To).Trailing - halfTurnChamber,
		ExhaustOpensBBDC:  -portAngle(exhaust.From).Leading - halfTurnChamber,
		ExhaustClosesATDC: portAngle(exhaust.To).Trailing,
	}, nil
}

// durationParams are the results that any timing has.
var durationParams = []Param{
	{Name: "intake-duration", Symbol: "dur_in", Unit: "deg", Title: "shaft angle the intake is open"},
	{Name: "exhaust-duration", Symbol: "dur_ex", Unit: "deg", Title: "shaft angle the exhaust is open"},
	{Name: "overlap", Symbol: "overlap", Unit: "deg", Title: "shaft angle both are open; negative: none, by that much"},
}

func registerPeripheralPortTiming(r registry) {
	r.register(&Formula{
		ID:     "peripheral-port-timing",
		Topic:  topicPort,
		Title:  "timing of peripheral ports",
		Words:  "open = 3 t_a + 90 deg; close = 3 t_b + 450 deg; duration = 360 deg + 3(t_b - t_a)",
		Range:  "-180 deg <= t_a < t_b <= 0 deg",
		Source: ownDerivation,
		In: []Param{
			{Name: "intake-from", Symbol: "t_ia", Unit: "deg", Title: "trochoid parameter where the intake port begins"},
			{Name: "intake-to", Symbol: "t_ib", Unit: "deg", Title: "trochoid parameter where it ends"},
			{Name: "exhaust-from", Symbol: "t_ea", Unit: "deg", Title: "trochoid parameter where the exhaust port begins"},
			{Name: "exhaust-to", Symbol: "t_eb", Unit: "deg", Title: "trochoid parameter where it ends"},
		},
		Out: append([]Param{
			{Name: "intake-opens", Symbol: "IO_BTDC", Unit: "deg", Title: "intake opens before top dead centre"},
			{Name: "intake-closes", Symbol: "IC_ABDC", Unit: "deg", Title: "intake closes after bottom dead centre"},
			{Name: "exhaust-opens", Symbol: "EO_BBDC", Unit: "deg", Title: "exhaust opens before bottom dead centre"},
			{Name: "exhaust-closes", Symbol: "EC_ATDC", Unit: "deg", Title: "exhaust closes after top dead centre"},
		}, durationParams...),
		Work: func(in []Value) ([]Value, error) {
			t, err := PeripheralTiming(Span{in[0].Number, in[1].Number}, Span{in[2].Number, in[3].Number})
			return numbers(t.IntakeOpensBTDC, t.IntakeClosesABDC, t.ExhaustOpensBBDC, t.ExhaustClosesATDC,
				t.Intake(), t.Exhaust(), t.Overlap()), err
		},
	})
}

func registerPortDurations(r registry) {
	r.register(&Formula{
		ID:     "port-durations",
		Topic:  topicPort,
		Title:  "durations and overlap from opening and closing angles",
		Words:  "intake = 270 deg - IO + IC; exhaust = 270 deg + EO - EC; overlap = -IO - EC",
		Range:  "any ports; angles in the senses named, negative for the other side of a dead centre",
		Source: ownDerivation,
		In: []Param{
			{Name: "intake-opens", Symbol: "IO", Unit: "deg", Title: "intake opens AFTER top dead centre"},
			{Name: "intake-closes", Symbol: "IC", Unit: "deg", Title: "intake closes after bottom dead centre"},
			{Name: "exhaust-opens", Symbol: "EO", Unit: "deg", Title: "exhaust opens before bottom dead centre"},
			{Name: "exhaust-closes", Symbol: "EC", Unit: "deg", Title: "exhaust closes BEFORE top dead centre"},
		},
		Out: durationParams,
		Work: func(in []Value) ([]Value, error) {
			const id = "port-durations"
			t := Timing{IntakeOpensBTDC: -in[0].Number, IntakeClosesABDC: in[1].Number,
				ExhaustOpensBBDC: in[2].Number, ExhaustClosesATDC: -in[3].Number}
			if !(t.Intake() > 0) {
				return nil, &RangeError{Formula: id, Input: "intake-closes", Why: "must come after the intake opens"}
			}
			if !(t.Exhaust() > 0) {
				return nil, &RangeError{Formula: id, Input: "exhaust-closes", Why: "must come after the exhaust opens"}
			}
			return numbers(t.Intake(), t.Exhaust(), t.Overlap()), nil
		},
	})
}
