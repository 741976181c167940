package worksheet

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"plumbrule/records/source"
	"plumbrule/records/spelling"
	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/propagation"
)

// DefaultProbability is the coverage probability where a file states neither one nor a factor.
const DefaultProbability = 0.95

// mostInputs bounds the work of second-order terms, which grow with the square of the inputs.
const mostInputs = 200

// Sheet is a budget as a file states it.
type Sheet struct {
	Title      string
	Measurand  string // symbol of the result
	Unit       string
	Expression string // as written, on one line
	Where      []Definition
	Note       string
	Sources    []string // of the correlations, in their order
	Budget     propagation.Budget

	reader *reader
}

// Definition is a quantity that the expression names, with its own.
type Definition struct{ Name, Expression string }

type reader struct {
	doc    *source.Document
	faults []Fault

	top          table
	sheet        *Sheet
	inputs       []string       // names, in order
	offsets      map[string]int // of names given
	expressions  []place        // of the measurand and the definitions
	parsed       []*expression.Expression
	correlations []int // offsets of the coefficients
}

// place is a text in the file: where it begins and how it is written.
type place struct {
	offset  int
	written string
}

// at returns the offset in the file of a byte of the text.
func (p place) at(offset int) int { return p.offset + writtenOffset(p.written, offset) }

// Read reads a budget. What is wrong is returned in the order of the file; the sheet is nil if anything is.
func Read(text []byte) (*Sheet, []Fault) {
	parser := &source.Parser{}
	doc, syntax := parser.Parse(text)
	if syntax != nil {
		return nil, []Fault{{Position: syntax.Pos, Message: syntax.Message, Mend: syntax.Mend, Excerpt: source.Excerpt(string(text), syntax.Offset)}}
	}
	r := &reader{doc: doc, sheet: &Sheet{}, offsets: map[string]int{}}
	r.sheet.reader = r
	r.readTop()
	r.readInputs()
	r.readWhere()
	r.readCorrelations()
	if len(r.faults) == 0 {
		r.compile()
	}
	if len(r.faults) > 0 {
		slices.SortStableFunc(r.faults, func(a, b Fault) int {
			return cmp.Or(cmp.Compare(a.Position.Line, b.Position.Line), cmp.Compare(a.Position.Column, b.Position.Column))
		})
		return nil, r.faults
	}
	return r.sheet, nil
}

func (r *reader) readTop() {
	t := r.open("", r.doc.Root())
	r.top = t
	s := r.sheet
	s.Title, s.Unit, s.Note = t.text("title"), t.text("unit"), t.text("note")
	if s.Measurand = t.text("measurand"); s.Measurand == "" {
		s.Measurand = "y"
	} else {
		r.isName(t, "measurand", s.Measurand)
	}
	s.Expression = oneLine(r.expression(t))
	c := &s.Budget.Coverage
	c.Factor, _ = t.between("k", 1e-6, 1e6, "a coverage factor from 1e-6 to 1e6", "commonly 2")
	c.Probability, _ = t.fraction("probability", 0.5, 0.9999, "a probability from 50 % to 99.99 %")
	switch {
	case t.has("k") && t.has("probability"):
		r.fault(t.key("probability"), "leave one out; the other follows from it", "probability beside k, expected one of them")
	case !t.has("k") && !t.has("probability"):
		c.Probability = DefaultProbability
	}
	c.Law, _ = word(t, "result-law", resultLaws())
	if t.has("k") && c.Law != "" && c.Law != propagation.ByStudent {
		r.fault(t.key("result-law"), "leave out k, or the law", "result-law beside k, expected a probability for it to give the factor")
	}
	s.Budget.Order = 1
	if t.has("order") {
		order, ok := t.number("order")
		if ok && order != 1 && order != 2 {
			r.fault(t.value("order"), "", "order is %s, expected 1 or 2", t.keys["order"].Source())
		}
		s.Budget.Order = int(order)
	}
}

