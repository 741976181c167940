package residuals

import "math"

// The scale beside a map: a bar of the colours from +3 s at the top to -3 s, and left of it how many points have which
// residual. Where two layers lie on each other, their means cancel in the cells; the points tell.
const (
	shadeHigh  = 18.0
	barWide    = 18.0
	tallyWide  = 46.0
	tallyBins  = 4 * classes // a quarter of s each
	scaleLeft  = mapSize + 18
	scaleAbove = 44.0 // from the map's top to +3 s
)

// tally counts the kept residuals of a sphere in quarters of s, from +3 s down; what lies beyond is counted at the ends.
func (s *Sphere) tally() [tallyBins]int {
	var out [tallyBins]int
	for i, residual := range s.ResidualUM {
		if s.kept(i) && s.SDUM > 0 {
			out[int(min(max(tallyBins/2-4*residual/s.SDUM, 0), tallyBins-1))]++
		}
	}
	return out
}

// legend draws the scale, with the map's upper left corner at x, mapTop.
func (s *Sphere) legend(l *list, x, mapTop float64) {
	x += scaleLeft
	bar, top := x+tallyWide+2, mapTop+scaleAbove
	l.text(common, x, mapTop+10, atStart, "residuals in µm")
	l.text(quiet, bar-2, top-10, atEnd, "points")
	l.text(quiet, bar+2, top-10, atStart, "cells")
	counts, most := s.tally(), 1
	for _, n := range counts {
		most = max(most, n)
	}
	var bars []box
	const high = 2 * classes * shadeHigh / tallyBins
	for i, n := range counts {
		if wide := math.Ceil(tallyWide * float64(n) / float64(most)); wide > 0 {
			bars = append(bars, box{bar - 2 - wide, top + high*float64(i), wide, high})
		}
	}
	l.boxes(bin, bars)
	for i := range 2 * classes {
		n := classes - i // +6 to +1, then -1 to -6
		if n <= 0 {
			n--
		}
		y := top + shadeHigh*float64(i)
		l.box(shade(n), bar, y, barWide, shadeHigh)
		if on := signed(n); on >= 0 {
			l.strokes([]role{weak, strong}[on], sign(n, bar+barWide/2, y+shadeHigh/2, 3))
		}
	}
	for k := 3; k >= -3; k-- {
		if s.SDUM == 0 && k != 0 {
			continue
		}
		y := top + shadeHigh*float64(2*(3-k))
		l.line(dimension, bar+barWide, y, bar+barWide+4, y)
		figure := beside(float64(k)*s.SDUM, s.SDUM)
		if k > 0 {
			figure = "+" + figure
		}
		l.text(common, bar+barWide+7, y+4, atStart, figure)
	}
	y := top + 2*classes*shadeHigh + 22
	if s.SDUM == 0 {
		l.text(quiet, x, y, atStart, "s is 0: no spread")
		return
	}
	l.text(quiet, x, y, atStart, "from +3 s to -3 s;")
	l.text(quiet, x, y+13, atStart, "beyond: at the ends")
}
