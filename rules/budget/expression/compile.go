package expression

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"plumbrule/records/spelling"
)

// Definition gives a name to a part of the model: a quantity between the inputs and the measurand.
type Definition struct {
	Name string
	Is   *Expression
}

// Model is the measurand as a function of its inputs. It is not changed by use and safe for concurrent use.
type Model struct {
	inputs  []string
	texts   []string // of the measurand and the definitions
	steps   []step   // the inputs first, in their order
	results []int32  // steps of the measurand and the definitions
}

// step is one operation on the results of earlier ones. Equal steps are one.
type step struct {
	op         operation
	a, b       int32
	value      float64 // of a constant
	in         int     // the expression it was first written in
	start, end int     // and where
}

// mostSteps bounds the work of derivatives; a model of a page has a hundred.
const mostSteps = 4096

// Compile binds the names of the measurand and of the definitions to inputs and definitions, which may refer to each other
// in any order but not in a circle. Names are taken as good ones, each given once; see [IsName]. An [*Error] says which
// name means nothing, and what may have been meant.
func Compile(inputs []string, measurand *Expression, where ...Definition) (*Model, error) {
	c := &compiler{
		model: &Model{inputs: slices.Clone(inputs)}, where: where,
		known: map[stepKey]int32{}, values: map[string]int32{}, state: make([]int, len(where)),
	}
	c.model.texts = append(c.model.texts, measurand.text)
	for i, input := range inputs {
		c.values[input] = int32(i)
		c.model.steps = append(c.model.steps, step{op: variable})
	}
	for _, d := range where {
		c.model.texts = append(c.model.texts, d.Is.text)
	}
	result := c.build(measurand.root)
	c.model.results = []int32{result}
	for i := range where {
		c.model.results = append(c.model.results, c.define(i))
	}
	if c.fault != nil {
		return nil, c.fault
	}
	return c.model, nil
}

type stepKey struct {
	op   operation
	a, b int32
	bits uint64
}

type compiler struct {
	model  *Model
	where  []Definition
	known  map[stepKey]int32
	values map[string]int32 // of inputs and finished definitions
	state  []int            // of the definitions: 0 not begun, 1 under way
	way    []string         // definitions under way
	in     int              // expression under way
	fault  *Error
}

func (c *compiler) fail(at *node, found, expected, mend string) int32 {
	if c.fault == nil {
		c.fault = &Error{In: c.in, Start: at.start, End: at.end, Found: found, Expected: expected, Mend: mend}
	}
	return 0
}

func (c *compiler) build(n *node) int32 {
	if c.fault != nil {
		return 0
	}
	switch n.op {
	case constant:
		return c.step(n, step{op: constant, value: n.value})
	case variable:
		return c.lookUp(n)
	default:
	}
	s := step{op: n.op, a: c.build(n.operands[0])}
	if len(n.operands) > 1 {
		s.b = c.build(n.operands[1])
	}
	return c.step(n, s)
}

// step adds a step, unless it is there already or comes to a constant. A constant that is no number stays a step, so that
// evaluating it tells where it stands.
func (c *compiler) step(n *node, s step) int32 {
	if c.fault != nil {
		return 0
	}
	steps := c.model.steps
	if s.op != constant && steps[s.a].op == constant && (len(n.operands) < 2 || steps[s.b].op == constant) {
		if v := apply(s.op, steps[s.a].value, steps[s.b].value); !math.IsNaN(v) && !math.IsInf(v, 0) {
			s = step{op: constant, value: v}
		}
	}
	key := stepKey{s.op, s.a, s.b, math.Float64bits(s.value)}
	if i, known := c.known[key]; known {
		return i
	}
	if len(steps) >= mostSteps {
		return c.fail(n, fmt.Sprintf("more than %d operations", mostSteps), "a smaller model", "evaluate parts of it in budgets of their own")
	}
	s.in, s.start, s.end = c.in, n.start, n.end
	c.model.steps = append(steps, s)
	i := int32(len(steps))
	c.known[key] = i
	return i
}

func (c *compiler) lookUp(n *node) int32 {
	if i, known := c.values[n.name]; known {
		return i
	}
	for i, d := range c.where {
		if d.Name != n.name {
			continue
		}
		if c.state[i] == 1 {
			circle := append(c.way[slices.Index(c.way, d.Name):], d.Name)
			return c.fail(n, fmt.Sprintf("%q, which is defined by itself: %s", d.Name, strings.Join(circle, " ← ")), "definitions without a circle", "define one of them by inputs")
		}
		return c.define(i)
	}
	var names []string
	names = append(names, c.model.inputs...)
	for _, d := range c.where {
		names = append(names, d.Name)
	}
	return c.fail(n, fmt.Sprintf("%q, which is no input", n.name), "the name of one", nameMeant(n.name, names))
}

func (c *compiler) define(i int) int32 {
	if v, known := c.values[c.where[i].Name]; known || c.fault != nil {
		return v
	}
	in := c.in
	c.state[i], c.in, c.way = 1, i+1, append(c.way, c.where[i].Name)
	v := c.build(c.where[i].Is.root)
	c.state[i], c.in, c.way = 0, in, c.way[:len(c.way)-1]
	c.values[c.where[i].Name] = v
	return v
}

// nameMeant guesses what a name stands for. Letters that look alike in another script are a slip nobody sees.
func nameMeant(text string, names []string) string {
	for _, known := range names {
		if lookalike(known) == lookalike(text) && known != text {
			return fmt.Sprintf("did you mean %s? It looks the same and has another letter: %s, not %s", known, strconv.QuoteToASCII(known), strconv.QuoteToASCII(text))
		}
	}
	if near := spelling.Nearest(text, names); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	if len(names) == 0 {
		return "add it as an input"
	}
	return "the inputs are " + strings.Join(names, ", ") + "; add it as another"
}

// lookalike brings letters that look alike to one.
func lookalike(text string) string {
	pairs := []rune("µμΩΩÅÅοoаaсcеeрpхxνvΑAΒBΕEΗHΙIΚKΜMΝNΟOΡPΤTΥYΧXΖZ")
	return strings.Map(func(r rune) rune {
		for i := 0; i < len(pairs); i += 2 {
			if r == pairs[i] {
				return pairs[i+1]
			}
		}
		return r
	}, text)
}

// Inputs returns the number of inputs.
func (m *Model) Inputs() int { return len(m.inputs) }

// Uses reports whether the measurand depends on an input.
func (m *Model) Uses(input int) bool { return m.needed(m.results[0])[input] }

// UsesDefinition reports whether the measurand depends on the i-th definition, counted from 0.
func (m *Model) UsesDefinition(i int) bool { return m.needed(m.results[0])[m.results[i+1]] }

// needed marks the steps that a result rests on, itself included.
func (m *Model) needed(result int32) []bool {
	out := make([]bool, len(m.steps))
	out[result] = true
	for i := int(result); i >= 0; i-- {
		if s := &m.steps[i]; out[i] && s.op > variable {
			out[s.a] = true
			if s.op.operands() == 2 {
				out[s.b] = true
			}
		}
	}
	return out
}
