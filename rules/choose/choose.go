package choose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/budget"
	"plumbrule/rules/conformity"
	"plumbrule/rules/figure"
)

// DefaultRatio is what half the width of a tolerance zone must be in units of the bound where the site states nothing.
// Common practice, no source.
const DefaultRatio = 4

// Choice is the answer: all devices, the best first.
type Choice struct {
	Job        Job // with its days filled in
	Ratio      float64
	RatioSet   bool // the site states the ratio
	Candidates []Candidate
}

// choosing is a choice in progress.
type choosing struct {
	set     *records.Set
	at      time.Time
	options rules.Options
	out     Choice
	today   calendar.Date
}

// For ranks the devices of an assessment for a job: those that suit first, then those that would after the steps named, then
// the others; within each, those whose bound takes the least part of the tolerance. Retired devices are left out. The
// assessment must be that of the set at its own instant, with the same options. A [*figure.InputError] says what is wrong
// with the job.
func For(set *records.Set, a *rules.Assessment, options rules.Options, job Job) (Choice, error) {
	if job.Begin.IsZero() {
		job.Begin = a.Today
	}
	if job.End.IsZero() {
		job.End = job.Begin
	}
	if err := job.check(); err != nil {
		return Choice{}, err
	}
	c := choosing{set: set, at: a.At, options: options, today: a.Today, out: Choice{Job: job, Ratio: DefaultRatio}}
	if set.Site != nil && set.Site.Choose.MinimumRatio > 0 {
		c.out.Ratio, c.out.RatioSet = set.Site.Choose.MinimumRatio, true
	}
	for i := range a.Devices {
		d := &a.Devices[i]
		if d.Service.State == rules.Retired {
			continue
		}
		one, err := c.candidate(d)
		if err != nil {
			return Choice{}, err
		}
		c.out.Candidates = append(c.out.Candidates, one)
	}
	slices.SortStableFunc(c.out.Candidates, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.share(), b.share()), cmp.Compare(a.Device.ID, b.Device.ID))
	})
	return c.out, nil
}

// rank orders the standings; of the unsuitable those come first that have a limit for all that is needed.
func (c *Candidate) rank() int {
	switch {
	case c.Standing == Suitable:
		return 0
	case c.Standing == Conditional:
		return 1
	case c.Share.Value != nil:
		return 2
	}
	return 3
}

func (c *Candidate) share() float64 {
	if c.Share.Value == nil {
		return math.Inf(1)
	}
	return *c.Share.Value
}

func (c *choosing) candidate(d *rules.Device) (Candidate, error) {
	out := Candidate{Device: d, Answers: make([]Answer, len(c.out.Job.Needs)), Share: figure.Absent("the device has no limit for all that is needed")}
	if d.Record == nil {
		out.Share = figure.Absent("its record cannot be read")
	} else {
		observed := rules.ObservedErrors(c.set, c.at, c.options, d.ID)
		for i := range c.out.Job.Needs {
			a, obstacles, err := c.answer(d, i, observed)
			if err != nil {
				return out, err
			}
			out.Answers[i] = a
			out.Obstacles = append(out.Obstacles, obstacles...)
		}
		out.Share = worstShare(out.Answers)
	}
	if out.Share.Value != nil || d.Record == nil {
		out.Obstacles = append(out.Obstacles, c.standing(d)...)
		out.LastDay = lastDay(d)
	}
	out.Standing = Suitable
	for _, o := range out.Obstacles {
		if !o.Mends {
			out.Standing = Unsuitable
			break
		}
		out.Standing = Conditional
	}
	return out, nil
}

// worstShare is the largest share; absent where one is.
func worstShare(list []Answer) figure.Figure {
	worst := figure.Known(0)
	for i := range list {
		if s := list[i].Share; s.Value == nil || *s.Value > *worst.Value {
			worst = s
		}
		if worst.Value == nil {
			break
		}
	}
	return worst
}

