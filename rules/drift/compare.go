package drift

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// Quantity is what was measured on an artifact.
type Quantity string

// The quantities that a rule looks at by name. Others may be given and are compared among themselves.
const (
	Size     Quantity = "size"     // diameters of spheres
	Distance Quantity = "distance" // between centres of spheres
)

// Series are the errors of one device at one quantity of one artifact, against one certified value, in order of days and
// without a restart in between.
type Series struct {
	Artifact string
	Quantity Quantity
	Points   []Point
}

// Change is what happened to a certified value between two certificates of an artifact.
type Change struct {
	Artifact   string
	Quantity   Quantity
	Days       float64 // between the two calibrations, above 0
	ChangeUM   float64 // later less earlier value
	ExpandedUM float64 // expanded uncertainty of the change, above 0, at about the level of the comparison
}

// Slope is what a series or a change of certificates says about a drift, in µm a day.
type Slope struct {
	Artifact     string
	Quantity     Quantity
	Certificates bool // from certificates; otherwise from checks of the device
	PerDayUM     Figure
	Lower, Upper Figure // interval; absent together with the reason why it cannot be used

	from, to float64 // days
}

// Cause is where a pattern of drifts points to.
type Cause string

// The causes.
const (
	SphereSurface Cause = "sphere-surface" // the surface of the artifact's spheres: wear, dirt, coating
	ArtifactDrift Cause = "artifact"       // the artifact
	DeviceDrift   Cause = "device"         // the device
	Undecided     Cause = "undecided"      // the intervals do not tell
)

// Finding is a conclusion about one drift, with the slopes it rests on.
type Finding struct {
	Cause    Cause
	Artifact string // empty for the device
	Quantity Quantity
	Sentence string
	Rests    []Slope
}

// Comparison is the outcome of [Compare]: the slopes as given, series first, and a finding for each drift. No finding
// means that no interval excludes 0.
type Comparison struct {
	Level    float64 // of each single interval from a series, so that all hold together at the level asked for
	Slopes   []Slope
	Findings []Finding
}

// Compare says whether drifts seen with one device point to an artifact or to the device. It is common practice; there is
// no source. A slope drifts if its interval excludes 0, and holds if it includes 0; two slopes differ only if their
// intervals have no value in common, and agree only if they have. Slopes are compared only where they differ clearly:
//
//   - certificates show the artifact itself changing at a rate that agrees: the artifact;
//   - certificates show that it held, at a rate that differs: the device;
//   - the same quantity drifts alike on every other artifact: the device;
//   - it holds, and differs, on every other artifact: the artifact;
//   - of the two, with size drifting while distance on the same artifact holds and differs: the surface of the spheres,
//     also if there is no other artifact to compare with;
//   - anything else, and rules that contradict each other: undecided.
//
// Errors are readings less certified values: an artifact that grows shows as an error that grows. Every interval is made
// at 1 − (1−level)/m for m series, so that all hold together (Bonferroni). A series whose points are too few, exactly on
// a line or not independent has no interval and decides nothing; nor do series that share less than half of the longer
// one's period, nor an artifact whose own certificates show it changing, about another one.
//
// An error is returned for a level outside 0.5 … 0.9999, points as in [Trend], two series or two changes of the same
// artifact and quantity, and a change without days or uncertainty.
func Compare(series []Series, changes []Change, level float64) (Comparison, error) {
	if err := checkLevel(level); err != nil {
		return Comparison{}, err
	}
	out := Comparison{Level: 1 - (1-level)/float64(max(1, len(series)))}
	seen := map[string]bool{}
	for _, s := range series {
		slope, err := s.slope(out.Level)
		if err != nil {
			return Comparison{}, err
		}
		if seen[slope.name()] {
			return Comparison{}, fmt.Errorf("two series of %s, expected one; join them", slope.name())
		}
		seen[slope.name()] = true
		out.Slopes = append(out.Slopes, slope)
	}
	for _, c := range changes {
		slope, err := c.slope()
		if err != nil {
			return Comparison{}, err
		}
		if seen["certified "+slope.name()] {
			return Comparison{}, fmt.Errorf("two changes of %s, expected one; give the one nearest to the period", slope.name())
		}
		seen["certified "+slope.name()] = true
		out.Slopes = append(out.Slopes, slope)
	}
	for _, s := range out.Slopes {
		if !s.Certificates && s.drifts() {
			out.add(explain(s, out.Slopes))
		}
	}
	return out, nil
}

// add joins findings on the device that rest on the same quantity. They have one direction: a series that drifts the other
// way would have left each of them undecided.
func (c *Comparison) add(f Finding) {
	if f.Cause == DeviceDrift {
		for _, known := range c.Findings {
			if known.Cause == DeviceDrift && known.Quantity == f.Quantity {
				return
			}
		}
	}
	c.Findings = append(c.Findings, f)
}

func (s Series) slope(level float64) (Slope, error) {
	out := Slope{Artifact: s.Artifact, Quantity: s.Quantity}
	if err := checkPoints(s.Points); err != nil {
		return out, fmt.Errorf("series of %s: %w", out.name(), err)
	}
	out.from, out.to = s.Points[0].Day, s.Points[len(s.Points)-1].Day
	line, err := fitPoints(s.Points)
	if err != nil {
		out.PerDayUM = figure.Absentf("%s", err)
		out.Lower, out.Upper = out.PerDayUM, out.PerDayUM
		return out, nil
	}
	band := line.slopeBand(level)
	out.PerDayUM, out.Lower, out.Upper = figure.Known(line.Slope), band.Lower, band.Upper
	if line.Residual.Correlated {
		out.Lower = figure.Absentf("%s", line.Residual.Reservation)
		out.Upper = out.Lower
	}
	return out, nil
}

func (c Change) slope() (Slope, error) {
	out := Slope{Artifact: c.Artifact, Quantity: c.Quantity, Certificates: true, from: math.Inf(-1), to: math.Inf(1)}
	switch {
	case !(c.Days > 0 && c.Days <= largest):
		return out, fmt.Errorf("change of %s over %g days, expected above 0", out.name(), c.Days)
	case !(c.ExpandedUM > 0 && c.ExpandedUM <= largest):
		return out, fmt.Errorf("change of %s with an expanded uncertainty of %g µm, expected above 0", out.name(), c.ExpandedUM)
	}
	if err := checkNumber("change of "+out.name()+" is", c.ChangeUM); err != nil {
		return out, err
	}
	out.PerDayUM = figure.Known(c.ChangeUM / c.Days)
	out.Lower, out.Upper = figure.Known((c.ChangeUM-c.ExpandedUM)/c.Days), figure.Known((c.ChangeUM+c.ExpandedUM)/c.Days)
	return out, nil
}
