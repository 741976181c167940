package drift_test

import (
	"testing"

	"plumbrule/rules/drift"
)

// scatter is the same small, independent-looking scatter for all series, µm.
var scatter = []float64{0.2, -0.3, 0.1, 0.4, -0.2, -0.4, 0.3, 0.1, -0.3, 0.2}

// series drifts by perYear µm in the year it lasts; wobble scales the scatter.
func series(artifact string, q drift.Quantity, perYear, wobble float64) drift.Series {
	s := drift.Series{Artifact: artifact, Quantity: q}
	for i, e := range scatter {
		day := float64(i) * 40
		s.Points = append(s.Points, drift.Point{Day: day, ErrorUM: perYear*day/365 + wobble*e})
	}
	return s
}

func change(artifact string, q drift.Quantity, um, expanded float64) drift.Change {
	return drift.Change{Artifact: artifact, Quantity: q, Days: 365, ChangeUM: um, ExpandedUM: expanded}
}

// Constructed patterns and what the rules of Compare say of each, worked through by hand. The interval of a slope is about
// ±0.8 µm a year at a wobble of 1.
func TestWhatAPatternPointsTo(t *testing.T) {
	size, distance := drift.Size, drift.Distance
	type finding struct {
		cause    drift.Cause
		artifact string
		quantity drift.Quantity
		rests    int
	}
	for _, c := range []struct {
		name    string
		series  []drift.Series
		changes []drift.Change
		want    []finding
	}{
		{"nothing drifts", []drift.Series{series("A", size, 0, 1), series("A", distance, 0.1, 1)}, nil, nil},
		{
			"size drifts, distance holds",
			[]drift.Series{series("A", size, 5, 1), series("A", distance, 0, 1)},
			nil,
			[]finding{{drift.SphereSurface, "A", size, 2}},
		},
		{
			"distance too uncertain to say that it holds",
			[]drift.Series{series("A", size, 5, 1), series("A", distance, 0, 20)},
			nil,
			[]finding{{drift.Undecided, "A", size, 1}},
		},
		{
			"distance drifts, size holds",
			[]drift.Series{series("A", size, 0, 1), series("A", distance, 5, 1)},
			nil,
			[]finding{{drift.Undecided, "A", distance, 1}},
		},
		{
			"one artifact of two",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 0, 1)},
			nil,
			[]finding{{drift.ArtifactDrift, "A", distance, 2}},
		},
		{
			"one artifact of two, in size only",
			[]drift.Series{series("A", size, -5, 1), series("B", size, 0, 1), series("A", distance, 0, 1)},
			nil,
			[]finding{{drift.SphereSurface, "A", size, 3}},
		},
		{
			"all together",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 5.2, 1), series("C", distance, 4.9, 1)},
			nil,
			[]finding{{drift.DeviceDrift, "", distance, 3}},
		},
		{
			"all sizes together while distance holds: not the surfaces",
			[]drift.Series{series("A", size, 5, 1), series("B", size, 5, 1), series("A", distance, 0, 1)},
			nil,
			[]finding{{drift.DeviceDrift, "", size, 2}},
		},
		{
			"apart",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, -5, 1)},
			nil,
			[]finding{{drift.Undecided, "A", distance, 2}, {drift.Undecided, "B", distance, 2}},
		},
		{
			"two drift, one holds",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 5, 1), series("C", distance, 0, 1)},
			nil,
			[]finding{{drift.Undecided, "A", distance, 3}, {drift.Undecided, "B", distance, 3}},
		},
		{
			"other artifact too uncertain",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 0, 20)},
			nil,
			[]finding{{drift.Undecided, "A", distance, 2}},
		},
		{
			"certificates show the change",
			[]drift.Series{series("A", distance, 5, 1)},
			[]drift.Change{change("A", distance, 5, 1)},
			[]finding{{drift.ArtifactDrift, "A", distance, 2}},
		},
		{
			"certificates show another change",
			[]drift.Series{series("A", distance, 5, 1)},
			[]drift.Change{change("A", distance, -5, 1)},
			[]finding{{drift.Undecided, "A", distance, 1}},
		},
		{
			"certificates show that it held",
			[]drift.Series{series("A", distance, 5, 1)},
			[]drift.Change{change("A", distance, 0, 1)},
			[]finding{{drift.DeviceDrift, "", distance, 2}},
		},
		{
			"certificates too uncertain",
			[]drift.Series{series("A", distance, 5, 1)},
			[]drift.Change{change("A", distance, 0, 9)},
			[]finding{{drift.Undecided, "A", distance, 1}},
		},
		{
			"certificates of size held: not the surface",
			[]drift.Series{series("A", size, 5, 1), series("A", distance, 0, 1)},
			[]drift.Change{change("A", size, 0, 1)},
			[]finding{{drift.DeviceDrift, "", size, 2}},
		},
		{
			"certificates against the other artifact",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 0, 1)},
			[]drift.Change{change("A", distance, 0, 1)},
			[]finding{{drift.Undecided, "A", distance, 3}},
		},
		{
			"a changing artifact is no witness",
			[]drift.Series{series("A", distance, 5, 1), series("B", distance, 5, 1)},
			[]drift.Change{change("B", distance, 5, 1)},
			[]finding{{drift.Undecided, "A", distance, 1}, {drift.Undecided, "B", distance, 3}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := drift.Compare(c.series, c.changes, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Findings) != len(c.want) || len(got.Slopes) != len(c.series)+len(c.changes) {
				t.Fatalf("%+v", got.Findings)
			}
			for i, w := range c.want {
				f := got.Findings[i]
				if f.Cause != w.cause || f.Artifact != w.artifact || f.Quantity != w.quantity || len(f.Rests) != w.rests {
					t.Errorf("got %s %q %s on %d slopes (%s), want %+v", f.Cause, f.Artifact, f.Quantity, len(f.Rests), f.Sentence, w)
				}
			}
		})
	}
}

