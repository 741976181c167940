package quantity

// term reads a number that must not be negative.
func (c *cursor) term() (number, *Error) {
	c.blank()
	start := c.pos
	n, err := c.number()
	if err == nil && n.neg {
		err = c.negative(start, "a part")
	}
	return n, err
}

// sum reads "A µm", "A µm + B µm/m" or "B µm/m". Parts that are zero leave no
// trace.
func (c *cursor) sum() (MPE, *Error) {
	c.blank()
	start := c.pos
	n, err := c.term()
	if err != nil {
		return MPE{}, err
	}
	u, err := c.unit(lengthUnits(), start)
	if err != nil {
		if ahead := *c; err.End == c.pos {
			if ahead.blank(); ahead.take("+") {
				err.Mend = `write the unit of each part: "25 µm + 50 µm/m", or brackets around them: "(25 + L/20) µm"`
			}
		}
		return MPE{}, err
	}
	var m MPE
	if isSlope, err := c.slope(&m, start, n, lengthUnit(u)); err != nil || isSlope {
		return m, err
	}
	if n.coef != 0 {
		m.constant = Length{n, lengthUnit(u)}
	}
	end := c.pos
	c.blank()
	if !c.take("+") {
		c.pos = end
		return m, nil
	}
	c.blank()
	start = c.pos
	if ahead := *c; ahead.take("L") {
		return MPE{}, c.here("a growing part such as 50 µm/m", `write "25 µm + 50 µm/m" or "(25 + L/20) µm"`)
	}
	if n, err = c.term(); err != nil {
		return MPE{}, err
	}
	if u, err = c.unit(lengthUnits(), start); err != nil {
		err.Expected = "a length per length, such as 50 µm/m"
		err.Mend = `write the growing part per metre: "50 µm/m"`
		return MPE{}, err
	}
	isSlope, err := c.slope(&m, start, n, lengthUnit(u))
	if err == nil && !isSlope {
		err = c.fault(start, c.pos, quoted(c.text[start:c.pos])+" as the growing part", "a length per length, such as 50 µm/m",
			"write "+quoted(c.text[start:c.pos]+"/m")+", or one constant")
	}
	return m, err
}

// slope reads "/m" and an optional "·L" after "B µm", which began at start,
// and puts the slope into m; isSlope is false when no stroke follows.
func (c *cursor) slope(m *MPE, start int, n number, over lengthUnit) (isSlope bool, err *Error) {
	ahead := *c
	if ahead.blank(); !ahead.take("/") {
		return false, nil
	}
	*c = ahead
	c.blank()
	const expected, mend = "a slope in decimal units of length, such as µm/m or µm/mm", `write it per metre: "50 µm/m"`
	ahead = *c
	per := lengthUnitOf(ahead.word())
	if per == 0 || per == inch {
		return true, c.here(expected, mend)
	}
	*c = ahead
	if over == inch {
		return true, c.fault(start, c.pos, quoted(c.text[start:c.pos]), expected, mend)
	}
	c.timesLength()
	if n.coef != 0 {
		m.slope, m.over, m.per = n, over, per
	}
	return true, nil
}

// timesLength reads an optional ·L.
func (c *cursor) timesLength() {
	ahead := *c
	ahead.blank()
	if !ahead.take("·", "⋅", "*", "×") {
		return
	}
	ahead.blank()
	if ahead.take("L") {
		*c = ahead
	}
}
