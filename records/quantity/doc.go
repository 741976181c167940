// Package quantity reads and writes the quantities of metrology records as
// text with their units: lengths, temperatures, angles, thermal expansion
// coefficients, shares of a whole, uncertainties, calendar intervals and maximum
// permissible errors.
//
// What goes in is the text of one TOML string or one flag. What comes out is
// either a value or an [*Error] that says which bytes of the text are at
// fault and what would mend them. Nothing is guessed: a number without its
// unit, a decimal comma or a bare uncertainty is refused.
//
// Numbers are kept as the decimal numbers that were written, never as their
// binary neighbours, so that a conversion rounds once: "0.057 mm" is exactly
// 57 µm. For every value x, parsing x.String() gives x again, equal by ==;
// two spellings of one size (1 m, 1000 mm) differ by == and are equal by
// Compare.
//
// The zero value of each type means "not stated", which is something other
// than a stated zero. IsZero tells; the accessors of a value that is not
// stated answer NaN, so that it can never pass for a figure.
//
// Spellings: the micro sign is written µ (U+00B5); the Greek letter (U+03BC) and the
// ASCII letter u are read as well, degC for °C, +/- for ±, and dof for ν. The
// blank between number and unit may be left out when reading.
package quantity
