// Package selftest computes the figures of package published with the program's own rules and compares them: what answers
// how the program was validated (ISO/IEC 17025:2017, 7.11.2).
//
// A figure agrees when it differs by no more than half a unit of the last digit that the source prints, unless the figure
// states another tolerance and why. Words, dates and lists must come out as they stand. The same figures always give the
// same results: trials by chance have a fixed seed.
package selftest

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"plumbrule/rules/published"
)

// Result is one figure, published and computed.
type Result struct {
	Group published.Group
	Value published.Value

	Computed string   // the figure computed, with two digits more than the tolerance asks for; empty beside Err
	Number   *float64 // the same, not rounded; nil for words
	// Difference is Number less the published figure; nil for words.
	Difference *float64
	Agrees     bool
	Err        error // why nothing was computed
}

// Run computes every figure of the groups, in their order.
func Run(groups []published.Group) []Result {
	b := &bench{kept: map[string]any{}}
	numbers, words := numbers(), words()
	var all []Result
	for _, g := range groups {
		for _, v := range g.Values {
			r := Result{Group: g, Value: v}
			number, isNumber := numbers[g.Computation]
			word, isWord := words[g.Computation]
			switch {
			case g.Words && isWord:
				r.words(word(b, v.Input))
			case !g.Words && isNumber:
				r.number(number(b, v.Input))
			default:
				r.Err = fmt.Errorf("the program has no computation %q", g.Computation)
			}
			all = append(all, r)
		}
	}
	return all
}

// Passed reports whether there is a result and every one agrees.
func Passed(results []Result) bool {
	return len(results) > 0 && !slices.ContainsFunc(results, func(r Result) bool { return !r.Agrees })
}

func (r *Result) words(text string, err error) {
	r.Computed, r.Err = text, err
	r.Agrees = err == nil && text == r.Value.Printed
}

func (r *Result) number(x float64, err error) {
	if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
		err = errors.New("what was computed is no finite number")
	}
	if r.Err = err; err != nil {
		return
	}
	difference := x - r.Value.Number
	r.Number, r.Difference = &x, &difference
	r.Computed = digits(x, r.Value.Tolerance)
	// Half a unit of a decimal digit is itself no binary number: a tie must not fail by its last bit.
	r.Agrees = math.Abs(difference) <= r.Value.Tolerance+4e-16*math.Abs(r.Value.Number)
}

// digits prints a number with two decimals more than its tolerance has, or in full where it has none.
func digits(x, tolerance float64) string {
	decimals := -1 // as many as it takes to tell the number from its neighbours
	if tolerance > 1e-15 {
		decimals = max(0, 2-int(math.Floor(math.Log10(tolerance))))
	}
	if size := math.Abs(x); size != 0 && (size < 1e-6 || size > 1e15) {
		return strconv.FormatFloat(x, 'g', decimals, 64)
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// bench keeps what several figures are read from, so that it is computed once.
type bench struct{ kept map[string]any }

// once returns what produce gave the first time the key was asked for.
func once[T any](b *bench, key string, produce func() (T, error)) (T, error) {
	if kept, ok := b.kept[key]; ok {
		return kept.(T), nil
	}
	made, err := produce()
	if err == nil {
		b.kept[key] = made
	}
	return made, err
}

type (
	numberOf func(b *bench, input string) (float64, error)
	wordsOf  func(b *bench, input string) (string, error)
)

// numbers are the computations by the names that groups state.
func numbers() map[string]numberOf {
	return map[string]numberOf{
		"length": lengthUM, "angle": angleDegrees, "temperature": temperatureCelsius, "limit": limitUM,
		"conformance probability": conformanceProbability, "global risk": globalRisk, "guard factor": guardFactor,
		"coverage factor": coverageFactor, "type B degrees of freedom": typeBDegrees, "combined budget": combinedBudget,
		"trapezoidal factor": trapezoidalFactor, "thermal shift": thermalShift, "test value uncertainty": testValueUncertainty,
		"standard uncertainty of a law": lawStandard, "budget": budgetFigure, "trials": trialsFigure,
		"chart factor": chartFactor, "individuals": individuals, "means and ranges": meansAndRanges, "piston rings": pistonRings,
		"ewma limits": ewmaLimit, "ewma": ewmaPoint, "cusum": cusumSum,
		"run length of tests": runLengthOfTests, "run length of averages": runLengthOfAverages, "run length of sums": runLengthOfSums,
		"false alarm": falseAlarm,
		"summary":     summary, "check standard": checkStandard, "grubbs": grubbs, "rosner": rosner, "crossed study": crossedStudy,
		"line": line, "inverse": inverse, "band": band, "robust slope": robustSlope,
		"binomial limit": binomialLimit, "interval by reliability": intervalByReliability, "staircase": staircase, "growth": growthFigure,
		"expression": formula, "scan points": scanCount,
		"sphere by ASTM E3125": sphereByE3125, "free sphere": freeSphere, "known sphere": knownSphere,
		"centre": centre, "route": routeBound,
	}
}

func words() map[string]wordsOf {
	return map[string]wordsOf{
		"weekday": weekday, "day end": dayEnd, "due date": dueDate, "verdict": verdict, "random number": randomNumber,
		"chart signals": chartSignals, "run test": runTest, "control of a calibration": controlOfCalibration,
	}
}

// Complaints computes the figures of the named computations and returns a sentence for each that does not agree: for the
// tests of the packages that compute. A name without figures is a complaint too.
func Complaints(computations ...string) (all []string) {
	for _, name := range computations {
		groups, err := published.Of(name)
		if err != nil {
			all = append(all, err.Error())
		}
		for _, r := range Run(groups) {
			if !r.Agrees {
				all = append(all, r.Complaint())
			}
		}
	}
	return all
}

// Complaint says how a figure does not agree.
func (r Result) Complaint() string {
	what := fmt.Sprintf("%s, %s: published %s (%s, %s)", r.Group.Title, r.Value.Input, r.Value.Printed, r.Group.Publication, r.Group.Place)
	if r.Err != nil {
		return fmt.Sprintf("%s, not computed: %v", what, r.Err)
	}
	return what + ", computed " + r.Computed
}