func TestFindingInWords(t *testing.T) {
	got, err := drift.Compare([]drift.Series{series("bar-1", drift.Size, 3.65, 1), series("bar-1", drift.Distance, 0, 1)}, nil, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	const want = "size of bar-1 drifts by 0.00992 µm a day (0.00764 to 0.0122); its distance holds"
	if len(got.Findings) != 1 || got.Findings[0].Sentence != want {
		t.Errorf("got %+v, want %s", got.Findings, want)
	}
	near(t, "level of each", got.Level, 0.975, 1e-15)
}

// A series that bends, one that is too short and one from another year decide nothing.
func TestSeriesThatDecideNothing(t *testing.T) {
	bent := series("B", drift.Distance, 0, 0.01)
	for i := range bent.Points {
		bent.Points[i].ErrorUM += 0.1 * float64((i-4)*(i-5))
	}
	short := series("B", drift.Distance, 0, 1)
	short.Points = short.Points[:2]
	later := series("B", drift.Distance, 0, 1)
	for i := range later.Points {
		later.Points[i].Day += 1000
	}
	for _, other := range []drift.Series{bent, short, later} {
		got, err := drift.Compare([]drift.Series{series("A", drift.Distance, 5, 1), other}, nil, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Findings) != 1 || got.Findings[0].Cause != drift.Undecided {
			t.Errorf("%+v", got.Findings)
		}
	}
}

// A distance of another year does not say that it held while the size drifted.
func TestDistanceOfAnotherYear(t *testing.T) {
	later := series("A", drift.Distance, 0, 1)
	for i := range later.Points {
		later.Points[i].Day += 1000
	}
	got, err := drift.Compare([]drift.Series{series("A", drift.Size, 5, 1), later}, nil, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Findings) != 1 || got.Findings[0].Cause != drift.Undecided {
		t.Errorf("%+v", got.Findings)
	}
}

func TestCompareRefuses(t *testing.T) {
	one := []drift.Series{series("A", drift.Distance, 5, 1)}
	_, err := drift.Compare(append(one, one...), nil, 0.95)
	refused(t, err, "two series of distance of A, expected one; join them")
	c := change("A", drift.Distance, 1, 1)
	_, err = drift.Compare(one, []drift.Change{c, c}, 0.95)
	refused(t, err, "two changes of distance of A, expected one; give the one nearest to the period")
	_, err = drift.Compare([]drift.Series{{Artifact: "A", Quantity: drift.Size}}, nil, 0.95)
	refused(t, err, "series of size of A: no points, expected at least one")
	c.Days = 0
	_, err = drift.Compare(one, []drift.Change{c}, 0.95)
	refused(t, err, "change of distance of A over 0 days, expected above 0")
	_, err = drift.Compare(one, []drift.Change{change("A", drift.Distance, 1, 0)}, 0.95)
	refused(t, err, "change of distance of A with an expanded uncertainty of 0 µm, expected above 0")
	_, err = drift.Compare(one, nil, 0)
	refused(t, err, "level 0, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
}
