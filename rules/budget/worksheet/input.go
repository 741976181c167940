package worksheet

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"plumbrule/rules/budget"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
)

// readInput reads one input. Faults leave it unusable, and then nobody uses it.
func (r *reader) readInput(t table) propagation.Input {
	in := propagation.Input{Name: t.text("name"), Unit: t.text("unit"), Source: t.text("source"), DegreesOfFreedom: math.Inf(1)}
	if in.Name != "" {
		r.isName(t, "name", in.Name)
	}
	s, ok := r.statement(t)
	if !ok {
		return in
	}
	in.Value, _ = t.number("value")
	i := inputReader{table: t, in: &in}
	switch s.Lead {
	case "exact":
		i.exact()
	case "values":
		i.observed()
	case "pooled-deviation":
		i.pooled()
	case "standard":
		i.standard()
	case "expanded":
		i.expanded()
	case "half-width", "limits":
		i.limited()
	case "law":
		i.exponential()
	}
	in.Law.Centre = in.Value
	return in
}

// statement finds in which way the uncertainty is stated, and refuses keys that do not belong to it.
func (r *reader) statement(t table) (Statement, bool) {
	var found []Statement
	for _, s := range Statements() {
		switch {
		case !t.has(s.Lead),
			s.Lead == "values" && t.has("pooled-deviation"), // its readings
			s.Lead == "law" && len(found) > 0:
		default:
			found = append(found, s)
		}
	}
	if len(found) == 0 {
		r.fault(t.node.ValueOffset(), `state it by one of values, standard, expanded, half-width, limits or pooled-deviation, or write exact = true`,
			"input %s does not say how uncertain it is", t.text("name"))
		return Statement{}, false
	}
	s := found[0]
	if len(found) > 1 {
		r.fault(t.key(found[1].Lead), "keep one of them", "%s beside %s, expected the uncertainty stated in one way", found[1].Lead, s.Lead)
		return Statement{}, false
	}
	ok := true
	for _, key := range s.Needs {
		if !t.has(key) {
			ok = false
			r.fault(t.key(s.Lead), "add "+key, "%s without %s, expected both", s.Lead, key)
		}
	}
	for _, n := range []string{"value", "values", "exact", "standard", "expanded", "k", "probability", "half-width", "limits", "law", "beta", "inexact", "pooled-deviation", "readings", "degrees-of-freedom", "known-to", "together"} {
		if t.has(n) && n != s.Lead && !slices.Contains(s.Needs, n) && !slices.Contains(s.May, n) {
			ok = false
			mend := "leave it out"
			if n == "value" {
				mend = "leave it out: the value follows from " + s.Lead
			}
			r.fault(t.key(n), mend, "%s does not go with %s", n, s.Lead)
		}
	}
	if t.has("degrees-of-freedom") && t.has("known-to") {
		ok = false
		r.fault(t.key("known-to"), "leave one out", "known-to beside degrees-of-freedom, expected one of them")
	}
	return s, ok
}

// inputReader reads one way of stating an uncertainty.
type inputReader struct {
	table
	in *propagation.Input
}

func (i inputReader) exact() {
	if yes, is := i.keys["exact"].Bool(); !is || !yes {
		i.fault(i.value("exact"), "state the uncertainty instead, or write true", "exact is %s, expected true", i.keys["exact"].Source())
	}
	i.in.Law.Kind, i.in.Rule = law.Exact, "taken as certain"
}

// numbers reads the list of readings.
func (i inputReader) numbers(least int) []float64 {
	var out []float64
	for _, n := range i.elements("values", least) {
		if v, ok := i.numberAt(n, "a reading"); ok {
			out = append(out, v)
		}
	}
	return out
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v - x[0] // of small differences, so that no digit of a long number is lost
	}
	return x[0] + sum/float64(len(x))
}

// observed is a mean of readings: GUM 4.2.
func (i inputReader) observed() {
	x := i.numbers(2)
	if len(x) < 2 {
		return
	}
	n, m, squares := float64(len(x)), mean(x), 0.0
	for _, v := range x {
		squares += float64((v - m) * (v - m))
	}
	s := math.Sqrt(squares / (n - 1))
	i.in.Value, i.in.U, i.in.DegreesOfFreedom = m, s/math.Sqrt(n), n-1
	i.in.Readings, i.in.Set = x, i.text("together")
	i.in.Law = law.Law{Kind: law.Student, Width: i.in.U, Shape: n - 1}
	i.in.Rule = fmt.Sprintf("s/√n = %s/√%d", digits(s), len(x))
}

