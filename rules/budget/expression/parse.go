package expression

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/records/spelling"
)

// Limits that keep a hostile text from exhausting the stack; models stay far below.
const (
	mostBytes = 16 << 10
	mostDepth = 200
)

// Expression is a text that was read.
type Expression struct {
	text string
	root *node
}

// node is an operation with its operands and its place in the text.
type node struct {
	op          operation
	operands    []*node
	value       float64 // of a constant
	name        string  // of a variable
	start, end  int     // its own part of the text
	left, right int     // that with the brackets around it
}

// spanning gives a node its part of the text.
func spanning(start, end int, n node) *node {
	n.start, n.end, n.left, n.right = start, end, start, end
	return &n
}

// Parse reads an expression. An [*Error] says what cannot be read, where, and what would mend it; of several mistakes the
// first is told. Names are not looked up before [Compile].
func Parse(text string) (*Expression, error) {
	if len(text) > mostBytes {
		return nil, &Error{End: len(text), Found: fmt.Sprintf("an expression of %d bytes", len(text)), Expected: fmt.Sprintf("at most %d", mostBytes), Mend: "define parts of it as quantities of their own"}
	}
	p := parser{scanner: scanner{text: text}}
	p.advance()
	root := p.sum()
	switch {
	case p.fault != nil:
	case p.token.kind == ')':
		p.fail(p.token, "a closing bracket", "an opening one before it", "open it, or leave it out")
	case p.token.kind == ',':
		p.comma()
	case p.token.kind != end:
		p.missingOperator()
	}
	if p.fault != nil {
		return nil, p.fault
	}
	return &Expression{text: text, root: root}, nil
}

// String returns the text as written.
func (e *Expression) String() string { return e.text }

type parser struct {
	scanner
	token token
	depth int
	fault *Error
}

// advance turns to the next token. After a fault there is none: every reader comes to its end.
func (p *parser) advance() {
	next, fault := p.next()
	if fault != nil && p.fault == nil {
		p.fault = fault
	}
	if p.fault != nil {
		next = token{start: len(p.text), end: len(p.text)}
	}
	p.token = next
}

func (p *parser) fail(at token, found, expected, mend string) {
	if p.fault == nil {
		p.fault = &Error{Start: at.start, End: at.end, Found: found, Expected: expected, Mend: mend}
	}
	p.token = token{start: len(p.text), end: len(p.text)}
}

func binary(op operation, a, b *node) *node {
	return spanning(a.left, b.right, node{op: op, operands: []*node{a, b}})
}

func (p *parser) sum() *node {
	left := p.product()
	for p.token.kind == '+' || p.token.kind == '-' {
		op := add
		if p.token.kind == '-' {
			op = subtract
		}
		p.advance()
		left = binary(op, left, p.product())
	}
	return left
}

func (p *parser) product() *node {
	left := p.signed()
	for p.token.kind == '*' || p.token.kind == '/' {
		op := multiply
		if p.token.kind == '/' {
			op = divide
		}
		p.advance()
		left = binary(op, left, p.signed())
	}
	return left
}

func (p *parser) signed() *node {
	if p.token.kind != '-' && p.token.kind != '+' {
		return p.raised()
	}
	if !p.deeper() {
		return &node{}
	}
	defer p.higher()
	sign := p.token
	p.advance()
	operand := p.signed()
	if sign.kind == '+' {
		return operand
	}
	return spanning(sign.start, operand.right, node{op: negate, operands: []*node{operand}})
}

func (p *parser) raised() *node {
	base := p.primary()
	if p.token.kind != '^' {
		return base
	}
	if !p.deeper() {
		return &node{}
	}
	defer p.higher()
	p.advance()
	return binary(power, base, p.signed())
}

func (p *parser) deeper() bool {
	p.depth++
	if p.depth > mostDepth {
		p.fail(p.token, fmt.Sprintf("an expression nested deeper than %d", mostDepth), "less", "define parts of it as quantities of their own")
		return false
	}
	return true
}