// expression reads the key expression of a table.
func (r *reader) expression(t table) string {
	text := t.text("expression")
	n, there := t.keys["expression"]
	if !there || text == "" {
		r.parsed, r.expressions = append(r.parsed, nil), append(r.expressions, place{})
		return ""
	}
	text, _ = n.Text()
	where := place{offset: n.ValueOffset(), written: n.Source()}
	parsed, err := expression.Parse(text)
	if fault, is := errors.AsType[*expression.Error](err); is {
		r.fault(where.at(fault.Start), fault.Mend, "%s", fault.Error())
	}
	r.parsed, r.expressions = append(r.parsed, parsed), append(r.expressions, where)
	return text
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// isName checks the name of a quantity; each is given once.
func (r *reader) isName(t table, key, name string) {
	if !expression.IsName(name) {
		mend := "write letters, digits and _, a letter first"
		if name == "pi" {
			mend = "pi is a number already"
		}
		for _, f := range expression.Functions() {
			if f.Name == name {
				mend = name + " is a function already"
			}
		}
		r.fault(t.value(key), mend, "%s is %q, expected a name that an expression can hold", key, name)
		return
	}
	if before, twice := r.offsets[name]; twice {
		r.fault(t.value(key), "rename one of the two", "%s %q is given twice: first on line %d", key, name, r.doc.PositionOf(before).Line)
		return
	}
	r.offsets[name] = t.value(key)
}

func (r *reader) readInputs() {
	all := r.top.tables("input")
	if len(all) > mostInputs {
		r.fault(all[mostInputs].ValueOffset(), "evaluate parts of it in budgets of their own", "more than %d inputs", mostInputs)
		return
	}
	for _, n := range all {
		t := r.open("input", n)
		in := r.readInput(t)
		r.inputs = append(r.inputs, in.Name)
		r.sheet.Budget.Inputs = append(r.sheet.Budget.Inputs, in)
	}
	r.checkSets(all)
}

// checkSets looks for an input that was read together with no other: a mistyped name.
func (r *reader) checkSets(all []source.Node) {
	members := map[string]int{}
	var sets []string
	for i := range r.sheet.Budget.Inputs {
		set := r.sheet.Budget.Inputs[i].Set
		if members[set]++; set != "" {
			sets = append(sets, set)
		}
	}
	for i := range r.sheet.Budget.Inputs {
		in := &r.sheet.Budget.Inputs[i]
		n, there := all[i].Child("together")
		if !there || in.Set == "" || members[in.Set] > 1 {
			continue
		}
		mend := "say the same of the inputs it was read with, or leave it out"
		others := slices.DeleteFunc(slices.Clone(sets), func(s string) bool { return s == in.Set })
		if near := spelling.Nearest(in.Set, others); near != "" {
			mend = "did you mean \"" + near + "\"?"
		}
		r.fault(n.ValueOffset(), mend, "no other input was read together as %q", in.Set)
	}
}

func (r *reader) readWhere() {
	for _, n := range r.top.tables("where") {
		t := r.open("where", n)
		name := t.text("name")
		if name != "" {
			r.isName(t, "name", name)
		}
		text := r.expression(t)
		r.sheet.Where = append(r.sheet.Where, Definition{Name: name, Expression: oneLine(text)})
		r.sheet.Budget.Definitions = append(r.sheet.Budget.Definitions, name)
	}
}

func (r *reader) readCorrelations() {
	for _, n := range r.top.tables("correlation") {
		t := r.open("correlation", n)
		c := propagation.Correlation{}
		c.Coefficient, _ = t.between("coefficient", -1, 1, "a coefficient from -1 to 1", "divide a covariance by both standard uncertainties")
		r.sheet.Sources = append(r.sheet.Sources, t.text("source"))
		pair := t.elements("between", 2)
		if len(pair) > 2 {
			r.fault(pair[2].ValueOffset(), "state each pair in a table of its own", "between has %d names, expected two", len(pair))
		}
		if len(pair) != 2 {
			continue
		}
		a, okA := r.inputNamed(t, pair[0])
		b, okB := r.inputNamed(t, pair[1])
		if !okA || !okB {
			continue
		}
		c.A, c.B = a, b
		r.correlations = append(r.correlations, pair[1].ValueOffset())
		r.checkPair(c, pair[1])
		r.sheet.Budget.Correlations = append(r.sheet.Budget.Correlations, c)
	}
}

func (r *reader) checkPair(c propagation.Correlation, at source.Node) {
	b := &r.sheet.Budget
	switch {
	case c.A == c.B:
		r.fault(at.ValueOffset(), "leave it out", "%s is correlated with itself, expected two different inputs", b.Inputs[c.A].Name)
	case b.Inputs[c.A].Set != "" && b.Inputs[c.A].Set == b.Inputs[c.B].Set:
		r.fault(at.ValueOffset(), "leave it out: the readings tell it", "%s and %s were read together, expected no stated coefficient", b.Inputs[c.A].Name, b.Inputs[c.B].Name)
	}
	for _, other := range b.Correlations {
		if other.A == c.A && other.B == c.B || other.A == c.B && other.B == c.A {
			r.fault(at.ValueOffset(), "leave one out", "the correlation of %s and %s is given twice", b.Inputs[c.A].Name, b.Inputs[c.B].Name)
		}
	}
}

// inputNamed looks an input up.
func (r *reader) inputNamed(t table, n source.Node) (int, bool) {
	name, is := n.Text()
	if !is {
		t.wrong(n, "a name in between", "text in quotes", "")
		return 0, false
	}
	if i := slices.Index(r.inputs, strings.TrimSpace(name)); i >= 0 {
		return i, true
	}
	r.fault(n.ValueOffset(), nearest(name, r.inputs), "%q is no input", name)
	return 0, false
}
