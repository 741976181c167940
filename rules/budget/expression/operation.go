package expression

import "math"

// operation is what a step of a model does to its operands.
type operation uint8

const (
	constant operation = iota // a number
	variable                  // a name; an input, once compiled
	add
	subtract
	multiply
	divide
	power
	negate
	squareRoot
	exponential
	logarithm
	logarithm10
	sine
	cosine
	tangent
	arcSine
	arcCosine
	arcTangent
	arcTangent2
	absolute
	least
	greatest
)

// Function documents one function of the language.
type Function struct {
	Name string
	Form string // with its arguments
	Text string // what it gives

	op       operation
	operands int // 1 or 2
	more     bool
}

// Functions lists the functions, in the order in which they are documented.
func Functions() []Function {
	return []Function{
		{Name: "sqrt", Form: "sqrt(a)", Text: "square root", op: squareRoot, operands: 1},
		{Name: "exp", Form: "exp(a)", Text: "exponential", op: exponential, operands: 1},
		{Name: "ln", Form: "ln(a)", Text: "natural logarithm", op: logarithm, operands: 1},
		{Name: "log10", Form: "log10(a)", Text: "logarithm to the base 10", op: logarithm10, operands: 1},
		{Name: "sin", Form: "sin(a)", Text: "sine of an angle in radian", op: sine, operands: 1},
		{Name: "cos", Form: "cos(a)", Text: "cosine", op: cosine, operands: 1},
		{Name: "tan", Form: "tan(a)", Text: "tangent", op: tangent, operands: 1},
		{Name: "asin", Form: "asin(a)", Text: "angle in radian, from -pi/2 to pi/2", op: arcSine, operands: 1},
		{Name: "acos", Form: "acos(a)", Text: "angle from 0 to pi", op: arcCosine, operands: 1},
		{Name: "atan", Form: "atan(a)", Text: "angle from -pi/2 to pi/2", op: arcTangent, operands: 1},
		{Name: "atan2", Form: "atan2(y, x)", Text: "angle of the point (x, y), from -pi to pi", op: arcTangent2, operands: 2},
		{Name: "abs", Form: "abs(a)", Text: "absolute value", op: absolute, operands: 1},
		{Name: "min", Form: "min(a, b, …)", Text: "the least", op: least, operands: 2, more: true},
		{Name: "max", Form: "max(a, b, …)", Text: "the greatest", op: greatest, operands: 2, more: true},
	}
}

func functionNamed(text string) (Function, bool) {
	for _, f := range Functions() {
		if f.Name == text {
			return f, true
		}
	}
	return Function{}, false
}

func isFunction(text string) bool {
	_, known := functionNamed(text)
	return known
}

// apply does one operation; b is not looked at where there is one operand.
func apply(op operation, a, b float64) float64 {
	switch op {
	case add:
		return a + b
	case subtract:
		return a - b
	case multiply:
		return a * b
	case divide:
		return a / b
	case power:
		return powerOf(a, b)
	case negate:
		return -a
	case squareRoot:
		return math.Sqrt(a)
	case exponential:
		return math.Exp(a)
	case logarithm:
		return math.Log(a)
	case logarithm10:
		return math.Log10(a)
	case sine:
		return math.Sin(a)
	case cosine:
		return math.Cos(a)
	case tangent:
		return math.Tan(a)
	case arcSine:
		return math.Asin(a)
	case arcCosine:
		return math.Acos(a)
	case arcTangent:
		return math.Atan(a)
	case arcTangent2:
		return math.Atan2(a, b)
	case absolute:
		return math.Abs(a)
	case least:
		return math.Min(a, b)
	case greatest:
		return math.Max(a, b)
	case constant, variable:
	}
	return math.NaN()
}

// powerOf multiplies for the two powers that models are full of; 0^0 is 1.
func powerOf(a, b float64) float64 {
	switch b {
	case 2:
		return a * a
	case 3:
		return a * a * a
	}
	return math.Pow(a, b)
}

// linear reports operations that keep an infinite operand infinite or make it NaN. Behind all others it could vanish:
// 1/(1/0) is no number, whatever the processor says.
func (op operation) linear() bool {
	return op <= multiply && op >= add || op == negate
}

// operands returns how many operands an operation has.
func (op operation) operands() int {
	switch op {
	case constant, variable:
		return 0
	case add, subtract, multiply, divide, power, arcTangent2, least, greatest:
		return 2
	default:
		return 1
	}
}
