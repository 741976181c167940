package expression

import "math"

// mixes reports operations that have loops of their own for a vector and a number.
func (op operation) mixes() bool { return op >= add && op <= divide }

// run does the operation for the first n trials. The same trial gives the same bits as [apply], whatever its place.
func (s *instruction) run(n int) {
	into := s.into[:n]
	switch {
	case s.constA:
		s.numberFirst(into, s.valueA, s.b[:n])
	case s.constB:
		s.numberLast(into, s.a[:n], s.valueB)
	case s.op.operands() == 1:
		s.single(into, s.a[:n])
	default:
		s.pair(into, s.a[:n], s.b[:n])
	}
}

func (s *instruction) numberFirst(into []float64, a float64, b []float64) {
	b = b[:len(into)]
	switch s.op {
	case add:
		for i := range into {
			into[i] = a + b[i]
		}
	case subtract:
		for i := range into {
			into[i] = a - b[i]
		}
	case multiply:
		for i := range into {
			into[i] = a * b[i]
		}
	default: // divide
		for i := range into {
			into[i] = a / b[i]
		}
	}
}

func (s *instruction) numberLast(into, a []float64, b float64) {
	a = a[:len(into)]
	switch s.op {
	case add:
		for i := range into {
			into[i] = a[i] + b
		}
	case subtract:
		for i := range into {
			into[i] = a[i] - b
		}
	case multiply:
		for i := range into {
			into[i] = a[i] * b
		}
	case divide:
		for i := range into {
			into[i] = a[i] / b
		}
	default: // power
		powers(into, a, b)
	}
}

func powers(into, a []float64, b float64) {
	switch b {
	case 2:
		for i := range into {
			into[i] = a[i] * a[i]
		}
	case 3:
		for i := range into {
			into[i] = a[i] * a[i] * a[i]
		}
	default:
		for i := range into {
			into[i] = math.Pow(a[i], b)
		}
	}
}

func (s *instruction) single(into, a []float64) {
	a = a[:len(into)]
	switch s.op {
	case negate:
		for i := range into {
			into[i] = -a[i]
		}
	case squareRoot:
		for i := range into {
			into[i] = math.Sqrt(a[i])
		}
	case absolute:
		for i := range into {
			into[i] = math.Abs(a[i])
		}
	default:
		for i := range into {
			into[i] = apply(s.op, a[i], 0)
		}
	}
}

func (s *instruction) pair(into, a, b []float64) {
	a, b = a[:len(into)], b[:len(into)]
	switch s.op {
	case add:
		for i := range into {
			into[i] = a[i] + b[i]
		}
	case subtract:
		for i := range into {
			into[i] = a[i] - b[i]
		}
	case multiply:
		for i := range into {
			into[i] = a[i] * b[i]
		}
	case divide:
		for i := range into {
			into[i] = a[i] / b[i]
		}
	default:
		for i := range into {
			into[i] = apply(s.op, a[i], b[i])
		}
	}
}
