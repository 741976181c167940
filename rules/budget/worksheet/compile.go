package worksheet

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"plumbrule/records/spelling"
	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/propagation"
)

func nearest(name string, known []string) string {
	if near := spelling.Nearest(name, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "the inputs are " + strings.Join(known, ", ")
}

// compile binds the expressions and looks for what nobody uses.
func (r *reader) compile() {
	var where []expression.Definition
	for i, d := range r.sheet.Where {
		where = append(where, expression.Definition{Name: d.Name, Is: r.parsed[i+1]})
	}
	m, err := expression.Compile(r.inputs, r.parsed[0], where...)
	if fault, is := errors.AsType[*expression.Error](err); is {
		r.fault(r.expressions[fault.In].at(fault.Start), fault.Mend, "%s", fault.Error())
		return
	}
	r.sheet.Budget.Model = m
	for i, name := range r.inputs {
		if !m.Uses(i) {
			r.fault(r.offsets[name], "leave it out, or bring it into the expression", "input %q does not come into the result", name)
		}
	}
	for i, d := range r.sheet.Where {
		if !m.UsesDefinition(i) {
			r.fault(r.offsets[d.Name], "leave it out, or bring it into the expression", "%q does not come into the result", d.Name)
		}
	}
}

// Place turns an error of the evaluation into a fault of the file; ok is false for one that is not about the file.
func (s *Sheet) Place(err error) (f Fault, ok bool) {
	r := s.reader
	if fault, is := errors.AsType[*expression.Fault](err); is {
		mend := "the model must have a value there"
		if fault.What == "no derivative" {
			mend = "the law of propagation needs a model without corners and jumps at the inputs' values"
		}
		return r.at(r.expressions[fault.In].at(fault.Start), mend, err.Error()+s.valuesOf(fault.Inputs)), true
	}
	if matrix, is := errors.AsType[*propagation.MatrixError](err); is {
		for i, c := range s.Budget.Correlations {
			if max(c.A, c.B) == matrix.Input {
				return r.at(r.correlations[i], "look at the coefficients of "+matrix.Name, matrix.Error()), true
			}
		}
	}
	input, is := errors.AsType[*propagation.InputError](err)
	if !is {
		return Fault{}, false
	}
	for _, key := range []string{"order", "result-law"} {
		if input.Field == key && r.top.has(key) {
			return r.at(r.top.value(key), input.Mend, fmt.Sprintf("%s is %s, expected %s", key, input.Found, input.Expected)), true
		}
	}
	for i := range s.Budget.Inputs {
		if in := &s.Budget.Inputs[i]; in.Set != "" && input.Field == "set "+in.Set {
			return r.at(r.offsets[in.Name], input.Mend, fmt.Sprintf("%s has %s, expected %s", input.Field, input.Found, input.Expected)), true
		}
	}
	return Fault{}, false
}

// valuesOf tells at which values something went wrong.
func (s *Sheet) valuesOf(inputs []int) string {
	var at []string
	for _, i := range inputs {
		at = append(at, fmt.Sprintf("%s = %.6g", s.Budget.Inputs[i].Name, s.Budget.Inputs[i].Value))
	}
	if len(at) == 0 {
		return ""
	}
	return ", where " + strings.Join(at, ", ")
}

// writtenOffset returns where in a TOML string as written, quotes included, a byte of its text stands.
func writtenOffset(written string, offset int) int {
	quote, i := written[:1], 1
	if strings.HasPrefix(written, strings.Repeat(quote, 3)) && len(written) >= 6 {
		i = 3
		if strings.HasPrefix(written[i:], "\r\n") {
			i += 2
		} else if strings.HasPrefix(written[i:], "\n") {
			i++
		}
	}
	if quote == "'" {
		return min(i+offset, len(written))
	}
	for text := 0; i < len(written); {
		step, gives := 1, 1
		if written[i] == '\\' {
			step, gives = escape(written[i:])
		}
		if gives > 0 && text+gives > offset {
			break
		}
		i, text = i+step, text+gives
	}
	return i
}

// escape returns how long an escape is as written, and in bytes of the text; a backslash that ends a line gives nothing and
// takes the blanks behind it.
func escape(written string) (length, gives int) {
	var digits int
	switch written[1] {
	case 'u':
		digits = 4
	case 'U':
		digits = 8
	case ' ', '\t', '\r', '\n':
		return len(written) - len(strings.TrimLeft(written[1:], " \t\r\n")), 0
	default:
		return 2, 1
	}
	var r rune
	if _, err := fmt.Sscanf(written[2:2+digits], "%x", &r); err != nil {
		return 2 + digits, 1
	}
	return 2 + digits, utf8.RuneLen(r)
}
