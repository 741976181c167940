package chart

// run puts the signals of the tests on the points of one segment, which share
// their limits. Numbers holds 1, 2, 3 …; values closer than tolerance are equal.
// One pass, constant work for each point.
func (t Tests) run(points []Point, numbers []int, tolerance float64) {
	if len(points) == 0 || points[0].Limits == nil {
		return
	}
	var side, trend, alternation, inside, outside int // lengths of the runs so far
	var lastSide, lastStep int
	var beyondTwo, beyondOne [2]recent // for either side
	for i := range points {
		p := &points[i]
		l := p.Limits
		beyond := func(lines float64) int {
			return compare(p.Value, l.Centre-float64(lines*l.Sigma), l.Centre+float64(lines*l.Sigma), tolerance)
		}
		signal := func(test Test, length int) {
			p.Signals = append(p.Signals, Signal{test, numbers[p.N-length : p.N : p.N]})
		}
		if t.PointBeyond && compare(p.Value, l.Lower, l.Upper, tolerance) != 0 {
			signal(PointBeyond, 1)
		}

		now := compare(p.Value, l.Centre, l.Centre, tolerance)
		side = extend(side, now == lastSide && now != 0, now != 0)
		lastSide = now
		if t.SameSide > 0 && side >= t.SameSide {
			signal(SameSide, t.SameSide)
		}

		step := 0
		if i > 0 {
			before := points[i-1].Value
			step = compare(p.Value, before, before, tolerance)
		}
		trend = steps(trend, step != 0 && step == lastStep, step)
		alternation = steps(alternation, step != 0 && step == -lastStep, step)
		lastStep = step
		if t.Trend > 0 && trend >= t.Trend {
			signal(Trend, t.Trend)
		}
		if t.Alternation > 0 && alternation >= t.Alternation {
			signal(Alternation, t.Alternation)
		}

		if where := beyond(2); where != 0 {
			pattern := beyondTwo[(where+1)/2].add(p.N, 2, 3)
			if t.TwoOfThree && pattern != nil {
				p.Signals = append(p.Signals, Signal{TwoOfThree, pattern})
			}
		}
		where := beyond(1)
		if where != 0 {
			pattern := beyondOne[(where+1)/2].add(p.N, 4, 5)
			if t.FourOfFive && pattern != nil {
				p.Signals = append(p.Signals, Signal{FourOfFive, pattern})
			}
		}

		inside = extend(inside, where == 0, where == 0)
		if t.InsideOneSigma > 0 && inside >= t.InsideOneSigma {
			signal(InsideOneSigma, t.InsideOneSigma)
		}
		outside = extend(outside, where != 0, where != 0)
		if t.OutsideOneSigma > 0 && outside >= t.OutsideOneSigma {
			signal(OutsideOneSigma, t.OutsideOneSigma)
		}
	}
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

// add notes a further point and returns the points of the pattern when some of
// the last window points, this one included, lie beyond; some is at most 4.
func (r *recent) add(n, some, window int) []int {
	copy(r.numbers[:], r.numbers[1:])
	r.numbers[3] = n
	r.count = min(r.count+1, len(r.numbers))
	if r.count < some || n-r.numbers[4-some] >= window {
		return nil
	}
	return append([]int(nil), r.numbers[4-some:]...)
}