// answer works out the bound for one need.
func (c *choosing) answer(d *rules.Device, need int, observed [][]rules.Observed) (Answer, []Obstacle, error) {
	n := &c.out.Job.Needs[need]
	limit := d.Record.LimitFor(n.Quantity, n.Length.Millimetres())
	if limit == nil {
		why := fmt.Sprintf("no limit for %s at %s", n.Quantity, n.Length)
		f := figure.Absent(why)
		return Answer{MPEUM: f, BoundUM: f, Share: f, Ratio: f, Probability: f, AcceptUM: f, LongestM: f, Observed: Observed{MeanUM: f, LowerUM: f, UpperUM: f}},
			[]Obstacle{{Kind: NoLimit, Need: need, Sentence: why, Sources: []rules.Source{{File: d.Record.File}}}}, nil
	}
	a := Answer{Limit: limit}
	length := n.Length
	if limit.CountsPath() {
		a.PathAssumed = n.Path.IsZero()
		if !a.PathAssumed {
			length = n.Path
		}
	}
	mpe, err := limit.MPE.At(length)
	if err != nil {
		return a, nil, err
	}
	perKelvin, err := c.thermal(d, n, &a)
	if err != nil {
		return a, nil, err
	}
	bound := mpe + a.ThermalUM
	half := n.HalfUM()
	a.MPEUM, a.BoundUM = figure.Known(mpe), figure.Known(bound)
	a.Share, a.Ratio = figure.Known(bound/half), figure.Known(half/bound)
	a.Probability, a.AcceptUM = edge(half, bound)
	allowed := half / c.out.Ratio
	a.LongestM = longest(limit, allowed-a.ThermalUM)
	if i := slices.IndexFunc(d.Record.Limits, func(l records.Limit) bool { return l.Line == limit.Line }); i >= 0 && i < len(observed) {
		a.Observed = observe(observed[i], limit, length.Metres(), mpe, func(k *records.Check) calendar.Date { return calendar.Of(k.Time, c.set.Site.Zone) })
	} else {
		a.Observed = observe(nil, limit, 0, mpe, nil)
	}
	var out []Obstacle
	if bound > allowed+conformity.TieUM {
		out = append(out, c.tooMuch(d, need, &a, allowed, perKelvin))
	}
	if (d.Fitness == rules.Fit || d.Fitness == rules.Limited) && !d.Allows(n.Quantity, n.Length.Millimetres()) {
		out = append(out, c.excluded(d, need))
	}
	return a, out, nil
}

// thermal fills in what the temperatures may add, and returns it for each kelvin.
func (c *choosing) thermal(d *rules.Device, n *Need, a *Answer) (perKelvinUM float64, err error) {
	climate := c.out.Job.Climate
	if climate == nil {
		return 0, nil
	}
	scale := 0.0
	if d.Record.Scale.Material {
		scale = d.Record.Scale.Expansion.PerKelvin()
	}
	warmer := climate.farthestKelvin()
	shift, err := budget.ThermalShiftUM(n.Length.Millimetres(), climate.Expansion.PerKelvin(), scale, budget.ReferenceCelsius+warmer)
	if err != nil {
		return 0, err
	}
	a.ThermalUM = math.Abs(shift)
	if warmer == 0 {
		return 0, nil
	}
	return a.ThermalUM / warmer, nil
}

// tooMuch says that the bound takes too much of the tolerance, and which shorter path or narrower temperature would do.
func (c *choosing) tooMuch(d *rules.Device, need int, a *Answer, allowedUM, perKelvinUM float64) Obstacle {
	n := &c.out.Job.Needs[need]
	o := Obstacle{
		Kind: Bound, Need: need, Sources: []rules.Source{{File: d.Record.File, Line: a.Limit.Line}},
		Sentence: fmt.Sprintf("its bound for %s is %s µm, and %s µm may be taken of the tolerance", n.Quantity, um(*a.BoundUM.Value), um(allowedUM)),
	}
	switch straight := n.Length.Metres(); {
	case *a.MPEUM.Value <= allowedUM+conformity.TieUM:
		kelvin := (allowedUM - *a.MPEUM.Value) / perKelvinUM
		o.Kind, o.Mends = Temperature, true
		o.Sentence += fmt.Sprintf(": %s µm of it by temperature", um(a.ThermalUM))
		o.Step = fmt.Sprintf("keep the part within 20 °C ± %.1f °C, or correct for its temperature", floor(kelvin, 10))
	case a.Limit.CountsPath() && a.LongestM.Value != nil && *a.LongestM.Value >= straight && !a.PathAssumed:
		o.Mends = true
		o.Step = fmt.Sprintf("travel at most %.3f m", *a.LongestM.Value)
	}
	return o
}

// um writes a length so that a bound and what is allowed are told apart where they are at all likely to be compared.
func um(v float64) string { return fmt.Sprintf("%.1f", v) }

func floor(v, steps float64) float64 { return math.Floor(v*steps) / steps }

// longest returns the largest length in metres, cut to whole millimetres, at which a limit is at most allowedUM.
func longest(limit *records.Limit, allowedUM float64) figure.Figure {
	constant := limit.MPE.Constant().Micrometres()
	if !limit.MPE.GrowsWithLength() {
		return figure.Absent("the limit does not grow with a length")
	}
	if bound, capped := limit.MPE.Bound(); capped && bound.Micrometres() <= allowedUM {
		return figure.Absentf("no length is too long: the limit is capped at %s", bound)
	}
	if constant > allowedUM+conformity.TieUM {
		return figure.Absentf("the constant part alone is %s, and %s µm are allowed", limit.MPE.Constant(), um(allowedUM))
	}
	mm := math.Max(0, math.Floor((allowedUM-constant)/limit.MPE.SlopePerMetre()*1000))
	// One division may have been rounded to either side of a whole millimetre.
	if next, err := limit.MPE.At(quantity.Millimetres(mm + 1)); err == nil && next <= allowedUM+conformity.TieUM {
		mm++
	}
	return figure.Known(mm / 1000)
}
