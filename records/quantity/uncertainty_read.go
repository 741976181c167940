package quantity

import "strings"

// ParseLengthUncertainty reads an uncertainty in units of length; see
// [Uncertainty] for the forms. A bare "0.6 µm" is refused. The error is an
// [*Error].
func ParseLengthUncertainty(text string) (LengthUncertainty, error) {
	return parseUncertainty(text, (*cursor).length)
}

// ParseTemperatureUncertainty reads an uncertainty in K, mK or °C; see
// [Uncertainty] for the forms. The error is an [*Error].
func ParseTemperatureUncertainty(text string) (TemperatureUncertainty, error) {
	return parseUncertainty(text, (*cursor).temperatureDifference)
}

// ParseExpansionUncertainty reads an uncertainty in units of thermal
// expansion, such as "±1e-6/K (rectangular)"; see [Uncertainty] for the
// forms. The error is an [*Error].
func ParseExpansionUncertainty(text string) (ExpansionUncertainty, error) {
	return parseUncertainty(text, (*cursor).expansion)
}

func parseUncertainty[Q uncertain](text string, read func(*cursor) (Q, *Error)) (Uncertainty[Q], error) {
	c := cursor{text: text}
	s, prefix := uncertaintyStatement{}, c.uncertaintyPrefix()
	c.blank()
	start := c.pos
	amount, err := read(&c)
	if err == nil && amount.negative() {
		err = c.negative(start, "an uncertainty")
	}
	end := c.pos
	if err == nil {
		err = s.brackets(&c)
	}
	if err == nil {
		err = c.end("the uncertainty")
	}
	var f form
	if err == nil {
		f, err = s.settle(&c, prefix, start, end)
	}
	if err != nil {
		return Uncertainty[Q]{}, err
	}
	return Uncertainty[Q]{amount: amount, form: f, factor: s.factor, freedom: s.freedom}, nil
}

// uncertaintyPrefix reads what may stand before the figure: "u =" or "U =",
// given as u and U, or ± or nothing, given as 0.
func (c *cursor) uncertaintyPrefix() byte {
	c.blank()
	if c.takePlusMinus() {
		return 0
	}
	ahead := *c
	if !ahead.take("u", "U") {
		return 0
	}
	letter := c.text[c.pos]
	ahead.blank()
	if !ahead.take("=") {
		return 0
	}
	*c = ahead
	return letter
}

// uncertaintyStatement collects what the brackets after the figure say.
type uncertaintyStatement struct {
	shape           form
	factor, freedom number
	freedomSeen     bool
}

const statementExpected = "k = …, ν = …, rectangular, triangular or u-shaped"

func (s *uncertaintyStatement) brackets(c *cursor) *Error {
	c.blank()
	if !c.take("(") {
		return nil
	}
	for {
		c.blank()
		if err := s.item(c); err != nil {
			return err
		}
		c.blank()
		switch {
		case c.take(")"):
			return nil
		case !c.take(",", ";"):
			return c.here("a comma or the closing bracket", "close the bracket: (k = 2)")
		}
	}
}

// item reads one statement between brackets.
func (s *uncertaintyStatement) item(c *cursor) *Error {
	start := c.pos
	word := c.word()
	if (word == "u" || word == "U") && c.take("-shaped") {
		word += "-shaped"
	}
	var twice bool
	var err *Error
	switch word {
	case "k":
		twice = s.factor.coef != 0
		s.factor, err = c.positive("a coverage factor")
	case "ν", "dof":
		twice, s.freedomSeen = s.freedomSeen, true
		s.freedom, err = c.degreesOfFreedom()
	case "rectangular":
		twice, s.shape = s.shape != notStated, rectangular
	case "triangular":
		twice, s.shape = s.shape != notStated, triangular
	case "u-shaped", "arcsine":
		twice, s.shape = s.shape != notStated, uShaped
	default:
		c.pos = start
		return c.here(statementExpected, statementHint(word))
	}
	if err == nil && twice {
		err = c.fault(start, c.pos, quoted(c.text[start:c.pos])+" a second time", "each statement once", "leave out one of the two")
	}
	return err
}

func statementHint(word string) string {
	switch strings.ToLower(word) {
	case "k":
		return "write a small k: (k = 2)"
	case "nu", "v", "veff", "df", "νeff":
		return `write ν or dof: "(k = 2.1, dof = 12)"`
	case "uniform", "rect", "rectangle":
		return `write "rectangular"`
	case "triangle", "tri":
		return `write "triangular"`
	case "arcsin", "u":
		return `write "u-shaped"`
	case "normal", "gaussian", "gauss":
		return `state the coverage factor, "(k = 2)", or a standard uncertainty, "u = …"`
	}
	return `write the coverage factor, "(k = 2)", or the distribution, "(rectangular)"`
}

// positive reads "= number" with a number above zero.
func (c *cursor) positive(what string) (number, *Error) {
	c.blank()
	if !c.take("=") {
		return number{}, c.here("= and "+what, "write the figure after an equals sign")
	}
	c.blank()
	start := c.pos
	n, err := c.number()
	if err == nil && (n.neg || n.coef == 0) {
		err = c.fault(start, c.pos, quoted(c.text[start:c.pos]), what+" above zero", "write "+what+" above zero, for example 2")
	}
	return n, err
}

// degreesOfFreedom reads "= number" or an infinity, which is 0 here: as good
// as not stated.
func (c *cursor) degreesOfFreedom() (number, *Error) {
	ahead := *c
	ahead.blank()
	if ahead.take("=") {
		ahead.blank()
		if ahead.take("∞", "inf") {
			*c = ahead
			return number{}, nil
		}
	}
	return c.positive("degrees of freedom")
}

// settle finds the form from the prefix and the brackets together; start and
// end hold the figure with its unit.
func (s *uncertaintyStatement) settle(c *cursor, prefix byte, start, end int) (form, *Error) {
	figure := c.text[start:end]
	hasFactor := s.factor.coef != 0
	switch {
	case s.shape != notStated && hasFactor:
		return 0, c.fault(end, len(c.text), "a coverage factor and a distribution", "one of the two",
			"write "+quoted(figure+" (k = "+s.factor.String()+")")+" or "+quoted("±"+figure+" ("+s.shape.String()+")"))
	case prefix == 'u' && (hasFactor || s.shape != notStated):
		return 0, c.fault(end, len(c.text), "a standard uncertainty with "+quoted(strings.TrimSpace(c.text[end:])), "degrees of freedom at most",
			"write "+quoted("u = "+figure)+", or leave out \"u =\"")
	case prefix == 'U' && s.shape != notStated:
		return 0, c.fault(end, len(c.text), "an expanded uncertainty U with a distribution", "a coverage factor",
			"write "+quoted("±"+figure+" ("+s.shape.String()+")"))
	case prefix == 'u':
		return standard, nil
	case hasFactor:
		return expanded, nil
	case s.shape != notStated:
		return s.shape, nil
	}
	return 0, c.fault(start, end, quoted(figure)+", which does not say what kind of uncertainty it is",
		"a coverage factor, a distribution or a standard uncertainty",
		"write one of "+quoted(figure+" (k = 2)")+", "+quoted("±"+figure+" (rectangular)")+" (or triangular, u-shaped), "+quoted("u = "+figure))
}
