package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/routefile"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/route"
)

// How much is listed for people; programs get all of it.
const (
	mostSteps = 200
	mostPairs = 100
)

func (r *routed) answer() answer {
	a := answer{JSON: r.json(), CSV: r.csv(), Above: []string{r.headline()}, Table: r.table(), Below: r.sentences(), Page: &page{}}
	if len(r.plan.Pairs) > 0 {
		r.addPairs(a.Page)
	}
	if r.advice != nil {
		r.addAdvice(a.Page)
	}
	r.addOrder(a.Page)
	return a
}

// headline says what was planned.
func (r *routed) headline() string {
	bridges := 0
	for _, v := range r.file.Task.Volumes {
		if v.Bridge {
			bridges++
		}
	}
	text := r.name + ": " + counted(len(r.file.Task.Volumes)-bridges, "volume")
	if r.file.Title != "" {
		text = r.file.Title + ", " + text
	}
	if bridges > 0 {
		text += " and " + counted(bridges, "bridge")
	}
	text += ", " + counted(len(r.file.Task.Joins), "join")
	if n := len(r.file.Task.Frames); n > 0 {
		text += ", " + counted(n, "frame")
	}
	return text + ", limit " + r.file.Task.MPE.String()
}

// centreWords names the middle of the tree.
func (r *routed) centreWords() string {
	c := r.plan.Centre
	switch {
	case c.Name != "":
		return c.Name
	case c.AlongMM > 0:
		return fmt.Sprintf("%s to %s, %s m from %s", c.From, c.To, metres(c.AlongMM), c.From)
	}
	return fmt.Sprintf("between %s and %s", c.From, c.To)
}

// metres prints a length with millimetres as its last digit.
func metres(mm float64) string { return show.Fixed(mm/1000, 3) }

// table compares the tree with the chain.
func (r *routed) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "joined"},
		{Title: "worst pair", Wrap: true},
		{Title: "path", Unit: "m", Align: table.Decimal},
		{Title: "bound", Unit: "µm", Align: table.Decimal},
	}}
	shared := r.plan.Worst.Share.Value != nil
	if shared {
		t.Columns = append(t.Columns, table.Column{Title: "tolerance", Unit: "µm", Align: table.Decimal}, table.Column{Title: "share", Unit: "%", Align: table.Decimal})
	}
	add := func(name string, w *route.Way) {
		cells := []table.Cell{table.Text(name), table.Text(w.From + " to " + w.To), table.Number(metres(w.PathMM), w.PathMM/1000), boundCell(w)}
		if shared {
			cells = append(cells, table.Number(show.Shortest(w.ToleranceUM), w.ToleranceUM), shareCell(w))
		}
		t.Add(cells...)
	}
	add("branching out from the centre", &r.plan.Worst)
	if r.chain != nil {
		add("in a chain", &r.chain.Worst)
	}
	return t
}

// boundCell prints a bound with as many decimals as show that it is not the tolerance.
func boundCell(w *route.Way) table.Cell { return table.Number(boundText(w), w.BoundUM) }

func boundText(w *route.Way) string {
	decimals := 1
	if w.ToleranceUM > 0 {
		decimals = show.Apart(1, w.BoundUM, 0, w.ToleranceUM)
	}
	return show.Fixed(w.BoundUM, decimals)
}

// shareCell prints a share in percent; more than all of the tolerance is bad.
func shareCell(w *route.Way) table.Cell {
	c := table.Number(show.Fixed(*w.Share.Value*100, show.Apart(0, *w.Share.Value*100, 0, 100)), *w.Share.Value)
	if *w.Share.Value > 1 {
		c.Tone = table.Bad
	}
	return c
}

// sentences say what the figures rest on.
func (r *routed) sentences() (out []string) {
	p := r.plan
	on := ""
	if p.Centre.Name == "" {
		on = "on the join "
	}
	out = append(out, "The centre is "+on+r.centreWords()+".")
	what := "worst bound"
	if p.Worst.Share.Value != nil {
		what = "worst share of a tolerance"
	}
	if p.Proof.Optimal {
		out = append(out, "No other way of joining has a smaller "+what+".")
	} else {
		least := show.Fixed(p.Proof.LeastBoundUM, 1) + " µm"
		if p.Worst.Share.Value != nil {
			least = show.Fixed(p.Proof.LeastShare*100, 1) + " %"
		}
		out = append(out, fmt.Sprintf("It is not proven that no other way of joining is better: the %s is not below %s in any, and %s.", what, least, p.Proof.Reason))
	}
	if n := r.exceeds(); n > 0 {
		out = append(out, fmt.Sprintf("The bound exceeds the tolerance of %s.", counted(n, "pair")))
	}
	out = append(out, r.chainWords()...)
	for _, n := range p.Notes {
		out = append(out, "note: "+n)
	}
	return out
}

