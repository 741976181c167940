package chart

import "fmt"

// Test names a run test.
type Test string

// The run tests, in the order in which they are reported. "Beyond" is strict: a
// value on a line is not beyond it.
const (
	PointBeyond     Test = "point-beyond"
	SameSide        Test = "same-side"
	Trend           Test = "trend"
	Alternation     Test = "alternation"
	TwoOfThree      Test = "two-of-three"
	FourOfFive      Test = "four-of-five"
	InsideOneSigma  Test = "inside-one-sigma"
	OutsideOneSigma Test = "outside-one-sigma"
)

// The limits of a CUSUM: its upper or its lower sum is above the decision value.
// They are no run tests and cannot be selected.
const (
	HighSum Test = "high-sum"
	LowSum  Test = "low-sum"
)

// Tests switches the run tests on and sets the lengths of their runs, counted
// in points. false or 0 switches a test off.
type Tests struct {
	// PointBeyond: a point beyond a control limit.
	PointBeyond bool
	// SameSide: so many points in a row on one side of the centre; a point on
	// the centre ends the run. At least 2.
	SameSide int
	// Trend: so many points in a row, each above or each below the one before;
	// equal neighbours end the trend. At least 3.
	Trend int
	// Alternation: so many points in a row going up and down in turn; equal
	// neighbours end it. At least 3.
	Alternation int
	// TwoOfThree: a point beyond two sigma, and one of the two before it too,
	// on the same side.
	TwoOfThree bool
	// FourOfFive: a point beyond one sigma, and three of the four before it
	// too, on the same side.
	FourOfFive bool
	// InsideOneSigma: so many points in a row none of which is beyond one
	// sigma. At least 2.
	InsideOneSigma int
	// OutsideOneSigma: so many points in a row all beyond one sigma, on either
	// side. At least 2.
	OutsideOneSigma int
}

// Nelson returns the eight tests with the lengths of Nelson 1984, J. Quality
// Technology 16, 237-239 (lengths from memory).
func Nelson() Tests {
	return Tests{
		PointBeyond: true, SameSide: 9, Trend: 6, Alternation: 14,
		TwoOfThree: true, FourOfFive: true, InsideOneSigma: 15, OutsideOneSigma: 8,
	}
}

func (t Tests) check() error {
	for _, run := range []struct {
		test          Test
		length, least int
	}{
		{SameSide, t.SameSide, 2},
		{Trend, t.Trend, 3},
		{Alternation, t.Alternation, 3},
		{InsideOneSigma, t.InsideOneSigma, 2},
		{OutsideOneSigma, t.OutsideOneSigma, 2},
	} {
		if run.length != 0 && run.length < run.least {
			return fmt.Errorf("a length of %d for the test %s; expected 0 to switch it off, or at least %d", run.length, run.test, run.least)
		}
	}
	return nil
}

// Words describes the pattern found, for example "9 points in a row on one side
// of the centre line".
func (s Signal) Words() string {
	switch s.Test {
	case PointBeyond:
		return "beyond a control limit"
	case SameSide:
		return fmt.Sprintf("%d points in a row on one side of the centre line", len(s.Points))
	case Trend:
		return fmt.Sprintf("%d points in a row rising or falling", len(s.Points))
	case Alternation:
		return fmt.Sprintf("%d points in a row going up and down in turn", len(s.Points))
	case TwoOfThree:
		return "two of three points beyond two sigma on one side"
	case FourOfFive:
		return "four of five points beyond one sigma on one side"
	case InsideOneSigma:
		return fmt.Sprintf("%d points in a row within one sigma", len(s.Points))
	case OutsideOneSigma:
		return fmt.Sprintf("%d points in a row beyond one sigma", len(s.Points))
	case HighSum:
		return fmt.Sprintf("the upper cumulative sum, above 0 for %s, is beyond the decision value", points(len(s.Points)))
	case LowSum:
		return fmt.Sprintf("the lower cumulative sum, above 0 for %s, is beyond the decision value", points(len(s.Points)))
	default:
		return string(s.Test)
	}
}

func points(n int) string {
	if n == 1 {
		return "1 point"
	}
	return fmt.Sprintf("%d points", n)
}
