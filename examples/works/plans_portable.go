package works

// size and span are the two features of a ball bar with the scatter of a
// handheld scanner; the way makes most of the second.
func size(seed uint64, scatterUM float64, eras []era) behaviour {
	return behaviour{name: "A", repeats: 3, betweenUM: scatterUM, withinUM: scatterUM, seed: seed, eras: eras}
}

func span(seed uint64, repeats int, pathM, scatterUM float64, eras []era) behaviour {
	return behaviour{name: "A-C", repeats: repeats, pathM: pathM, betweenUM: scatterUM, withinUM: 0.7 * scatterUM, seed: seed, eras: eras}
}

func scannerPlans() []plan {
	return []plan{
		{ // in perfect order
			device: "scan-01", artifact: "bar-800", procedure: "bar-weekly", by: "mk",
			first: begin(), last: on(2026, 11, 2), every: weekly, hour: 6, minute: 30, steps: tenthMicrometre, seed: 101,
			features: []behaviour{
				size(10100, 2.0, steady(3, -0.5)),
				span(110101, 3, 1.1, 5, steady(12, 1)),
			},
		},
		{
			device: "scan-01", artifact: "bar-800", procedure: "bar-detour", by: "mk",
			first: begin(), last: on(2026, 10, 12), every: monthly, hour: 7, minute: 10, steps: tenthMicrometre, seed: 102,
			features: []behaviour{span(10200, 2, 4.6, 22, steady(118, 0))},
		},
		{ // adjusted at its calibration of January 2026; shifts in October, inside its limit
			device: "scan-02", artifact: "bar-800", procedure: "bar-weekly", by: "jt",
			first: begin(), last: on(2026, 10, 26), every: weekly, hour: 8, minute: 5, steps: tenthMicrometre, seed: 201,
			features: []behaviour{
				size(20100, 2.0, []era{{begin(), 3.5, 5}, {on(2026, 1, 14), 1.8, 0}}),
				span(120101, 3, 1.1, 4.5, []era{{begin(), 14, 23}, {on(2026, 1, 14), 6, 0}, {on(2026, 10, 8), 32, 0}}),
			},
		},
		{
			device: "scan-02", artifact: "bar-2500", procedure: "bar-long", by: "jt",
			first: begin(), last: on(2026, 10, 5), every: monthly, hour: 8, minute: 40, steps: tenthMicrometre, seed: 202,
			features: []behaviour{span(20200, 2, 2.7, 10, []era{{begin(), 24, 40}, {on(2026, 1, 14), 13, 0}})},
		},
		{ // good along the bar to the last, failed round the hub
			device: "scan-03", artifact: "bar-800", procedure: "bar-weekly", by: "mk",
			first: begin(), last: on(2026, 10, 29), every: weekly, hour: 7, minute: 30, steps: tenthMicrometre, seed: 301,
			features: []behaviour{
				size(30100, 2.2, steady(3.8, 0)),
				span(30101, 3, 1.1, 5.5, steady(16, 0)),
			},
		},
		{
			device: "scan-03", artifact: "bar-800", procedure: "bar-detour", by: "mk",
			first: begin(), last: on(2026, 10, 29), every: monthly, hour: 8, minute: 10, steps: tenthMicrometre, seed: 302,
			features: []behaviour{span(130200, 2, 4.6, 24, []era{{begin(), 126, 0}, {on(2026, 10, 29), 318, 0}})},
		},
		{ // adjusted in September 2026 without a check before it
			device: "scan-04", artifact: "bar-800", procedure: "bar-weekly", by: "jt",
			first: on(2025, 5, 7), last: on(2026, 10, 28), every: weekly, hour: 6, minute: 50, steps: tenthMicrometre, seed: 401,
			features: []behaviour{
				size(40100, 1.4, []era{{begin(), 1.6, 0}, {on(2026, 9, 22), 0.4, 0}}),
				span(40101, 3, 1.1, 3.5, []era{{begin(), 7, 0}, {on(2026, 9, 22), 3, 0}}),
			},
		},
	}
}

// armPlans has the arm that was adjusted properly in February 2026 and failed
// on the last morning, with both of its quantities. Its distance had drifted
// before, slowly.
func armPlans() []plan {
	adjusted, failed := on(2026, 2, 3), on(2026, 11, 2)
	return []plan{{
		device: "arm-01", artifact: "bar-800", procedure: "bar-arm", by: "mk",
		first: begin(), last: failed, every: fortnightly, hour: 6, minute: 40, steps: tenthMicrometre, seed: 501,
		features: []behaviour{
			size(50100, 2.4, []era{{begin(), 6, 0}, {adjusted, 4.5, 0}, {failed, 52, 0}}),
			span(3750101, 3, 0, 4.5, []era{{begin(), 11, 18}, {adjusted, 8, 0}, {failed, 97, 0}}),
		},
	}}
}
