package sphere

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Limits beyond which something is worth a sentence. They are judgement, not of any standard, but for the share cut, of which
// more than 1 % is a finding in itself (common practice, no source).
const (
	fewPoints     = 100
	littleSurface = 0.25 // of the sphere, a cap of 60° half-angle
	muchCut       = 0.01
	emptyPart     = 0.12 // of the sphere
)

// WarningCodes lists the codes of warnings with what each is about.
func WarningCodes() []struct{ Code, Text string } {
	return []struct{ Code, Text string }{
		{"symmetric", "the artifact looks the same with its spheres exchanged; the names follow the order of the scan"},
		{"few-points", "fewer than 100 points on a sphere"},
		{"little-coverage", "less than a quarter of the sphere's surface was seen"},
		{"gaps", "points reach farther than the part that was seen: strays at its edge, or gaps in it"},
		{"much-cut", "more than 1 % of the points of the surface were left out as outliers"},
		{"double-surface", "the surface is there twice: scans that do not lie on each other"},
		{"pattern", "the deviations follow a pattern over the sphere, more than the scatter explains"},
		{"fixed-radius", "the radius held fixed differs from the one the points show"},
		{"several-visits", "parts of a sphere scanned at different times do not fit together"},
		{"loop", "a sphere was scanned again at the end; the first scan is used, and the loop's closure stated"},
		{"coarse-numbers", "the numbers in the file are rounded more coarsely than a third of the scatter"},
	}
}

func (r *Result) warnOfWhole(w *Wanted, stepMM float64) {
	if r.Ambiguous {
		var names []string
		for _, s := range w.Spheres {
			names = append(names, s.Name)
		}
		r.warn("symmetric", "", fmt.Sprintf("the artifact looks the same with its spheres exchanged; %s are named in the order in which the scan shows them", strings.Join(names, ", ")))
	}
	finest := math.Inf(1)
	for i := range r.Spheres {
		finest = math.Min(finest, r.Spheres[i].SDMM)
	}
	if stepMM > finest/3 {
		r.warn("coarse-numbers", "", fmt.Sprintf("the file's numbers are rounded to %.2g µm, with a scatter of %.2g µm: save with more digits, nearer to the origin, or in double precision",
			1000*stepMM, 1000*finest))
	}
}

func (r *Result) warnOfSphere(sp *Sphere, p Points, in []bool, seen *visits, o *Options) {
	warn := func(code, format string, figures ...any) { r.warn(code, sp.Name, fmt.Sprintf(format, figures...)) }
	if sp.Points < fewPoints {
		warn("few-points", "%d points only", sp.Points)
	}
	if sp.Coverage < littleSurface {
		warn("little-coverage", "%.0f %% of the surface was seen, a cap of %.0f° half-angle: the centre along its axis and the diameter are poorly known",
			100*sp.Coverage, sp.HalfAngle*180/math.Pi)
	}
	if reached := (1 - math.Cos(sp.HalfAngle)) / 2; reached-sp.Coverage > emptyPart {
		warn("gaps", "points reach over a cap of %.0f° half-angle, %.0f %% of the sphere, of which %.0f %% of the sphere has points: strays at the edge, or gaps",
			sp.HalfAngle*180/math.Pi, 100*reached, 100*sp.Coverage)
	}
	if share := float64(sp.Rejected) / float64(sp.Points+sp.Rejected); share > muchCut {
		warn("much-cut", "%d of %d points were left out (%.1f %%): look where they lie", sp.Rejected, sp.Points+sp.Rejected, 100*share)
	}
	if seen.closure != nil {
		warn("loop", "it was scanned again at the end, %.4f mm away (u = %.4f mm by the fits); the first scan is used", seen.closure.MM, seen.closure.UMM)
	}
	if s := seen.spread; s != nil && s.MM > 3*s.UMM && s.MM > sp.SDMM/3 {
		warn("several-visits", "parts scanned at different times differ by %.4f mm in its centre (u = %.4f mm): the sphere is spread over scanning volumes", s.MM, s.UMM)
	}
	if hidden := sp.FreeDiameterMM - 2*sp.RadiusMM; o.Fixed && math.Abs(hidden) > 3*sp.UFreeMM {
		warn("fixed-radius", "the diameter was held at %.4f mm and the points show %.4f mm (u = %.4f mm): an error of size is hidden and shifts the centre",
			2*sp.RadiusMM, sp.FreeDiameterMM, sp.UFreeMM)
	} else if gap, share := doubled(p, &sp.Fit); share >= 0.1 {
		warn("double-surface", "over %.0f %% of what was seen two surfaces lie about %.3f mm apart: scans that were not registered well", 100*share, gap)
	} else if amplitude, f := pattern(p, in, &sp.Fit); f > 6 && amplitude > 0.3*sp.SDMM {
		warn("pattern", "the deviations follow a pattern of %.4f mm (standard deviation) over the sphere, beside a scatter of %.4f mm: form, registration or the sensor; "+
			"the uncertainty takes them for chance", amplitude, sp.SDMM)
	}
}

