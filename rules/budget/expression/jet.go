package expression

import "math"

// jet is a function of two increments a and b, as its Taylor polynomial in the monomials 1, a, b, ab, b², ab²: enough for
// the derivatives ∂, ∂² and ∂³/∂xᵢ∂xⱼ² at a point. All other products are dropped, they cannot come back.
//
// Moving xᵢ by a and xⱼ by b gives the mixed derivatives; moving one input by a + b gives its own.
type jet [6]float64

const (
	one = iota
	inA
	inB
	inAB
	inBB
	inABB
)

// constantJet is a function that does not move.
func constantJet(v float64) jet { return jet{one: v} }

func (x jet) moves() bool {
	return x[inA] != 0 || x[inB] != 0 || x[inAB] != 0 || x[inBB] != 0 || x[inABB] != 0
}

func (x jet) plus(y jet, sign float64) (z jet) {
	for i := range z {
		z[i] = x[i] + float64(sign*y[i])
	}
	return z
}

func (x jet) times(y jet) (z jet) {
	z[one] = x[one] * y[one]
	z[inA] = float64(x[one]*y[inA]) + float64(x[inA]*y[one])
	z[inB] = float64(x[one]*y[inB]) + float64(x[inB]*y[one])
	z[inAB] = float64(x[one]*y[inAB]) + float64(x[inAB]*y[one]) + float64(x[inA]*y[inB]) + float64(x[inB]*y[inA])
	z[inBB] = float64(x[one]*y[inBB]) + float64(x[inBB]*y[one]) + float64(x[inB]*y[inB])
	z[inABB] = float64(x[one]*y[inABB]) + float64(x[inABB]*y[one]) + float64(x[inA]*y[inBB]) + float64(x[inBB]*y[inA]) +
		float64(x[inB]*y[inAB]) + float64(x[inAB]*y[inB])
	return z
}

// through returns g(x) from g and its first three derivatives at the value of x: g + g′δ + g″δ²/2 + g‴δ³/6, where δ, what
// x moves by, has no power above the third.
func (x jet) through(g, g1, g2, g3 float64) (z jet) {
	z[one] = g
	if !x.moves() {
		return z // a derivative that does not exist is not asked for
	}
	z[inA] = g1 * x[inA]
	z[inB] = g1 * x[inB]
	z[inAB] = float64(g1*x[inAB]) + float64(g2*x[inA]*x[inB])
	z[inBB] = float64(g1*x[inBB]) + float64(g2/2*x[inB]*x[inB])
	z[inABB] = float64(g1*x[inABB]) + float64(g2*(float64(x[inA]*x[inBB])+float64(x[inB]*x[inAB]))) + float64(g3/2*x[inA]*x[inB]*x[inB])
	return z
}

// undefined is a value without derivatives.
func undefined(v float64) jet {
	n := math.NaN()
	return jet{v, n, n, n, n, n}
}

// applyJet does one operation on polynomials.
func applyJet(op operation, x, y jet) jet {
	v := x[one]
	switch op {
	case add:
		return x.plus(y, 1)
	case subtract:
		return x.plus(y, -1)
	case multiply:
		return x.times(y)
	case divide:
		r := 1 / y[one]
		out := x.times(y.through(r, -r*r, 2*r*r*r, -6*r*r*r*r))
		out[one] = v / y[one]
		return out
	case power:
		return powerJet(x, y)
	case negate:
		return constantJet(0).plus(x, -1)
	case squareRoot:
		r := math.Sqrt(v)
		return x.through(r, 1/(2*r), -1/(4*v*r), 3/(8*v*v*r))
	case exponential:
		e := math.Exp(v)
		return x.through(e, e, e, e)
	case logarithm:
		return x.through(math.Log(v), 1/v, -1/(v*v), 2/(v*v*v))
	case logarithm10:
		return x.through(math.Log10(v), 1/(v*math.Ln10), -1/(v*v*math.Ln10), 2/(v*v*v*math.Ln10))
	case sine:
		s, c := math.Sincos(v)
		return x.through(s, c, -s, -c)
	case cosine:
		s, c := math.Sincos(v)
		return x.through(c, -s, -c, s)
	case tangent:
		t := math.Tan(v)
		d := 1 + float64(t*t)
		return x.through(t, d, 2*t*d, d*(2+float64(6*t*t)))
	case arcSine, arcCosine:
		return arcJet(op, x)
	case arcTangent:
		return arcTangentJet(x)
	case arcTangent2:
		return arcTangent2Jet(x, y)
	case absolute:
		switch {
		case v > 0 || !x.moves():
			return x.through(math.Abs(v), 1, 0, 0)
		case v < 0:
			return x.through(-v, -1, 0, 0)
		}
		return undefined(0)
	case least, greatest:
		switch {
		case v == y[one] && x != y:
			return undefined(v)
		case (v < y[one]) == (op == least):
			return x
		}
		return y
	case constant, variable:
	}
	return undefined(math.NaN())
}

// powerJet takes a constant exponent by the rule for powers, so that a whole one does for negative numbers and for zero.
func powerJet(x, y jet) jet {
	v, p := x[one], y[one]
	if y.moves() {
		l := math.Log(v)
		exponent := y.times(x.through(l, 1/v, -1/(v*v), 2/(v*v*v)))
		e := powerOf(v, p)
		return exponent.through(e, e, e, e)
	}
	derivative := func(order int) float64 {
		factor := 1.0
		for i := range order {
			factor *= p - float64(i)
		}
		if factor == 0 {
			return 0
		}
		return factor * math.Pow(v, p-float64(order))
	}
	return x.through(powerOf(v, p), derivative(1), derivative(2), derivative(3))
}

func arcJet(op operation, x jet) jet {
	v := x[one]
	w := 1 / (1 - float64(v*v))
	root := math.Sqrt(w)
	g1, g2, g3 := root, v*w*root, (1+float64(2*v*v))*w*w*root
	if op == arcSine {
		return x.through(math.Asin(v), g1, g2, g3)
	}
	return x.through(math.Acos(v), -g1, -g2, -g3)
}

func arcTangentJet(x jet) jet {
	v := x[one]
	w := 1 / (1 + float64(v*v))
	return x.through(math.Atan(v), w, -2*v*w*w, (float64(6*v*v)-2)*w*w*w)
}

// arcTangent2Jet takes the angle by the smaller of the two quotients. On the cut, where the angle jumps by a whole turn,
// there are no derivatives.
func arcTangent2Jet(y, x jet) jet {
	v := math.Atan2(y[one], x[one])
	if y[one] == 0 && x[one] <= 0 && (x.moves() || y.moves()) {
		return undefined(v)
	}
	var out jet
	if math.Abs(x[one]) >= math.Abs(y[one]) {
		out = arcTangentJet(applyJet(divide, y, x))
	} else {
		out = constantJet(0).plus(arcTangentJet(applyJet(divide, x, y)), -1)
	}
	out[one] = v
	return out
}
