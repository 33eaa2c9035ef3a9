package rotary

import "math"

const topicWear = "wear"

// Line is a straight line y = B0 + B1 x fitted by ordinary least squares, with
// what is needed to say how well it is known. The units are those of the data.
type Line struct {
	B0, B1     float64 // intercept, slope
	SE0, SE1   float64 // their standard errors
	S          float64 // residual standard deviation, n-2 degrees of freedom
	R2         float64 // coefficient of determination; 0 where all y are equal
	n          float64
	meanX, sxx float64
}

// FitLine fits a line to at least three points:
//
//	B1 = Sxy/Sxx,  B0 = ymean - B1 xmean,  S^2 = SSE/(n-2)
//	SE1 = S/sqrt(Sxx),  SE0 = S sqrt(1/n + xmean^2/Sxx),  R2 = 1 - SSE/Syy
//
// The means are taken off first, so data far from zero keep their digits; the
// fit agrees with the certified values of NIST StRD Norris [S39] to 1e-9.
// Range: as many y as x, n >= 3, not all x equal.
func FitLine(x, y []float64) (Line, error) { return fitLine("line-fit", x, y) }

func fitLine(formula string, x, y []float64) (Line, error) {
	if len(x) != len(y) {
		return Line{}, &RangeError{Formula: formula, Input: "y", Why: "must have as many values as x"}
	}
	if len(x) < 3 {
		return Line{}, &RangeError{Formula: formula, Input: "x", Why: "must have at least three values: two points fit any line and leave no scatter to judge by"}
	}
	n, meanX, meanY := float64(len(x)), mean(x), mean(y)
	var sxx, sxy, syy float64
	for i := range x {
		dx, dy := x[i]-meanX, y[i]-meanY
		sxx += float64(dx * dx)
		sxy += float64(dx * dy)
		syy += float64(dy * dy)
	}
	if !(sxx > 0) {
		return Line{}, &RangeError{Formula: formula, Input: "x", Why: "must not be all the same"}
	}
	l := Line{B1: sxy / sxx, n: n, meanX: meanX, sxx: sxx}
	l.B0 = meanY - float64(l.B1*meanX)
	sse := 0.0
	for i := range x {
		r := (y[i] - meanY) - float64(l.B1*(x[i]-meanX))
		sse += float64(r * r)
	}
	l.S = math.Sqrt(sse / (n - 2))
	l.SE1 = l.S / math.Sqrt(sxx)
	l.SE0 = l.S * math.Sqrt(1/n+meanX*meanX/sxx)
	if syy > 0 {
		l.R2 = 1 - sse/syy
	}
	return l, nil
}

// quantile is Student's t for a confidence both ways (0.95 for 95 %) and the
// line's n-2 degrees of freedom.
func (l Line) quantile(formula string, confidence float64) (float64, error) {
	if !(confidence >= 0.5 && confidence <= 0.9999) {
		return 0, &RangeError{Formula: formula, Input: "confidence", Why: "must lie between 50 % and 99.99 %"}
	}
	return StudentT((1+confidence)/2, l.n-2)
}

// at returns the line's value at x with the half-widths, for the quantile t, of
// its mean (t S sqrt(1/n + (x-xmean)^2/Sxx)) and of one more reading there
// (1 + under the root).
func (l Line) at(x, t float64) (y, ofMean, ofReading float64) {
	d := x - l.meanX
	spread := 1/l.n + d*d/l.sxx
	return l.B0 + float64(l.B1*x), t * l.S * math.Sqrt(spread), t * l.S * math.Sqrt(1+spread)
}

// Reach is when a line comes to a limit: on the line itself, and the earliest
// and latest x at which one more reading could be on it.
type Reach struct{ On, Earliest, Latest float64 }

// reach solves
//
//	(L - B0 - B1 x)^2 = t^2 S^2 (1 + 1/n + (x-xmean)^2/Sxx)
//
// for x. With u = x - xmean, d = L - ymean and g = t^2 S^2 it is A u^2 - 2 d B1 u
// + d^2 - g(1+1/n) = 0, A = B1^2 - g/Sxx; a quarter of its discriminant,
// g(A(1+1/n) + d^2/Sxx), is never negative while A > 0. ok is false where the
// slope does not differ from zero at that confidence (A <= 0): then the line
// may never come to the limit and there is no finite bound.
func (l Line) reach(limit, t float64) (r Reach, ok bool) {
	g := float64(t * l.S * t * l.S)
	a := float64(l.B1*l.B1) - g/l.sxx
	if !(a > 0) {
		return Reach{}, false
	}
	d := limit - (l.B0 + float64(l.B1*l.meanX))
	root := math.Sqrt(g * (float64(a*(1+1/l.n)) + d*d/l.sxx))
	// The larger root first, so that no digits cancel; the other from the product.
	q := float64(d*l.B1) + math.Copysign(root, d*l.B1)
	u1, u2 := 0.0, 0.0
	if q != 0 {
		u1, u2 = q/a, (float64(d*d)-float64(g*(1+1/l.n)))/q
	}
	return Reach{On: l.meanX + d/l.B1, Earliest: l.meanX + min(u1, u2), Latest: l.meanX + max(u1, u2)}, true
}

func registerLineFit(r registry) {
	r.register(&Formula{
		ID:     "line-fit",
		Topic:  topicWear,
		Title:  "straight line through readings, least squares",
		Words:  "b1 = Sxy/Sxx; b0 = ymean - b1 xmean; s^2 = SSE/(n-2)",
		Range:  "three points or more, not all at one x",
		Source: "ordinary least squares; certified data NIST StRD Norris [S39]",
		In: []Param{
			{Name: "x", Symbol: "x", Unit: "1", Title: "where the readings were taken", Kind: List},
			{Name: "y", Symbol: "y", Unit: "1", Title: "the readings", Kind: List},
		},
		Out: []Param{
			{Name: "intercept", Symbol: "b0", Unit: "1", Title: "value at x = 0"},
			{Name: "slope", Symbol: "b1", Unit: "1", Title: "slope"},
			{Name: "intercept-error", Symbol: "se_b0", Unit: "1", Title: "standard error of the intercept"},
			{Name: "slope-error", Symbol: "se_b1", Unit: "1", Title: "standard error of the slope"},
			{Name: "scatter", Symbol: "s", Unit: "1", Title: "residual standard deviation"},
			{Name: "determination", Symbol: "r2", Unit: "1", Title: "share of the variance the line explains"},
		},
		Work: func(in []Value) ([]Value, error) {
			l, err := FitLine(in[0].List, in[1].List)
			return numbers(l.B0, l.B1, l.SE0, l.SE1, l.S, l.R2), err
		},
	})
}
