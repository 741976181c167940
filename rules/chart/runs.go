package chart

// runs is the state of the run tests in a segment. Each point costs the same.
type runs struct {
	points                   int     // judged so far
	before                   float64 // value of the last of them
	side, trend, alternation int     // lengths of the runs so far
	inside, outside          int
	lastSide, lastStep       int
	beyondTwo, beyondOne     [2]recent // for either side

	// Signals of all points and gappy patterns lie in two slices, not in many.
	signals  []Signal
	patterns []int
}

// judge puts the signals of the tests on the next point, which has limits.
// Numbers holds 1, 2, 3 …; values closer than tolerance are equal.
func (r *runs) judge(t Tests, p *Point, numbers []int, tolerance float64) {
	l := p.Limits
	found := len(r.signals)
	signal := func(test Test, length int) {
		r.signals = append(r.signals, Signal{test, numbers[p.N-length : p.N : p.N]})
	}
	if t.PointBeyond && compare(p.Value, l.Lower, l.Upper, tolerance) != 0 {
		signal(PointBeyond, 1)
	}

	now := compare(p.Value, l.Centre, l.Centre, tolerance)
	r.side = extend(r.side, now == r.lastSide && now != 0, now != 0)
	r.lastSide = now
	if t.SameSide > 0 && r.side >= t.SameSide {
		signal(SameSide, t.SameSide)
	}

	step := 0
	if r.points > 0 {
		step = compare(p.Value, r.before, r.before, tolerance)
	}
	r.trend = steps(r.trend, step != 0 && step == r.lastStep, step)
	r.alternation = steps(r.alternation, step != 0 && step == -r.lastStep, step)
	r.lastStep = step
	r.points++
	r.before = p.Value
	if t.Trend > 0 && r.trend >= t.Trend {
		signal(Trend, t.Trend)
	}
	if t.Alternation > 0 && r.alternation >= t.Alternation {
		signal(Alternation, t.Alternation)
	}

	if where := zone(p, 2, tolerance); where != 0 {
		pattern := r.beyondTwo[(where+1)/2].add(p.N, 2, 3)
		if t.TwoOfThree && pattern {
			r.signals = append(r.signals, Signal{TwoOfThree, r.keep(r.beyondTwo[(where+1)/2].numbers[2:])})
		}
	}
	where := zone(p, 1, tolerance)
	if where != 0 {
		pattern := r.beyondOne[(where+1)/2].add(p.N, 4, 5)
		if t.FourOfFive && pattern {
			r.signals = append(r.signals, Signal{FourOfFive, r.keep(r.beyondOne[(where+1)/2].numbers[:])})
		}
	}

	r.inside = extend(r.inside, where == 0, where == 0)
	if t.InsideOneSigma > 0 && r.inside >= t.InsideOneSigma {
		signal(InsideOneSigma, t.InsideOneSigma)
	}
	r.outside = extend(r.outside, where != 0, where != 0)
	if t.OutsideOneSigma > 0 && r.outside >= t.OutsideOneSigma {
		signal(OutsideOneSigma, t.OutsideOneSigma)
	}
	if end := len(r.signals); end > found {
		p.Signals = r.signals[found:end:end]
	}
}

// keep returns a copy of a pattern that may be gappy.
func (r *runs) keep(pattern []int) []int {
	start := len(r.patterns)
	r.patterns = append(r.patterns, pattern...)
	return r.patterns[start:len(r.patterns):len(r.patterns)]
}

// zone returns 1 or -1 for a point more than so many sigma above or below the
// centre, else 0.
func zone(p *Point, sigmas, tolerance float64) int {
	reach := float64(sigmas * p.Limits.Sigma)
	return compare(p.Value, p.Limits.Centre-reach, p.Limits.Centre+reach, tolerance)
}

// compare returns 1 above the upper line, -1 below the lower, else 0.
func compare(value, lower, upper, tolerance float64) int {
	switch {
	case value > upper+tolerance:
		return 1
	case value < lower-tolerance:
		return -1
	}
	return 0
}

// extend lengthens a run that goes on, or starts one, or ends it.
func extend(length int, goesOn, starts bool) int {
	switch {
	case goesOn:
		return length + 1
	case starts:
		return 1
	}
	return 0
}

// steps is extend for runs of steps between points: the first step makes two
// points at once, and a lone point is a run of one.
func steps(length int, goesOn bool, step int) int {
	switch {
	case goesOn:
		return length + 1
	case step != 0:
		return 2
	}
	return 1
}

// recent remembers the numbers of the last points beyond a line on one side.
type recent struct {
	numbers [4]int
	count   int
}

// add notes a further point and reports that some of the last window points,
// this one included, lie beyond; some is at most 4.
func (r *recent) add(n, some, window int) bool {
	copy(r.numbers[:], r.numbers[1:])
	r.numbers[3] = n
	r.count = min(r.count+1, len(r.numbers))
	return r.count >= some && n-r.numbers[4-some] < window
}
