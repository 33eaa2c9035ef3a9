package rotary

// Unlimited is the text in place of a number where a wear forecast has no
// finite bound.
const Unlimited = "unlimited"

// Forecast is what readings of one dimension over the hours say of its wear.
// Readings in m, hours in s, rates in m/s.
type Forecast struct {
	Line        Line
	RateBand    float64 // half-width of the confidence interval of the slope
	Value       float64 // on the line at the hour asked for
	MeanBand    float64 // half-width for the line itself there
	ReadBand    float64 // half-width for one more reading there
	Reaches     Reach   // when the limit is reached; only where Significant
	Significant bool
}

// WearForecast fits a line to wear readings and asks when it comes to a limit.
// confidence is both ways (0.95). The earliest of Reaches is the hour to measure
// again before; nothing else follows from it. See Line.reach for the bounds.
//
// It needs three readings or more of one part under one set of operating
// conditions; a new part starts a new series. With three, Student's t is 12.7.
// Bedding-in and damage are not linear, and a forecast far beyond the hours
// observed is arithmetic, not evidence. An hour before the last reading means
// that the limit has been passed, or that the line moves away from it.
func WearForecast(hours, readings []float64, limit, at, confidence float64) (Forecast, error) {
	const id = "wear-fit"
	line, err := fitLine(id, hours, readings)
	if err != nil {
		return Forecast{}, err
	}
	t, err := line.quantile(id, confidence)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Line: line, RateBand: t * line.SE1}
	f.Value, f.MeanBand, f.ReadBand = line.at(at, t)
	f.Reaches, f.Significant = line.reach(limit, t)
	return f, nil
}

func registerWearFit(r registry) {
	r.register(&Formula{
		ID:    "wear-fit",
		Topic: topicWear,
		Title: "wear by the hour, and when to measure again",
		Words: "y = b0 + b1 h by least squares; the limit is reached at (L - b0)/b1, " +
			"bounded by (L - b0 - b1 h)^2 = t^2 s^2 (1 + 1/n + (h - hmean)^2/Sxx)",
		Range:  "one part, one set of operating conditions, three readings or more; unlimited where the slope does not differ from zero",
		Source: "own derivation from ordinary least squares; prediction band solved for h",
		In: []Param{
			{Name: "hours", Symbol: "x", Unit: "h", Title: "hours at each reading", Kind: List},
			{Name: "readings", Symbol: "y", Unit: "mm", Title: "the readings", Kind: List},
			{Name: "limit", Symbol: "limit", Unit: "mm", Title: "limit of the dimension"},
			{Name: "at", Symbol: "x0", Unit: "h", Title: "hours to give the value for"},
			{Name: "confidence", Symbol: "confidence", Unit: "1", Title: "confidence of the bands", Optional: true, Default: 0.95},
		},
		Out: []Param{
			{Name: "start", Symbol: "b0", Unit: "mm", Title: "value at 0 h"},
			{Name: "rate", Symbol: "b1", Unit: "mm/h", Title: "wear by the hour"},
			{Name: "scatter", Symbol: "s", Unit: "mm", Title: "residual standard deviation"},
			{Name: "rate-band", Symbol: "ci_b1", Unit: "mm/h", Title: "confidence half-width of the rate"},
			{Name: "value", Symbol: "y_x0", Unit: "mm", Title: "value on the line at the hours asked for"},
			{Name: "value-band", Symbol: "ci_x0", Unit: "mm", Title: "confidence half-width of the line there"},
			{Name: "reading-band", Symbol: "pi_x0", Unit: "mm", Title: "half-width for one more reading there"},
			{Name: "limit-reached", Symbol: "h_limit", Unit: "h", Title: "hours at which the line is at the limit", Optional: true},
			{Name: "measure-before", Symbol: "h_pi_lo", Unit: "h", Title: "earliest hours a reading could be at the limit", Optional: true},
			{Name: "latest", Symbol: "h_pi_hi", Unit: "h", Title: "latest hours a reading could be at the limit", Optional: true},
		},
		Work: func(in []Value) ([]Value, error) {
			f, err := WearForecast(in[0].List, in[1].List, in[2].Number, in[3].Number, in[4].Number)
			if err != nil {
				return nil, err
			}
			out := numbers(f.Line.B0, f.Line.B1, f.Line.S, f.RateBand, f.Value, f.MeanBand, f.ReadBand)
			if !f.Significant {
				none := Value{Text: Unlimited}
				return append(out, none, none, none), nil
			}
			return append(out, numbers(f.Reaches.On, f.Reaches.Earliest, f.Reaches.Latest)...), nil
		},
	})
}
