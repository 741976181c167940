package main

import "math"

// surface gives points on a piece of something, with the direction outwards.
type surface func(d draws) (at, outward vector)

// ball is the part of a sphere that a scanner sees which goes round it: a cap about z. Seven views cover it, one from above
// and six from around, each with fewer points where it looks along the surface; where views overlap the points lie closer.
func ball(centre vector, radius float64) surface {
	lowest := math.Cos(capDegrees * math.Pi / 180)
	views := []vector{{0, 0, 1}}
	for i := range 6 {
		sin, cos := math.Sincos(float64(i)*math.Pi/3 + 0.3)
		views = append(views, vector{0.85 * cos, 0.85 * sin, 0.53})
	}
	return func(d draws) (vector, vector) {
		view := views[int(d.uniform()*float64(len(views)))]
		for {
			u := onSphere(d, lowest)
			if facing := dot(u, view); facing > 0.25 && d.uniform() < facing {
				return centre.plus(u.times(radius)), u
			}
		}
	}
}

// onSphere is a direction, evenly spread over those whose z is at least lowest.
func onSphere(d draws, lowest float64) vector {
	z := d.between(lowest, 1)
	sin, cos := math.Sincos(2 * math.Pi * d.uniform())
	side := math.Sqrt(1 - float64(z*z))
	return vector{side * cos, side * sin, z}
}

// tube lies along x; a scanner sees a little more than its upper half.
func tube(from, to vector, radius float64) surface {
	return func(d draws) (vector, vector) {
		sin, cos := math.Sincos(d.between(-100, 100) * math.Pi / 180)
		u := vector{0, sin, cos}
		return vector{d.between(from[0], to[0]), from[1], from[2]}.plus(u.times(radius)), u
	}
}

// stem stands upright below a sphere, its radius shrinking from below to above.
func stem(foot, head vector, below, above float64) surface {
	return func(d draws) (vector, vector) {
		sin, cos := math.Sincos(2 * math.Pi * d.uniform())
		u, share := vector{cos, sin, 0}, d.uniform()
		axis := foot.plus(head.plus(foot.times(-1)).times(share))
		return axis.plus(u.times(below + float64(share*(above-below)))), u
	}
}

// sheet is a flat four-sided piece at a corner between two edges.
func sheet(corner, edge, other, outward vector) surface {
	return func(d draws) (vector, vector) {
		return corner.plus(edge.times(d.uniform())).plus(other.times(d.uniform())), outward
	}
}

// target is a flat round mark that lies on something level.
func target(centre vector, radius float64) surface {
	return func(d draws) (vector, vector) {
		for {
			x, y := d.between(-1, 1), d.between(-1, 1)
			if float64(x*x)+float64(y*y) <= 1 {
				return centre.plus(vector{radius * x, radius * y, 0}), vector{0, 0, 1}
			}
		}
	}
}

// finger is a rounded stick between two places, seen from above.
func finger(from, to vector, radius float64) surface {
	along := to.plus(from.times(-1))
	return func(d draws) (vector, vector) {
		u := onSphere(d, -0.2)
		return from.plus(along.times(d.uniform())).plus(u.times(radius)), u
	}
}

// lump is the upper part of an ellipsoid: the back of a hand.
func lump(centre, axes vector) surface {
	return func(d draws) (vector, vector) {
		u := onSphere(d, -0.1)
		return centre.plus(vector{axes[0] * u[0], axes[1] * u[1], axes[2] * u[2]}), u
	}
}

// column is the part of an upright cylinder that a scanner sees which goes round it between two angles in degrees.
func column(centre vector, radius, height, from, to float64) surface {
	return func(d draws) (vector, vector) {
		sin, cos := math.Sincos(d.between(from, to) * math.Pi / 180)
		u := vector{cos, sin, 0}
		return centre.plus(u.times(radius)).plus(vector{0, 0, height * d.uniform()}), u
	}
}