// mostLookedAt bounds the points that doubled looks at.
const mostLookedAt = 40_000

// doubled looks for a second surface: places where the deviations fall into two groups with a gap between them. It returns
// the median distance of the groups and the share of the places where there are two.
//
// A single Gaussian group, split where the squares within become least, keeps 1 − 2/π = 0.36 of its variance within the
// parts; two groups 4 s apart keep 0.2.
func doubled(p Points, f *Fit) (gapMM, share float64) {
	stride := p.Len()/mostLookedAt + 1
	c := cellsFor(p.Len()/stride/4, vector{0, 0, 1})
	places := make([][]float64, c.n())
	for i := 0; i < p.Len(); i += stride {
		v := minus(p.at(i), f.CenterMM)
		k := c.of(unit(v))
		places[k] = append(places[k], norm(v)-f.RadiusMM)
	}
	var gaps []float64
	looked := 0
	for _, d := range places {
		if len(d) < 24 {
			continue
		}
		looked++
		if gap, two := twoGroups(d); two {
			gaps = append(gaps, gap)
		}
	}
	if looked < 8 || len(gaps) < 3 {
		return 0, 0
	}
	return median(gaps), float64(len(gaps)) / float64(looked)
}

// twoGroups splits values where the sum of squares within the parts is least, and reports whether they are two groups, and
// how far apart.
func twoGroups(d []float64) (gap float64, two bool) {
	slices.Sort(d)
	n := len(d)
	sum, square := 0.0, 0.0
	for _, v := range d {
		sum += v
		square += float64(v * v)
	}
	total := square - sum*sum/float64(n)
	best, at, left := math.Inf(1), 0, 0.0
	for k := 1; k < n; k++ {
		left += d[k-1]
		right := sum - left
		if within := square - left*left/float64(k) - right*right/float64(n-k); within < best {
			best, at = within, k
			gap = right/float64(n-k) - left/float64(k)
		}
	}
	few := max(4, n/10)
	if total <= 0 || at < few || n-at < few || best > 0.2*total {
		return 0, false
	}
	// Strays on one side are a group of their own with a wide scatter; two sheets are each as narrow as one, with nothing in
	// between. Evenly spread values split well too, but leave no gap.
	low, high, between := d[at-1]-d[0], d[n-1]-d[at], d[at]-d[at-1]
	return gap, low < gap && high < gap && between > 0.12*gap
}

// pattern compares the mean deviations over the sphere with what their scatter allows: the standard deviation of what is
// beyond chance, and the ratio of the variances, which is about 1 where there is no pattern.
func pattern(p Points, in []bool, f *Fit) (amplitudeMM, ratio float64) {
	stride := f.Points/mostLookedAt + 1
	c := cellsFor(f.Points/stride/2, vector{0, 0, 1})
	n, sum, square := make([]float64, c.n()), make([]float64, c.n()), make([]float64, c.n())
	for i := 0; i < p.Len(); i += stride {
		if !in[i] {
			continue
		}
		v := minus(p.at(i), f.CenterMM)
		k, d := c.of(unit(v)), norm(v)-f.RadiusMM
		n[k]++
		sum[k] += d
		square[k] += float64(d * d)
	}
	between, within, groups, points := 0.0, 0.0, 0.0, 0.0
	for k := range n {
		if n[k] < 8 {
			continue
		}
		mean := sum[k] / n[k]
		between += n[k] * mean * mean
		within += square[k] - n[k]*mean*mean
		groups++
		points += n[k]
	}
	if groups < 12 || within <= 0 {
		return 0, 0
	}
	variance := within / (points - groups)
	excess := between/points - variance*(groups-4)/points
	return math.Sqrt(math.Max(0, excess)), between / (groups - 4) / variance
}
