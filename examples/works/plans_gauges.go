package works

// block is one gauge block, or the ring, measured with a hand gauge.
func block(name string, repeats int, seed uint64, scatterUM, errorUM, driftUM float64) behaviour {
	return behaviour{name: name, repeats: repeats, betweenUM: scatterUM, withinUM: scatterUM, seed: seed, eras: steady(errorUM, driftUM)}
}

func gaugePlans() []plan {
	return []plan{
		{ // a typing error in its last check, corrected
			device: "mic-01", artifact: "blocks-01", procedure: "mic-25", by: "jt",
			first: begin(), last: on(2026, 10, 13), every: monthly, hour: 8, minute: 10, steps: micrometre, seed: 601,
			features: []behaviour{block("5.1", 2, 60100, 0.6, 0.4, 0), block("10.3", 2, 60101, 0.6, 0.6, 0), block("25", 2, 60102, 0.7, 1.0, 0)},
		},
		{ // lost for two weeks in March 2026
			device: "mic-02", artifact: "blocks-01", procedure: "mic-50", by: "jt",
			first: begin(), last: on(2026, 10, 20), every: monthly, hour: 8, minute: 30, steps: micrometre, seed: 611,
			features: []behaviour{block("25", 2, 61100, 0.6, 0.3, 0), block("41.3", 2, 61101, 0.7, 0.6, 0), block("50", 2, 61102, 0.7, 0.8, 0)},
		},
		{ // its ring's certificate ran out; see stories for the check after that
			device: "bore-01", artifact: "ring-50", procedure: "ring-monthly", by: "mk",
			first: begin(), last: on(2026, 10, 6), every: monthly, hour: 9, minute: 0, steps: micrometre, seed: 621,
			features: []behaviour{block("bore", 3, 62100, 0.7, 1.1, 0)},
		},
		{ // its calibration is extended
			device: "caliper-01", artifact: "blocks-01", procedure: "caliper-monthly", by: "mk",
			first: begin(), last: on(2026, 10, 21), every: monthly, hour: 9, minute: 20, steps: hundredthMM, seed: 631,
			features: []behaviour{block("25", 2, 63100, 6, 2, 0), block("100", 2, 63101, 7, 5, 0)},
		},
		{ // withdrawn on 18 August 2026
			device: "caliper-02", artifact: "blocks-01", procedure: "caliper-monthly", by: "jt",
			first: begin(), last: on(2026, 8, 5), every: monthly, hour: 9, minute: 40, steps: hundredthMM, seed: 641,
			features: []behaviour{block("25", 2, 64100, 6, 1, 0), block("100", 2, 64101, 7, 6, 0)},
		},
		{ // its calibration is overdue, its checks are not
			device: "height-01", artifact: "blocks-01", procedure: "height-monthly", by: "jt",
			first: begin(), last: on(2026, 10, 27), every: monthly, hour: 10, minute: 0, steps: micrometre, seed: 651,
			features: []behaviour{block("25", 2, 165100, 0.9, 0.8, 0.2), block("100", 2, 65101, 1.1, 1.6, 0.3)},
		},
	}
}