func (p *parser) higher() { p.depth-- }

func (p *parser) primary() *node {
	t := p.token
	switch t.kind {
	case number:
		p.advance()
		return spanning(t.start, t.end, node{op: constant, value: t.value})
	case name:
		p.advance()
		return p.named(t)
	case '(':
		if !p.deeper() {
			return &node{}
		}
		defer p.higher()
		p.advance()
		inner := p.sum()
		inner.left, inner.right = t.start, p.token.end
		p.closing(t)
		return inner
	case end:
		p.fail(t, "the end of the expression", "a number, a name or an opening bracket", "complete it")
	case ')':
		p.fail(t, "a closing bracket", "a number, a name or an opening bracket before it", "complete what stands before it")
	case ',':
		p.comma()
	default:
		p.fail(t, strconv.Quote(string(t.kind)), "a number, a name or an opening bracket", "write what it applies to")
	}
	return &node{}
}

// named reads a name, a function with its arguments, or pi.
func (p *parser) named(t token) *node {
	text := p.text[t.start:t.end]
	f, known := functionNamed(text)
	switch {
	case text == "pi":
		return spanning(t.start, t.end, node{op: constant, value: math.Pi})
	case !known && p.token.kind == '(':
		p.fail(t, fmt.Sprintf("%q before a bracket, which is no function", text), "a function or an operator", functionMeant(text))
		return &node{}
	case !known:
		return spanning(t.start, t.end, node{op: variable, name: text})
	case p.token.kind != '(':
		p.fail(t, fmt.Sprintf("the function %s without its bracket", text), f.Form, "write "+f.Form)
		return &node{}
	}
	return p.call(t, f)
}

func functionMeant(text string) string {
	switch text {
	case "log", "lg":
		return "write ln for the natural logarithm, log10 for that to the base 10"
	case "arcsin", "arccos", "arctan":
		return "write a" + text[3:]
	case "pow":
		return "write the power as a^b"
	}
	var names []string
	for _, f := range Functions() {
		names = append(names, f.Name)
	}
	if near := spelling.Nearest(text, names); near != "" {
		return fmt.Sprintf("did you mean %s? For a product write %s*(…)", near, text)
	}
	return fmt.Sprintf("for a product write %s*(…); the functions are %s", text, strings.Join(names, ", "))
}

func (p *parser) call(t token, f Function) *node {
	if !p.deeper() {
		return &node{}
	}
	defer p.higher()
	open := p.token
	p.advance()
	operands := []*node{p.sum()}
	for p.token.kind == ',' && (f.more || len(operands) < f.operands) {
		p.advance()
		operands = append(operands, p.sum())
	}
	if p.fault == nil && (p.token.kind == ',' || p.token.kind == ')' && len(operands) < f.operands) {
		found, want := "fewer arguments", "as many as the function has"
		if p.token.kind == ',' {
			found = "more arguments"
		}
		p.fail(p.token, found+" for "+f.Name, want, "write "+f.Form+"; a decimal point is a dot")
	}
	end := p.token.end
	p.closing(open)
	// Several arguments of min and max are taken two at a time.
	all := spanning(t.start, end, node{op: f.op, operands: operands})
	for len(all.operands) > 2 {
		first := spanning(t.start, end, node{op: f.op, operands: all.operands[:2]})
		all.operands = append([]*node{first}, all.operands[2:]...)
	}
	return all
}

func (p *parser) closing(open token) {
	switch p.token.kind {
	case ')':
		p.advance()
	case end:
		if p.fault == nil {
			p.fail(open, "an opening bracket", "its closing one before the end", "close it")
		}
	case ',':
		p.comma()
	default:
		p.missingOperator()
	}
}

func (p *parser) comma() {
	p.fail(p.token, "a comma", "one only between the arguments of a function", "write the decimal point as a dot")
}

func (p *parser) missingOperator() {
	p.fail(p.token, fmt.Sprintf("%q directly behind a value", p.text[p.token.start:p.token.end]), "an operator between them", "write * for a product")
}
