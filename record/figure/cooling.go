package figure

import (
	"fmt"
	"math"
	"slices"

	"stackbook/record"
	"stackbook/schema/quantity"
)

const (
	layoutIndex  = "index for comparing layouts"
	notDegrees   = "an index for comparing layouts, not degrees to act on"
	coolantWords = "T_out = T_in + q/(rho V c_p) along the coolant's way; centre feed: two branches alike, outwards from the feed; parallel: the flow shared alike"
	coolantNote  = "stock-type layouts pass every housing twice, out along one side and back along the other; oil carries a large share of the heat: record oil in and out as well"
)

var housings = at("housing/*r")

func cooling() []*Figure {
	return []*Figure{
		{
			ID: "cooling.feed_area", Rotors: OfWhole, Topic: TopicCooling, Title: "passages of the coolant feed", Unit: "mm2", Decimals: 0, At: at("engine", "coolant/feed", "plate/*p", "plate/*p/front|rear", "housing/*r"), Formula: "passage-area",
			Words: "n pi d^2/4, the feeds there together; at engine all of them", Where: whereFeed,
			Work: func(l *Look, at string) float64 {
				sum := 0.0
				for _, feed := range l.Keys("cooling.feeds") {
					if at == "engine" || l.Word("cooling.feeds."+feed+".at") == at {
						sum += l.feedArea(feed)
					}
				}
				return sum
			},
		},
		{
			ID: "cooling.feed_ratio", Topic: TopicCooling, Title: "largest feed over smallest", Unit: "1", Decimals: 2, At: at("engine"), Formula: "passage-area",
			Words: "area of the largest feed over that of the smallest", Only: func(e *record.Engine) bool { return feeds(e) > 1 },
			Work: func(l *Look, _ string) float64 {
				var areas []float64
				for _, feed := range l.Keys("cooling.feeds") {
					areas = append(areas, l.feedArea(feed))
				}
				return greatest(areas) / least(areas)
			},
		},
		{
			ID: "cooling.outlet", Mark: layoutIndex, Topic: TopicCooling, Title: "coolant leaving the housing, estimated", Unit: "degC", Decimals: 1, At: housings, Formula: "coolant-series",
			Words: coolantWords, Note: layoutIndex + ", from the heat assumed; " + coolantNote, Only: has("cooling.housing_heat"), Limit: neverJudged,
			Work: func(l *Look, at string) float64 { return l.along("outlets", at) },
		},
		{
			ID: "cooling.outlet_difference", Topic: TopicCooling, Title: "coolant leaving the housing, measured less estimated", Unit: "K", Dim: quantity.TemperatureDifference, Decimals: 1, At: housings, Formula: "coolant-series",
			Words: "temperature read at the housing's outlet − estimate from the heat assumed", Note: coolantNote, Only: has("cooling.housing_heat"), Where: whereOutlet,
			Work: func(l *Look, at string) float64 { return l.outlet(at).SI - l.along("outlets", at) },
		},
		{
			ID: "cooling.metal_index", Mark: notDegrees, Topic: TopicCooling, Title: "mean metal temperature of the housing", Unit: "degC", Decimals: 1, At: housings, Formula: "coolant-series",
			Words: coolantWords + "; T_metal = (T_in + T_out)/2 + q/hA", Note: notDegrees + "; a constant hA flatters a centre feed; " + coolantNote, Only: has("cooling.conductance"), Limit: neverJudged,
			Work: func(l *Look, at string) float64 { return l.along("metal", at) },
		},
		{
			ID: "cooling.heat", Rotors: Summed, Topic: TopicCooling, Title: "heat to the coolant", Unit: "kW", Decimals: 1, At: at("engine", "housing/*r"), Formula: "heat-to-coolant",
			Words: "rho V c_p (T_out − T_in) as measured, with the flow that passes the housing", Note: coolantNote, Where: whereOutlet, Work: measuredHeat,
		},
		{
			ID: "cooling.outlet_spread", Rotors: OfWhole, Topic: TopicCooling, Title: "coolant leaving the housings, hottest less coldest", Unit: "K", Dim: quantity.TemperatureDifference, Decimals: 1, At: at("engine"), Words: "largest − smallest outlet temperature of the housings", Source: commonPractice,
			Only: func(e *record.Engine) bool { return e.Rotors > 1 }, Where: whereOutlet,
			Work: func(l *Look, _ string) float64 {
				return l.apart(func(rotor string) float64 { return l.outlet(housingOf(rotor)).SI })
			},
		},
	}
}

func feeds(e *record.Engine) int {
	if n := e.Spec.Node("cooling.feeds"); n != nil {
		return len(n.Keys())
	}
	return 0
}

// whereFeed tells whether a feed enters there.
func whereFeed(e *record.Engine, at string) bool {
	n := e.Spec.Node("cooling.feeds")
	if n == nil || at == "engine" {
		return feeds(e) > 0
	}
	return slices.ContainsFunc(n.Keys(), func(feed string) bool { return e.Spec.Text("cooling.feeds."+feed+".at") == at })
}

// whereOutlet tells whether the coolant leaving a housing was read, or of the
// engine that leaving any.
func whereOutlet(e *record.Engine, at string) bool {
	if at != "engine" {
		return counts(e, "coolant_temperature", at)
	}
	return counts(e, "coolant_temperature", at) && slices.ContainsFunc(housings[0].Expand(e.Rotors), func(h string) bool { return whereOutlet(e, h) })
}

