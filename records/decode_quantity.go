package records

import (
	"errors"
	"fmt"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// example takes from the form of a key what its value looks like.
func example(form string) string {
	_, like, _ := strings.Cut(form, ", ")
	return "like " + like
}

// readQuantity reads a quantity written as text with its unit.
func readQuantity[Q any](d *decoder, n source.Node, name, form string, parse func(string) (Q, error)) (Q, bool) {
	var zero Q
	if n.Kind() == source.Integer || n.Kind() == source.Float {
		d.report("missing-unit", n.ValueOffset(), fmt.Sprintf("%s is the bare figure %s, expected a figure with its unit, in quotes", name, n.Source()), "write it "+example(form))
		return zero, false
	}
	s, ok := d.text(n, name)
	if !ok {
		return zero, false
	}
	v, err := parse(s)
	if err == nil {
		return v, true
	}
	code, message := "unreadable-quantity", name+": "+err.Error()
	mend, offset := "write it "+example(form), n.ValueOffset()
	var fault *quantity.Error
	switch {
	case errors.As(err, &fault):
		if fault.NoUnit {
			code = "missing-unit"
		} else if fault.Mend != "" {
			mend = fault.Mend
		}
		if written := n.Source(); len(written) == len(s)+2 { // no escapes: the place within the text is the place in the file
			offset += 1 + fault.Start
		}
	default:
		if beyond, ok := errors.AsType[outOfRange](err); ok {
			code, message, mend = "out-of-range", fmt.Sprintf("%s is %s, expected %s", name, s, beyond), ""
		}
	}
	d.report(code, offset, message, mend)
	return zero, false
}
