// Package rotary holds the formulas of rotary (Wankel) engines: pure
// functions, SI numbers in and out, one topic a file, each with its formula,
// units, range of validity and source above it.
//
// Every formula a builder can ask for by name also stands in the registry
// (All, ByID): the command that works one formula by hand, the figures of an
// engine and the known-answer tests all go through it, so none of them can
// have a formula of its own.
//
// Conventions: e is the eccentricity; R the generating radius, from the rotor
// centre to the centre of the rounded seal tip; a the radius of that tip, so
// R+a is the tip radius; b the chamber width. Shaft angles count from the top
// dead centre of the chamber meant, in the direction of rotation. Angles are
// radians here, whatever unit a person types.
package rotary

import (
	"fmt"
	"sort"
	"sync"
)

// Value is one argument or result of a formula: a number in SI units, a list
// of them, or a word. Which of the three it is, its Param says.
type Value struct {
	Number float64
	List   []float64
	Text   string
}

// Argument is a number with the name of the formula's input it is for.
type Argument = struct {
	Name   string
	Number float64
}

// Kind says which part of a Value counts.
type Kind int

// The kinds of value.
const (
	Number Kind = iota
	List
	Text
)

// Param describes one argument or result of a formula.
type Param struct {
	Name     string // as typed: "eccentricity"
	Symbol   string // as in the formula: "e"
	Unit     string // the unit shown to a person, in package quantity's spelling; "1" for a ratio, "" for text
	Title    string // a few words: "throw of the eccentric shaft"
	Kind     Kind
	Optional bool    // may be left out; then Default counts. A result may be missing: then Text says so
	Default  float64 // SI
}

// Formula is one formula with all that is said about it.
type Formula struct {
	ID     string // "swept-volume"
	Topic  string // the chapter: "geometry"
	Title  string
	Words  string // the formula as a person reads it
	Range  string // where it holds; empty: everywhere the inputs make sense
	Source string
	In     []Param
	Out    []Param

	// Work computes the outputs, in the order of Out, from the inputs in the
	// order of In. It returns a *RangeError for inputs the formula does not
	// hold for, never NaN or Inf.
	Work func(in []Value) ([]Value, error)
}

// RangeError says that an input lies outside what a formula holds for.
type RangeError struct {
	Formula string
	Input   string // Param.Name; empty when several are at fault together
	Why     string // "must be greater than zero"
}

func (e *RangeError) Error() string {
	if e.Input == "" {
		return fmt.Sprintf("%s: %s", e.Formula, e.Why)
	}
	return fmt.Sprintf("%s: %s %s", e.Formula, e.Input, e.Why)
}

// registry is every formula by its id.
type registry map[string]*Formula

// register adds formulas, each behind the guard that holds Work's promise; two
// with one id are a mistake of ours and stop the program at once.
func (r registry) register(fs ...*Formula) {
	for _, f := range fs {
		if r[f.ID] != nil {
			panic("rotary: two formulas with the id " + f.ID)
		}
		f.Work = guarded(f)
		r[f.ID] = f
	}
}

// formulas is made when the first formula is asked for.
var formulas = sync.OnceValue(func() registry {
	r := registry{}
	for _, add := range chapters {
		add(r)
	}
	return r
})

// chapters add the formulas, file by file.
var chapters = []func(registry){
	registerShaftLoad, registerRotorCouple, registerPermissibleUnbalance,
	registerRunningClearance, registerLengthAt20C,
	registerPassageArea, registerHeatToCoolant, registerCoolantSeries,
	registerCoolantCentreFed,
	registerStationPressure, registerCrankingBarometer, registerCrankingTwoSpeeds, registerCrankingAcceptance, registerCrankingLimits,
	registerDrivelineLoss,
	registerPreload, registerStressArea, registerMinimumUltimateLoad, registerStretch,
	registerInjectorDuty, registerInjectorFlow, registerPulseWidth, registerPremix, registerConsumptionUnits,
	registerSweptVolume, registerIdealVolumes, registerChamberVolume,
	registerBorePoint, registerLeaningAngle, registerFlankPoint,
	registerReliefVolume, registerCompressionRatioMeasured, registerEffectiveCompressionRatio,
	registerSoundSpeed, registerTunedSpeed, registerTunedLength, registerHelmholtz,
	registerSlidingSpeed, registerContactAcceleration,
	registerPumpFlow, registerScavengeRatio,
	registerBeltSpeed, registerBeltLength, registerBeltCentre,
	registerPortAngles,
	registerPortGasSpeed,
	registerSidePortPoint,
	registerPeripheralPortTiming, registerPortDurations,
	registerPower,
	registerStudentT,
	registerMeanAndUncertainty, registerDifferenceUncertainty,
	registerVapourPressures,
	registerLineFit,
	registerWearFit,
	registerDryAir, registerCorrectionDin70020,
}

// ByID returns the formula with this id, or nil.
func ByID(id string) *Formula { return formulas()[id] }

// All returns every formula, by topic and then by id.
func All() []*Formula {
	all := make([]*Formula, 0, len(formulas()))
	for _, f := range formulas() {
		all = append(all, f)
	}
	sort.Slice(all, func(i, j int) bool {
		if all[i].Topic != all[j].Topic {
			return all[i].Topic < all[j].Topic
		}
		return all[i].ID < all[j].ID
	})
	return all
}

// Arrange appends named arguments to a list, in the order the formula takes
// them, with the defaults of those left out. A name the formula does not have, or one it
// needs and is not given, is a mistake of the calling code and stops the
// program.
func (f *Formula) Arrange(into []Value, args []Argument, lists map[string][]float64) []Value {
	used := 0
	for _, p := range f.In {
		number, okNumber := find(args, p.Name)
		list, okList := lists[p.Name]
		switch {
		case okNumber || okList:
			into = append(into, Value{Number: number, List: list})
			used++
		case p.Optional:
			into = append(into, Value{Number: p.Default})
		default:
			panic("rotary: " + f.ID + " needs " + p.Name)
		}
	}
	if used != len(args)+len(lists) {
		panic("rotary: " + f.ID + " was given an argument it does not have")
	}
	return into
}

func find(args []Argument, name string) (number float64, ok bool) {
	for i := range args { // few
		if args[i].Name == name {
			return args[i].Number, true
		}
	}
	return 0, false
}
