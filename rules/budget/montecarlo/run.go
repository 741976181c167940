package montecarlo

import (
	"fmt"
	"math"
	"strconv"

	"plumbrule/rules/figure"
)

// Limits of the number of trials.
const (
	// MostTrials keeps the values of all trials below 800 MB.
	MostTrials = 100_000_000
	// TrialBytes is what one trial's value takes.
	TrialBytes = 8
)

// leastTrials is how many trials it takes for some hundred values to lie outside an interval of probability p; JCGM
// 101:2008 7.9.4 b) has the same bound for the sequences of the adaptive procedure.
func leastTrials(p float64) int { return int(math.Ceil(100 / (1 - p) * (1 - 1e-12))) }

// Options say how many trials are made and what is asked of them.
type Options struct {
	Trials      int // a fixed number of them, or the most that the adaptive procedure may make
	Seed        uint64
	Probability float64 // of the coverage intervals, 0.5 … 0.9999
	Workers     int     // goroutines; at least one is used, and the result does not depend on it

	// Digits, 1 or 2, asks for as many trials as make this many significant digits of the standard uncertainty stable:
	// JCGM 101:2008 7.9. 0 makes exactly as many as Trials says. Tolerance is the numerical tolerance as a multiple of δ that
	// the digits mean; 0 stands for 1.
	Digits    int
	Tolerance float64
}

// Result is what the trials give. Figures are in the unit of the measurand.
type Result struct {
	Trials      int
	Seed        uint64
	Probability float64
	Mean        figure.Figure // absent where the distribution has none
	U           figure.Figure // standard deviation of the values
	Symmetric   Interval      // probabilistically symmetric coverage interval
	Shortest    Interval      // shortest coverage interval

	// Standard uncertainties of the figures above from the number of trials being finite.
	MeanU, LowU, HighU float64

	// Adaptive procedure: the tolerance asked for, and whether all figures came to lie within it. Tolerance is 0 for a fixed
	// number of trials.
	Tolerance float64
	Stable    bool

	Notes []string
}

// Run makes the trials. The error is an [*InputError] for options out of range, or a [*FailureError] for a trial without a
// value.
//
// Source: JCGM 101:2008 clause 7.
func (p *Problem) Run(o Options) (Result, error) {
	if err := p.check(&o); err != nil {
		return Result{}, err
	}
	e := newEngine(p, o.Seed, o.Workers)
	if o.Digits > 0 {
		return e.adaptive(o)
	}
	values := make([]float64, o.Trials)
	chunks, err := e.run(values)
	if err != nil {
		return Result{}, err
	}
	return e.conclude(o, values, chunks), nil
}

// CheckTrials refuses a number of trials that cannot be made, or too few for an interval of this probability.
func CheckTrials(trials int, probability float64) error {
	switch least := leastTrials(probability); {
	case trials > MostTrials:
		return &InputError{
			Field: "trials", Found: fmt.Sprintf("%d, whose values would take %s of memory", trials, bytes(trials)),
			Expected: fmt.Sprintf("at most %d (%s)", MostTrials, bytes(MostTrials)), Mend: "a million do for two digits of an interval",
		}
	case trials < least:
		return &InputError{
			Field: "trials", Found: strconv.Itoa(trials), Expected: fmt.Sprintf("%d or more for an interval of %.6g %%", least, 100*probability),
			Mend: "with fewer, too few values lie outside the interval to tell where it ends",
		}
	}
	return nil
}

func bytes(trials int) string {
	return fmt.Sprintf("%.1f GB", float64(trials)*TrialBytes/1e9)
}

func (p *Problem) check(o *Options) error {
	if !(o.Probability >= 0.5 && o.Probability <= 0.9999) {
		return &InputError{Field: "probability", Found: fmt.Sprintf("%g", o.Probability), Expected: "0.5 to 0.9999", Mend: "0.95 is common"}
	}
	if err := CheckTrials(o.Trials, o.Probability); err != nil {
		return err
	}
	if o.Digits < 0 || o.Digits > 2 || o.Tolerance < 0 {
		return &InputError{Field: "digits", Found: strconv.Itoa(o.Digits), Expected: "1 or 2", Mend: "more digits of an uncertainty mean nothing"}
	}
	if _, none := p.lacks(); o.Digits > 0 && none != "" {
		return &InputError{Field: "adaptive", Found: "asked for, but " + none, Expected: "a fixed number of trials", Mend: "leave it out: there is nothing that could become stable"}
	}
	if o.Tolerance == 0 {
		o.Tolerance = 1
	}
	return nil
}

// heavy is the share of the sum of squares above which one trial alone makes the standard deviation doubtful: of a million
// normal values the one farthest out has some thirty millionths.
const heavy = 0.05

// conclude orders the values and describes them.
func (e *engine) conclude(o Options, values []float64, chunks []moments) Result {
	p := e.problem
	all := together(chunks)
	out := Result{Trials: len(values), Seed: o.Seed, Probability: o.Probability}
	out.Mean, out.U = figure.Known(p.centre+all.mean), figure.Known(all.deviation())
	out.MeanU = all.deviation() / math.Sqrt(all.n)
	noMean, noDeviation := p.lacks()
	if noMean != "" {
		out.Mean, out.MeanU = figure.Absent(noMean), 0
	}
	switch {
	case noDeviation != "":
		out.U = figure.Absent(noDeviation)
		out.MeanU = 0
	case all.outlying(p.centre) > heavy:
		out.Notes = append(out.Notes, fmt.Sprintf("One trial alone makes %.0f %% of the sum of squares: the distribution of the result may have no standard deviation, and another seed may give another. The coverage intervals stand.", 100*all.outlying(p.centre)))
	}
	i := intervalsOf(values, o.Probability, o.Workers)
	out.Symmetric, out.Shortest, out.LowU, out.HighU = i.symmetric, i.shortest, i.lowU, i.highU
	return out
}