// pooled is a mean of readings whose standard deviation is known from more of them: GUM 4.2.4.
func (i inputReader) pooled() {
	s, ok := i.above0("pooled-deviation", "state the standard deviation of a single reading")
	nu, okNu := i.freedom()
	n := 0
	switch x := i.numbers(1); {
	case i.has("values") && (i.has("value") || i.has("readings")):
		extra := "value"
		if !i.has(extra) {
			extra = "readings"
		}
		i.fault(i.key(extra), "leave it out", "%s beside values, which say it", extra)
	case i.has("values"):
		if n = len(x); n > 0 {
			i.in.Value = mean(x)
		}
	case !i.has("value") || !i.has("readings"):
		i.fault(i.key("pooled-deviation"), "add values, or value and readings", "pooled-deviation without the readings, expected the mean and how many they were")
	default:
		count, okCount := i.between("readings", 1, 1e9, "a whole number from 1", "say how many readings the value is the mean of")
		if okCount && count != math.Trunc(count) {
			i.fault(i.value("readings"), "", "readings is %s, expected a whole number from 1", i.keys["readings"].Source())
		}
		n = int(count)
	}
	if !ok || !okNu || n < 1 {
		return
	}
	i.in.U, i.in.DegreesOfFreedom = s/math.Sqrt(float64(n)), nu
	i.in.Law = law.Law{Kind: law.Student, Width: i.in.U, Shape: nu}
	i.in.Rule = fmt.Sprintf("s_p/√n = %s/√%d", digits(s), n)
}

// freedom reads the degrees of freedom, stated or by how well the uncertainty is known; infinite where nothing is said.
func (i inputReader) freedom() (float64, bool) {
	if i.has("known-to") {
		fraction, ok := i.fraction("known-to", 1e-6, math.Sqrt(0.5), "a percentage up to 70.7 %")
		if !ok {
			return 0, false
		}
		nu, err := budget.TypeBDegreesOfFreedom(fraction)
		return nu, err == nil
	}
	if !i.has("degrees-of-freedom") {
		return math.Inf(1), true
	}
	return i.between("degrees-of-freedom", 1, most, "1 or more", "leave it out where the uncertainty is taken as certain")
}

// bell settles on normal or t for an uncertainty that names no limits.
func (i inputReader) bell(nu float64) {
	kind := law.Normal
	if !math.IsInf(nu, 1) {
		kind = law.Student
	}
	if i.has("law") {
		asked, ok := word(i.table, "law", []law.Kind{law.Normal, law.Student})
		switch {
		case !ok:
			return
		case asked == law.Student && kind == law.Normal:
			i.fault(i.value("law"), "add degrees-of-freedom", "law is t without degrees of freedom, expected both")
			return
		}
		kind = asked
	}
	i.in.DegreesOfFreedom = nu
	i.in.Law = law.Law{Kind: kind, Width: i.in.U}
	if kind == law.Student {
		i.in.Law.Shape = nu
	}
}

const notZero = "write exact = true for a value without uncertainty"

func (i inputReader) standard() {
	u, ok := i.above0("standard", notZero)
	nu, okNu := i.freedom()
	if ok && okNu {
		i.in.U, i.in.Rule = u, "as stated"
		i.bell(nu)
	}
}

// expanded divides by the coverage factor, stated or for a probability: GUM 4.3.3, 4.3.4 and G.6.
func (i inputReader) expanded() {
	u, ok := i.above0("expanded", notZero)
	nu, okNu := i.freedom()
	k, okK := i.between("k", 1e-6, 1e6, "a coverage factor from 1e-6 to 1e6", "take k from the certificate, commonly 2")
	p, okP := i.fraction("probability", 0.5, 0.999999, "a probability from 50 % to 99.9999 %")
	switch {
	case i.has("k") && i.has("probability"):
		i.fault(i.key("probability"), "leave one out; with both on a certificate, k is what U was formed with", "probability beside k, expected one of them")
		return
	case !i.has("k") && !i.has("probability"):
		i.fault(i.key("expanded"), "take k from the certificate; a bare U says nothing", "expanded without k or probability, expected one of them")
		return
	case !ok || !okNu || !okK && !okP:
		return
	}
	i.in.Rule = "U/k = " + digits(u) + "/" + digits(k)
	if okP {
		var err error
		if k, err = budget.CoverageFactor(p, nu); err != nil {
			i.fault(i.value("probability"), "", "%s", err)
			return
		}
		i.in.Rule = fmt.Sprintf("U/k = %s/%.4g, normal for %s %%", digits(u), k, digits(p*100))
		if !math.IsInf(nu, 1) {
			i.in.Rule = fmt.Sprintf("U/t = %s/%.4g, for %s %% with ν = %s", digits(u), k, digits(p*100), digits(nu))
		}
	}
	i.in.U = u / k
	i.bell(nu)
}

