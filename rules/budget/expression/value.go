package expression

import (
	"fmt"
	"math"
	"strings"
)

// Fault is a value or a derivative that does not exist at a point: a quotient by zero, the logarithm of a negative number.
type Fault struct {
	In         int    // the expression: 0 is the measurand, i the i-th definition
	Start, End int    // the part at fault, in bytes of that expression
	Text       string // that part
	What       string // what happened there
	Inputs     []int  // the inputs that the part depends on
}

// Error returns what happened and where, on one line.
func (f *Fault) Error() string { return f.What + " in " + f.Text }

// Values evaluates the measurand and the definitions, in this order, at a point with one value an input. The error is a
// [*Fault].
func (m *Model) Values(x []float64) ([]float64, error) {
	all, err := m.evaluate(x, len(m.steps))
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(m.results))
	for i, r := range m.results {
		out[i] = all[r]
	}
	return out, nil
}

// Value evaluates the measurand alone.
func (m *Model) Value(x []float64) (float64, error) {
	all, err := m.evaluate(x, int(m.results[0])+1)
	if err != nil {
		return 0, err
	}
	return all[m.results[0]], nil
}

// evaluate does the first steps and stops at the first that gives no finite number.
func (m *Model) evaluate(x []float64, steps int) ([]float64, error) {
	out := make([]float64, steps)
	for i := range out {
		s := &m.steps[i]
		switch s.op {
		case variable:
			out[i] = x[i]
		case constant:
			out[i] = s.value
		default:
			out[i] = apply(s.op, out[s.a], out[s.b])
		}
		if v := out[i]; math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, m.fault(i, wrong(s.op, out[s.a], out[s.b]))
		}
	}
	return out, nil
}

func (m *Model) fault(i int, what string) *Fault {
	s := &m.steps[i]
	f := &Fault{In: s.in, Start: s.start, End: s.end, What: what}
	if i < len(m.inputs) {
		f.Text = m.inputs[i]
	} else {
		f.Text = strings.Join(strings.Fields(m.texts[s.in][s.start:s.end]), " ")
	}
	for input, needed := range m.needed(int32(i))[:len(m.inputs)] {
		if needed {
			f.Inputs = append(f.Inputs, input)
		}
	}
	return f
}

// wrong says why an operation gives no number.
func wrong(op operation, a, b float64) string {
	switch {
	case op == divide && b == 0:
		return "a division by zero"
	case op == squareRoot && a < 0:
		return fmt.Sprintf("the square root of %.6g", a)
	case (op == logarithm || op == logarithm10) && a <= 0:
		return fmt.Sprintf("the logarithm of %.6g", a)
	case (op == arcSine || op == arcCosine) && math.Abs(a) > 1:
		return fmt.Sprintf("the angle whose sine or cosine is %.6g", a)
	case op == power && a == 0:
		return fmt.Sprintf("zero to the power %.6g", b)
	case op == power && a < 0 && b != math.Trunc(b):
		return fmt.Sprintf("%.6g to the power %.6g, which is not whole", a, b)
	case op == variable:
		return "a value that is no number"
	}
	return "a number too large to hold"
}
