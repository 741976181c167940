package quantity

import "strings"

// unit numbers the units of one kind of quantity from 1; 0 is no unit, which
// marks a quantity as not stated.
type unit uint8

// unitSet is what reading "number unit" needs to know of one kind of
// quantity.
type unitSet struct {
	kind    string // "a unit of length"
	list    string // the units as a reader would list them
	example string // the unit a mended text shows
	// lookup gives the unit with the spelling, or 0.
	lookup func(spelling string) unit
	// hint gives the unit probably meant by an unknown word, or "".
	hint func(lower string) string
}

func (s unitSet) expected() string { return s.kind + " (" + s.list + ")" }

// amount reads a number with its unit.
func (c *cursor) amount(set unitSet) (number, unit, *Error) {
	c.blank()
	start := c.pos
	n, err := c.number()
	if err != nil {
		return number{}, 0, err
	}
	u, err := c.unit(set, start)
	return n, u, err
}

// unit reads the unit of the number that began at start and ends here.
func (c *cursor) unit(set unitSet, start int) (unit, *Error) {
	end := c.pos
	c.blank()
	from := c.pos
	word := c.word()
	if u := set.lookup(word); u != 0 {
		return u, nil
	}
	written := c.text[start:end]
	if word == "" {
		c.pos = end
		return 0, c.noUnit(start, end, set.expected(),
			"write the unit: "+quoted(written+" "+set.example))
	}
	mend := "write one of " + set.list
	if meant := set.meant(word); meant != "" {
		mend = "write " + quoted(written+" "+meant)
	}
	return 0, c.fault(from, c.pos, quoted(word), set.expected(), mend)
}

// meant guesses the unit behind an unknown word: another case, or a name
// written out.
func (s unitSet) meant(word string) string {
	lower := strings.ToLower(word)
	if s.lookup(lower) != 0 {
		return lower
	}
	if meant := s.hint(lower); meant != "" {
		return meant
	}
	return s.hint(strings.TrimSuffix(lower, "s"))
}

// negative makes the error for a quantity between start and here that must
// not be below zero.
func (c *cursor) negative(start int, what string) *Error {
	text := strings.TrimSpace(c.text[start:c.pos])
	return c.fault(start, c.pos, quoted(text)+", which is below zero", what+" of zero or more",
		"write it without the minus sign")
}
