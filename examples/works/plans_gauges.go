package works

// block is one gauge block measured with a hand gauge: how it is held differs
// from day to day as much as from reading to reading.
func block(name string, seed uint64, scatterUM, errorUM float64) behaviour {
	return behaviour{name: name, repeats: 3, betweenUM: scatterUM, withinUM: scatterUM, seed: seed, eras: steady(errorUM, 0)}
}

// repeated is a feature measured many times by a gauge that stands firmly or
// finds its own place: from check to check nothing differs but by chance.
func repeated(name string, repeats int, seed uint64, scatterUM, errorUM float64) behaviour {
	return behaviour{name: name, repeats: repeats, withinUM: scatterUM, seed: seed, eras: steady(errorUM, 0)}
}

// jolted is a block measured with the micrometer that came back from the dock
// with its zero a little off.
func jolted(name string, seed uint64, errorUM float64) behaviour {
	b := block(name, seed, 0.5, errorUM)
	b.eras = append(b.eras, era{on(2026, 3, 3), errorUM + joltUM, 0})
	return b
}

// joltUM is a little more than the standard deviation of a check, and a fifth
// of the limit.
const joltUM = 0.8

// tilting is a block measured with the caliper whose slide tilted in July until
// its gib was set again the day after.
func tilting(name string, seed uint64, scatterUM, errorUM, tiltUM float64) behaviour {
	b := block(name, seed, scatterUM, errorUM)
	b.eras = append(b.eras, era{on(2026, 7, 6), errorUM + tiltUM, 0}, era{on(2026, 7, 7), errorUM, 0})
	return b
}

func gaugePlans() []plan {
	return []plan{
		{ // a typing error in its last check, corrected
			device: "mic-01", artifact: "blocks-01", procedure: "mic-25", by: "jt", climate: true,
			first: begin(), last: on(2026, 10, 13), every: monthly, hour: 8, minute: 10, steps: micrometre, seed: 601,
			features: []behaviour{block("5.1", 60100, 0.6, 0.4), block("10.3", 60101, 0.6, 0.6), block("25", 160102, 0.7, 0.9)},
		},
		{ // lost for two weeks in March 2026, and not quite the same since
			device: "mic-02", artifact: "blocks-01", procedure: "mic-50", by: "jt", climate: true,
			first: begin(), last: on(2026, 10, 20), every: fortnightly, hour: 8, minute: 30, steps: micrometre, seed: 611,
			features: []behaviour{jolted("25", 25761100, 0.3), jolted("41.3", 2861101, 0.6), jolted("50", 361102, 0.8)},
		},
		{ // its ring's certificate ran out; see stories for the check after that
			device: "bore-01", artifact: "ring-50", procedure: "ring-monthly", by: "mk",
			first: begin(), last: on(2026, 10, 6), every: monthly, hour: 9, minute: 0, steps: micrometre, seed: 621,
			features: []behaviour{repeated("bore", 10, 62100, 1.1, 0.6)},
		},
		{ // its calibration is extended
			device: "caliper-01", artifact: "blocks-01", procedure: "caliper-monthly", by: "mk", climate: true,
			first: begin(), last: on(2026, 10, 21), every: monthly, hour: 9, minute: 20, steps: hundredthMM, seed: 631,
			features: []behaviour{block("25", 63100, 5, 2), block("100", 63101, 6, 4)},
		},
		{ // failed and repaired in July 2026, withdrawn on 18 August
			device: "caliper-02", artifact: "blocks-01", procedure: "caliper-monthly", by: "jt", climate: true,
			first: begin(), last: on(2026, 8, 5), every: monthly, hour: 9, minute: 40, steps: hundredthMM, seed: 641,
			features: []behaviour{tilting("25", 64100, 5, 1, 0), tilting("100", 64101, 6, 5, 38)},
		},
		{ // its calibration is overdue, its checks are not
			device: "height-01", artifact: "blocks-01", procedure: "height-monthly", by: "jt", climate: true,
			first: begin(), last: on(2026, 10, 27), every: monthly, hour: 10, minute: 0, steps: micrometre, seed: 651,
			features: []behaviour{repeated("25", 5, 165100, 1.1, 0.8), repeated("100", 5, 265101, 1.3, 1.6)},
		},
	}
}