// chainWords say how the chain goes and what it leaves out.
func (r *routed) chainWords() []string {
	if r.chain == nil {
		return []string{"There is no chain to compare with: " + r.noChain + "."}
	}
	order := "as the file lists it"
	switch {
	case r.file.Chain != nil:
	case r.file.ChainBy == routefile.Around:
		order = "around the part, seen from above"
	default:
		order = "always on to the nearest volume not yet scanned"
	}
	out := []string{fmt.Sprintf("The chain goes %s, from %s to %s.", order, r.chain.Order[0], r.chain.Order[len(r.chain.Order)-1])}
	if len(r.chain.LeftOut) > 0 {
		out = append(out, "The chain leaves out "+shortList(r.chain.LeftOut)+".")
	}
	if missing := len(r.plan.Pairs) - len(r.chain.Pairs); missing > 0 {
		out = append(out, fmt.Sprintf("Of the pairs, %d do not lie on the chain.", missing))
	}
	return out
}

func shortList(names []string) string {
	const most = 6
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}

func (r *routed) addPairs(p *page) {
	p.head("Pairs")
	for i := range r.plan.Pairs {
		if i == mostPairs {
			p.item("and %d more, which --format json lists", len(r.plan.Pairs)-i)
			break
		}
		w := &r.plan.Pairs[i]
		text := fmt.Sprintf("%s to %s: %s m", w.From, w.To, metres(w.PathMM))
		if len(w.Through) > 1 {
			text += " by " + shortList(w.Through)
		} else {
			text += " in " + w.Through[0]
		}
		text += ", bound " + boundText(w) + " µm"
		if w.Share.Value != nil {
			text += fmt.Sprintf(", %s %% of the tolerance %s µm", shareCell(w).Shown, show.Shortest(w.ToleranceUM))
			if *w.Share.Value > 1 {
				text += ": exceeds it"
			}
		}
		p.item("%s", text)
	}
}

func (r *routed) addOrder(p *page) {
	p.head("Scan in this order")
	for i, s := range r.plan.Order {
		if i == mostSteps {
			p.item("and %d more, which --format json lists", len(r.plan.Order)-i)
			break
		}
		text := fmt.Sprintf("%d. %s", i+1, s.Volume)
		switch {
		case s.Frame != "":
			text += ", tied by " + s.Frame
			if s.From != s.Frame {
				text += " to " + s.From
			}
		case s.From != "":
			text += fmt.Sprintf(", joined to %s (%s m)", s.From, metres(s.LengthMM))
		default:
			text += ", to begin with"
		}
		p.item("%s", text)
	}
}

func (r *routed) addAdvice(p *page) {
	p.head("What one thing more would bring")
	a := r.advice
	for _, s := range a.Suggestions {
		w := &s.Worst
		after := fmt.Sprintf("the worst path is then %s m, %s to %s, with the bound %s µm", metres(w.PathMM), w.From, w.To, boundText(w))
		if w.Share.Value != nil {
			after += ", " + shareCell(w).Shown + " % of its tolerance"
		}
		switch s.Kind {
		case route.OneJoin:
			p.item("a join %s to %s, %s m: %s", s.From, s.To, metres(s.LengthMM), after)
		case route.OneBar:
			p.item("the calibrated length from %s to %s, %s m apart: %s", s.From, s.To, metres(s.LengthMM), after)
		case route.OneBridge:
			p.item("a bridge at x = %.0f mm, y = %.0f mm, z = %.0f mm, joined to %s: %s", s.At[0], s.At[1], s.At[2], shortList(s.Joined), after)
		}
	}
	if len(a.Suggestions) == 0 {
		p.item("nothing that was tried makes the worst pair better")
	}
	if a.Tried < a.Candidates {
		p.item("tried were %d of %d candidates, those that shorten paths most", a.Tried, a.Candidates)
	} else {
		p.item("all %d candidates were tried", a.Candidates)
	}
}
