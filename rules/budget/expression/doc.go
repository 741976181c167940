// Package expression reads the model of a measurement, the function f in Y = f(X₁, …, X_N) of JCGM 100:2008 (GUM) 4.1, and
// evaluates and differentiates it.
//
// A text such as l*(1 + α*(t - 20)) goes in. [Parse] reads it; [Compile] binds its names to inputs and to quantities defined
// by expressions of their own; the [Model] gives values, first derivatives (sensitivity coefficients), the second and
// third ones that GUM 5.1.2, note, asks for, and, through an [Evaluator], values of many trials at a time. Derivatives come
// from formulas (automatic differentiation), not from differences.
//
// The language, loosest binding first:
//
//	a + b   a - b
//	a * b   a / b
//	-a   +a
//	a ^ b                     the power, to the right first: 2^3^2 is 2^9, -a^2 is -(a^2), 2^-1 is 0.5
//	12.5   1e-6   pi          numbers with a decimal point, without a unit
//	l_S   δα   t2             names: letters of any script, digits and _, a letter or _ first; case counts
//	(a)   sqrt(a)             brackets; the functions are those of [Functions], angles in radian
//
// Blanks and line ends may stand between any two of them. What cannot be read is an [*Error] with its place; a value that
// does not exist, such as a quotient by zero, is a [*Fault] and never a number.
package expression
