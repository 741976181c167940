package quantity

import "strings"

const mpeForms = `"30 µm", "25 µm + 50 µm/m", "(25 + L/20) µm" or "min(25 µm + 50 µm/m, 120 µm)"`

// ParseMPE reads a maximum permissible error; see [MPE] for the forms. A
// limit that is zero everywhere, a negative part, a divisor K of zero or less
// and a bound that is not above the constant part are refused. The error is
// an [*Error].
func ParseMPE(text string) (MPE, error) {
	c := cursor{text: text}
	c.blank()
	c.takePlusMinus()
	c.blank()
	var m MPE
	var err *Error
	if c.take("min") {
		m, err = c.bounded()
	} else {
		m, err = c.limit()
	}
	if err == nil {
		err = c.end("the maximum permissible error")
	}
	if err != nil {
		return MPE{}, err
	}
	return m, nil
}

// bounded reads "(limit, bound)" in either order.
func (c *cursor) bounded() (MPE, *Error) {
	c.blank()
	start := c.pos
	if !c.take("(") {
		return MPE{}, c.here("an opening bracket after min", "write "+mpeForms)
	}
	m, err := c.limit()
	if err != nil {
		return MPE{}, err
	}
	c.blank()
	if !c.take(",") {
		return MPE{}, c.here("a comma and the upper bound", `write the bound after a comma: "min(25 µm + 50 µm/m, 120 µm)"`)
	}
	second, err := c.limit()
	if err != nil {
		return MPE{}, err
	}
	c.blank()
	if !c.take(")") {
		return MPE{}, c.here("the closing bracket", "close the bracket of min(…, …)")
	}
	if second.GrowsWithLength() {
		m, second = second, m
	}
	switch {
	case !m.GrowsWithLength() || second.GrowsWithLength():
		return MPE{}, c.fault(start, c.pos, quoted(c.text[start:c.pos]), "one limit that grows with the length and one constant bound",
			"write "+`"min(25 µm + 50 µm/m, 120 µm)"`)
	case second.constant.Compare(m.Constant()) <= 0:
		return MPE{}, c.fault(start, c.pos, "the bound "+second.String()+" with the constant part "+m.Constant().String(),
			"a bound above the constant part", "write "+quoted(second.String())+" alone if no length counts")
	}
	m.bound = second.constant
	return m, nil
}

// limit reads a limit without bound, in brackets or not.
func (c *cursor) limit() (MPE, *Error) {
	c.blank()
	start := c.pos
	var m MPE
	var err *Error
	if c.take("(") {
		m, err = c.bracketed()
	} else {
		m, err = c.sum()
	}
	if err == nil && m.IsZero() {
		text := strings.TrimSpace(c.text[start:c.pos])
		err = c.fault(start, start+len(text), quoted(text), "a maximum permissible error above zero", "write the limit of the data sheet")
	}
	return m, err
}

// bracketed reads what follows an opening bracket: "A + L/K) µm", or a limit
// in units and the closing bracket.
func (c *cursor) bracketed() (MPE, *Error) {
	c.blank()
	ahead := *c
	if !ahead.take("L") {
		if _, err := ahead.number(); err != nil {
			return MPE{}, err
		}
		ahead.blank()
	}
	next := ahead.peek()
	if next == "+" || next == "/" || next == ")" {
		return c.constantAndDivisor()
	}
	m, err := c.sum()
	if err != nil {
		return MPE{}, err
	}
	c.blank()
	if !c.take(")") {
		return MPE{}, c.here("the closing bracket", "close the bracket")
	}
	return m, nil
}

// constantAndDivisor reads "A + L/K) µm" or "L/K) µm".
func (c *cursor) constantAndDivisor() (MPE, *Error) {
	const form = `write "(25 + L/20) µm"`
	var m MPE
	if !c.take("L") {
		n, err := c.term()
		if err != nil {
			return MPE{}, err
		}
		if n.coef != 0 {
			m.constant = Length{n, micrometre}
		}
		c.blank()
		if !c.take("+") {
			return MPE{}, c.here("+ L/K", form)
		}
		c.blank()
		if !c.take("L") {
			return MPE{}, c.here("L, the length in mm", form)
		}
	}
	c.blank()
	if !c.take("/") {
		return MPE{}, c.here("/ and the number that divides the length", form)
	}
	c.blank()
	start := c.pos
	k, err := c.number()
	if err != nil {
		return MPE{}, err
	}
	if k.neg || k.coef == 0 {
		return MPE{}, c.fault(start, c.pos, "the divisor "+quoted(c.text[start:c.pos]), "a number above zero", form)
	}
	m.divisor = k
	c.blank()
	if !c.take(")") {
		return MPE{}, c.here("the closing bracket", form)
	}
	c.blank()
	from := c.pos
	if word := c.word(); lengthUnitOf(word) != micrometre {
		c.pos = from
		return MPE{}, c.here("the unit µm, in which this form gives its result", form+", with L in mm")
	}
	return m, nil
}