// limited is a value within limits: GUM 4.3.7 to 4.3.9.
func (i inputReader) limited() {
	a, ok := i.above0("half-width", notZero)
	if i.has("limits") {
		a, ok = i.amid()
	}
	nu, okNu := i.freedom()
	kind, okKind := word(i.table, "law", []law.Kind{law.Rectangular, law.Triangular, law.Trapezoidal, law.CurvilinearTrapezoidal, law.Arcsine})
	shape, okShape := i.shape(kind, a, ok)
	if !ok || !okNu || !okKind || !okShape {
		return
	}
	i.in.Law = law.Law{Kind: kind, Width: a, Shape: shape}
	i.in.U, i.in.DegreesOfFreedom = i.in.Law.Standard(), nu
	half := digits(a)
	switch kind {
	case law.Triangular:
		i.in.Rule = "a/√6 = " + half + "/√6"
	case law.Trapezoidal:
		i.in.Rule = fmt.Sprintf("a√((1 + β²)/6), a = %s, β = %s", half, digits(shape))
	case law.CurvilinearTrapezoidal:
		i.in.Rule = fmt.Sprintf("√(a²/3 + d²/9), a = %s, d = %s", half, digits(shape))
	case law.Arcsine:
		i.in.Rule = "a/√2 = " + half + "/√2"
	default:
		i.in.Rule = "a/√3 = " + half + "/√3"
		if fraction, known := i.knownTo(); known {
			// JCGM 101:2008 9.5 draws GUM H.1's half widths that are 10 % and 50 % unreliable so.
			i.in.Law = law.Law{Kind: law.CurvilinearTrapezoidal, Width: a, Shape: fraction * a}
		}
	}
}

func (i inputReader) knownTo() (float64, bool) {
	if !i.has("known-to") {
		return 0, false
	}
	return i.fraction("known-to", 0, 1, "")
}

// amid reads the limits; the value lies in their middle.
func (i inputReader) amid() (half float64, ok bool) {
	both := i.elements("limits", 2)
	if len(both) == 0 {
		return 0, false
	}
	if len(both) > 2 {
		i.fault(both[2].ValueOffset(), "write [low, high]", "limits has %d numbers, expected two", len(both))
		return 0, false
	}
	low, okLow := i.numberAt(both[0], "a limit")
	high, okHigh := i.numberAt(both[1], "a limit")
	if !okLow || !okHigh {
		return 0, false
	}
	if low >= high {
		i.fault(both[1].ValueOffset(), "write the lower one first; "+notZero, "limits are %s and %s, expected the second above the first", both[0].Source(), both[1].Source())
		return 0, false
	}
	i.in.Value, half = middle(both[0].Source(), both[1].Source())
	return half, true
}

// middle returns the middle of two decimal numbers and their distance from it, reckoned in decimals: that of 1.1 and 1.3 is
// 1.2 and not the number next to it, which would leave a difference from 1.2 where there is none.
func middle(low, high string) (mid, half float64) {
	a, _ := new(big.Rat).SetString(strings.ReplaceAll(low, "_", ""))
	b, _ := new(big.Rat).SetString(strings.ReplaceAll(high, "_", ""))
	two := big.NewRat(2, 1)
	mid, _ = new(big.Rat).Quo(new(big.Rat).Add(a, b), two).Float64()
	half, _ = new(big.Rat).Quo(new(big.Rat).Sub(b, a), two).Float64()
	return mid, half
}

// shape reads what a distribution needs beside its half width.
func (i inputReader) shape(kind law.Kind, half float64, okHalf bool) (float64, bool) {
	for _, pair := range []struct {
		key string
		of  law.Kind
	}{{"beta", law.Trapezoidal}, {"inexact", law.CurvilinearTrapezoidal}} {
		switch key, of := pair.key, pair.of; {
		case i.has(key) && kind != of && kind != "":
			i.fault(i.key(key), fmt.Sprintf("leave it out, or write law = %q", of), "%s does not go with the law %s", key, kind)
			return 0, false
		case !i.has(key) && kind == of:
			i.fault(i.value("law"), "add "+key, "law is %s without %s, expected both", kind, key)
			return 0, false
		}
	}
	switch kind {
	case law.Trapezoidal:
		return i.between("beta", 0, 1, "a number from 0 (triangle) to 1 (rectangle)", "divide the width of the top by that of the base")
	case law.CurvilinearTrapezoidal:
		d, ok := i.above0("inexact", `write law = "rectangular" for exact limits`)
		if ok && okHalf && d > half {
			i.fault(i.value("inexact"), "a half width cannot be off by more than itself", "inexact is %s, expected at most the half width %s", i.keys["inexact"].Source(), digits(half))
			return 0, false
		}
		return d, ok
	default:
		return 0, true
	}
}

// exponential is a quantity that cannot be negative and of which only the mean is known: JCGM 101:2008 6.4.10.
func (i inputReader) exponential() {
	kind, ok := word(i.table, "law", law.Kinds())
	if !ok {
		return
	}
	if kind != law.Exponential {
		lead := "half-width or limits"
		switch kind {
		case law.Normal, law.Student:
			lead = "standard or expanded"
		case law.Exact:
			i.fault(i.key("law"), "write exact = true", "law is exact, expected the key exact")
			return
		default:
		}
		i.fault(i.key("law"), "add "+lead, "law is %s without its width, expected %s", kind, lead)
		return
	}
	v, ok := i.above0("value", "an exponential quantity has a mean above 0")
	if !ok {
		return
	}
	i.in.U, i.in.Law = v, law.Law{Kind: law.Exponential}
	i.in.Rule = "equal to the value"
}

// digits prints a number as somebody would have written it.
func digits(v float64) string {
	text := strconv.FormatFloat(v, 'g', 6, 64)
	return strings.Replace(strings.Replace(text, "e-0", "e-", 1), "e+0", "e+", 1)
}
