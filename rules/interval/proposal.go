package interval

// Method names how a proposal was come by.
type Method string

// The methods, with the clause of ILAC-G24:2022 / OIML D 10:2022.
const (
	MethodStaircase    Method = "staircase"            // 6.2, automatic adjustment
	MethodControlChart Method = "control-chart"        // 6.3
	MethodInUse        Method = "in-use-time"          // 6.4
	MethodReliability  Method = "observed-reliability" // other statistical approaches
)

// Direction is what a proposal asks for.
type Direction string

// The directions. None says that the method has no answer; then the current interval stands for want of evidence, not
// because of it.
const (
	Keep     Direction = "keep"
	Lengthen Direction = "lengthen"
	Shorten  Direction = "shorten"
	None     Direction = "none"
)

// EvidenceName names a figure a proposal rests on.
type EvidenceName string

// The figures proposals rest on. Units stand with them.
const (
	AsFoundRatio      EvidenceName = "as-found-ratio"       // |error found|/MPE
	BandMeetsLimit    EvidenceName = "band-meets-limit"     // from the last calibration to where the prediction band meets the limit
	LineMeetsLimit    EvidenceName = "line-meets-limit"     // the same for the fitted line, without any uncertainty
	UsePerMonth       EvidenceName = "use-per-month"        // hours of use per month
	OutcomesCounted   EvidenceName = "outcomes"             // outcomes at about the current interval
	OutcomesElsewhere EvidenceName = "outcomes-elsewhere"   // outcomes at other intervals: in the model, not in the test
	Devices           EvidenceName = "devices"              // devices the outcomes at about the current interval come from
	InToleranceCount  EvidenceName = "in-tolerance"         // of OutcomesCounted
	ObservedShare     EvidenceName = "observed-reliability" // InToleranceCount/OutcomesCounted
	ShareLower        EvidenceName = "reliability-lower"    // two-sided Clopper–Pearson limit
	ShareUpper        EvidenceName = "reliability-upper"    // two-sided Clopper–Pearson limit
	SoFewByChance     EvidenceName = "p-so-few"             // probability of so few in tolerance if the target held exactly
	SoManyByChance    EvidenceName = "p-so-many"            // probability of so many
	RatePerMonth      EvidenceName = "rate-per-month"       // of leaving the tolerance, exponential model
	TargetMonths      EvidenceName = "target-months"        // where the exponential model meets the target
	TargetMonthsLower EvidenceName = "target-months-lower"  // its two-sided lower confidence limit
	TargetMonthsUpper EvidenceName = "target-months-upper"  // its two-sided upper confidence limit
	TargetMonthsShown EvidenceName = "target-months-shown"  // its one-sided lower confidence limit
)

// Evidence is a named figure, or the reason why there is none.
type Evidence struct {
	Name EvidenceName
	Unit string // "months", "h/month", "1/month", or empty for a pure number or a count
	Figure
}

// Proposal is what a method makes of the evidence. It is only a proposal.
type Proposal struct {
	Method        Method
	Subject       string  // the device or kind it is about, as the caller named it; may be empty
	CurrentMonths float64 // as given

	// ProposedMonths is the proposed interval, unrounded, or nil if the method knows none. Direction may be Lengthen or
	// Shorten without it: then it is known which way to go, and not how far.
	ProposedMonths *float64
	Direction      Direction

	// Confidence is how surely the direction is shown, 0 … 1; most methods give none.
	Confidence Figure

	Evidence []Evidence
	Reasons  []string // whole sentences, the weightiest first
}

func (p *Proposal) because(sentence string) {
	if sentence != "" {
		p.Reasons = append(p.Reasons, sentence)
	}
}

func (p *Proposal) rest(name EvidenceName, unit string, figure Figure) {
	p.Evidence = append(p.Evidence, Evidence{Name: name, Unit: unit, Figure: figure})
}

// propose settles the wanted interval within the bounds and derives the direction from what came out.
func (p *Proposal) propose(b Bounds, wanted float64) {
	months, reason := b.settle(p.CurrentMonths, wanted)
	p.because(reason)
	p.Direction = Keep
	// A difference of a billionth is the noise of the arithmetic.
	if change := months/p.CurrentMonths - 1; change > 1e-9 {
		p.Direction = Lengthen
	} else if change < -1e-9 {
		p.Direction = Shorten
	}
	p.ProposedMonths = &months
}