func (l *Look) feedArea(feed string) float64 {
	path := "cooling.feeds." + feed
	return l.Formula("passage-area", "area", in{{"count", l.Count(path + ".passages")}, {"diameter", l.Spec(path + ".diameter").SI}}, nil)
}

// coolantFlow is the flow measured, else what the spec says.
func (l *Look) coolantFlow() float64 {
	if l.Has("coolant_flow", "engine") {
		return l.Mean("coolant_flow", "engine").SI
	}
	return l.Spec("cooling.flow").SI
}

func (l *Look) outlet(housing string) Num { return l.Place("coolant_temperature", housing, "out") }

// way is the coolant's way through the housings.
type way struct {
	routing string
	count   int // housings
	before  int // housings in front of a centre feed
}

func (l *Look) way() way {
	w := way{routing: l.Word("cooling.routing"), count: l.Rotors()}
	switch w.routing {
	case "front to rear", "rear to front", "parallel":
	case "centre feed":
		w.before = int(l.Count("cooling.feed_after"))
		if w.before >= w.count {
			l.fail(fmt.Errorf("cooling.feed_after: %d housings in front of the feed leave none behind it in an engine of %d", w.before, w.count))
		}
	case "":
		l.miss("cooling.routing in spec.yaml")
	default:
		l.fail(fmt.Errorf("cooling.routing: %q is no way through the engine that is known", w.routing))
	}
	return w
}

// upstream is the housing the coolant of the nth one comes from, counted from 1;
// 0 is the inlet.
func (w way) upstream(n int) int {
	switch {
	case w.routing == "parallel", w.routing == "front to rear" && n == 1, w.routing == "rear to front" && n == w.count:
		return 0
	case w.routing == "centre feed" && (n == w.before || n == w.before+1):
		return 0
	case w.routing == "rear to front", w.routing == "centre feed" && n < w.before:
		return n + 1
	}
	return n - 1
}

// share is the part of the flow that passes one housing.
func (w way) share() float64 {
	switch w.routing {
	case "parallel":
		return 1 / float64(max(1, w.count))
	case "centre feed":
		return 0.5
	}
	return 1
}

// ends are the housings the coolant leaves the engine by.
func (w way) ends() []int {
	var ends []int
	for n := 1; n <= w.count; n++ {
		last := true
		for m := 1; m <= w.count; m++ {
			last = last && w.upstream(m) != n
		}
		if last {
			ends = append(ends, n)
		}
	}
	return ends
}

// along is what the model of the coolant's way gives for one housing: "outlets"
// or "metal".
func (l *Look) along(result, housing string) float64 {
	w := l.way()
	args := in{{"flow", l.coolantFlow()}, {"inlet-temperature", l.Spec("cooling.inlet").SI}, {"heat-transfer", 1}} // the outlets do not depend on it
	if l.Has("coolant_temperature", "engine") {
		args = args.and("inlet-temperature", l.Place("coolant_temperature", "engine", "in").SI)
	}
	if result == "metal" {
		args = args.and("heat-transfer", l.Spec("cooling.conductance").SI)
	}
	density, specificHeat := l.coolantKind()
	args = args.and("density", density).and("specific-heat", specificHeat)
	heat := slices.Repeat([]float64{l.Spec("cooling.housing_heat").SI}, max(1, w.count))
	n := indexOf(housing)
	var all []float64
	switch w.routing {
	case "centre feed":
		all = l.Formulas("coolant-centre-fed", result, args.and("split", float64(w.before)), map[string][]float64{"heat": heat, "resistances": {1, 1}})
	case "parallel":
		args = args.and("flow", args.of("flow")*w.share())
		all, n = l.Formulas("coolant-series", result, args, map[string][]float64{"heat": heat[:1]}), 1
	default:
		all = l.Formulas("coolant-series", result, args, map[string][]float64{"heat": heat})
		if w.routing == "rear to front" {
			slices.Reverse(all)
		}
	}
	if n > len(all) {
		return math.NaN() // not asked: something is missing, or the formula refused
	}
	return all[n-1]
}

// coolantKind is the coolant's density and specific heat.
func (l *Look) coolantKind() (density, heat float64) {
	return l.orElse("cooling.coolant_density", usual("coolant-series", "density")), l.orElse("cooling.coolant_heat", usual("coolant-series", "specific-heat"))
}

// measuredHeat is the heat the coolant was measured to take up in one housing,
// or on its way through the engine: in every branch from the inlet to the
// housing it leaves by.
func measuredHeat(l *Look, at string) float64 {
	w := l.way()
	flow, density, heat := l.coolantFlow(), 0.0, 0.0
	density, heat = l.coolantKind()
	taken := func(from, to int) float64 {
		rise := l.outlet(housingNumber(to)).Minus(l.entering(from))
		return l.Formula("heat-to-coolant", "heat", in{{"flow", flow * w.share()}, {"density", density}, {"specific-heat", heat}, {"rise", rise}}, nil)
	}
	if at != "engine" {
		n := indexOf(at)
		return taken(w.upstream(n), n)
	}
	sum := 0.0
	for _, end := range w.ends() {
		sum += taken(0, end)
	}
	return sum
}

// entering is the temperature of the coolant behind a housing, or (0) at the
// inlet.
func (l *Look) entering(from int) Num {
	if from == 0 {
		return l.Place("coolant_temperature", "engine", "in")
	}
	return l.outlet(housingNumber(from))
}
