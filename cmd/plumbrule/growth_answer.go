package main

import (
	"fmt"
	"math"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/growth"
)

// growthJSON is an estimate of growth: an interface, to which fields are only added. A figure that does not exist is null, and
// reasons says why under its name.
type growthJSON struct {
	N        int               `json:"n"`
	Level    float64           `json:"level"`
	Coverage float64           `json:"coverage"`
	Claimed  claimJSON         `json:"claimed"`
	Scale    straightJSON      `json:"scale"`
	Spread   straightJSON      `json:"spread"`
	Bound    growthBoundJSON   `json:"bound"`
	Support  growthSupportJSON `json:"support"`
	Points   []funnelPointJSON `json:"points"`
	Notes    []string          `json:"notes"`
	Reasons  absences          `json:"reasons"`
}

type claimJSON struct {
	MPE        string  `json:"mpe"`
	ConstantUM float64 `json:"constant_um"`
	PerMetreUM float64 `json:"per_metre_um"`
}

type straightJSON struct {
	ConstantUM parameterJSON `json:"constant_um"`
	PerMetreUM parameterJSON `json:"per_metre_um"`
}

type parameterJSON struct {
	Estimate *float64 `json:"estimate"`
	SE       *float64 `json:"se"`
	Lower    *float64 `json:"lower"`
	Upper    *float64 `json:"upper"`
}

type growthBoundJSON struct {
	ConstantUM           *float64 `json:"constant_um"`
	PerMetreUM           *float64 `json:"per_metre_um"`
	ShareOfMPEAtShortest *float64 `json:"share_of_mpe_at_shortest"`
	ShareOfMPEAtLongest  *float64 `json:"share_of_mpe_at_longest"`
}

type growthSupportJSON struct {
	Enough     bool     `json:"enough"`
	Reason     string   `json:"reason"`
	PathRatio  *float64 `json:"path_ratio"`
	GrowthSEUM *float64 `json:"growth_se_um"`
}

// funnelPointJSON is a check beside the limit at its path; time, feature and file are null without records.
type funnelPointJSON struct {
	PathM   float64 `json:"path_m"`
	ErrorUM float64 `json:"error_um"`
	MPEUM   float64 `json:"mpe_um"`
	Time    *string `json:"time"`
	Feature *string `json:"feature"`
	File    *string `json:"file"`
}

func (g *grown) json() growthJSON {
	r := absences{}
	out := growthJSON{
		N: len(g.Points), Level: g.o.level.value, Coverage: g.o.coverage.value, Claimed: claimJSON{g.words, g.claim.ConstantUM, g.claim.PerMetreUM},
		Points: []funnelPointJSON{}, Notes: notNull(g.notes), Reasons: r,
	}
	for i, p := range g.Points {
		one := funnelPointJSON{PathM: p.PathM, ErrorUM: p.ErrorUM, MPEUM: p.MPEUM}
		if g.checked != nil {
			k := g.checked[i]
			one.Time, one.Feature, one.File = textOrNull(k.Check.Time.Format(time.RFC3339)), textOrNull(k.Feature), textOrNull(k.Check.File)
		}
		out.Points = append(out.Points, one)
	}
	if g.why != "" {
		for _, name := range []string{"scale", "spread", "bound", "support.path_ratio", "support.growth_se_um"} {
			r[name] = g.why
		}
		out.Support.Reason = g.why
		return out
	}
	straight := func(name string, s growth.Straight) straightJSON {
		one := func(part string, p growth.Parameter) parameterJSON {
			at := name + "." + part + "."
			return parameterJSON{r.value(at+"estimate", p.Estimate), r.value(at+"se", p.SE), r.value(at+"lower", p.Lower), r.value(at+"upper", p.Upper)}
		}
		return straightJSON{one("constant_um", s.ConstantUM), one("per_metre_um", s.PerMetreUM)}
	}
	out.Scale, out.Spread = straight("scale", g.Scale), straight("spread", g.Spread)
	out.Bound = growthBoundJSON{
		r.value("bound.constant_um", g.Bound.ConstantUM), r.value("bound.per_metre_um", g.Bound.PerMetreUM),
		r.value("bound.share_of_mpe_at_shortest", g.Bound.ShareOfMPEAtShortest), r.value("bound.share_of_mpe_at_longest", g.Bound.ShareOfMPEAtLongest),
	}
	out.Support = growthSupportJSON{g.Support.Enough, g.Support.Reason, r.value("support.path_ratio", g.Support.PathRatio), r.value("support.growth_se_um", g.Support.GrowthSEUM)}
	return out
}

func (g *grown) answer() answer {
	t := g.table()
	a := answer{JSON: g.json(), CSV: t, Table: t, Below: g.meaning()}
	a.Above = []string{fmt.Sprintf("%s: claimed %s, %s", g.what, g.words, counted(len(g.Points), "error"))}
	return a
}

// table has the claim beside what was observed, its parts with their intervals.
func (g *grown) table() table.Table {
	t := table.Table{Columns: growthColumns()}
	g.rows(&t)
	return t
}

func growthColumns() []table.Column {
	return []table.Column{
		{Title: "figure"},
		{Title: "value", Align: table.Decimal},
		{Title: "unit"},
		{Title: "standard error", Align: table.Decimal},
		{Title: "from", Align: table.Decimal},
		{Title: "to", Align: table.Decimal},
	}
}

func (g *grown) rows(t *table.Table, before ...table.Cell) {
	add := func(cells ...table.Cell) { t.Add(append(append([]table.Cell{}, before...), cells...)...) }
	blank := table.Text("")
	number := func(v float64) table.Cell { return table.Number(fourDigits(v), v) }
	add(table.Text("claimed constant"), number(g.claim.ConstantUM), table.Text("µm"), blank, blank, blank)
	add(table.Text("claimed growth"), number(g.claim.PerMetreUM), table.Text("µm/m"), blank, blank, blank)
	if g.why != "" {
		return
	}
	add(table.Text("bound, constant"), figureCell(g.Bound.ConstantUM), table.Text("µm"), blank, blank, blank)
	add(table.Text("bound, growth"), figureCell(g.Bound.PerMetreUM), table.Text("µm/m"), blank, blank, blank)
	part := func(name, unit string, p growth.Parameter) {
		add(table.Text(name), figureCell(p.Estimate), table.Text(unit), figureCell(p.SE), figureCell(p.Lower), figureCell(p.Upper))
	}
	part("line, constant", "µm", g.Scale.ConstantUM)
	part("line, scale error", "µm/m", g.Scale.PerMetreUM)
	part("spread, constant", "µm", g.Spread.ConstantUM)
	part("spread, growth", "µm/m", g.Spread.PerMetreUM)
}

// beyond names the checks whose error lies outside the limit at their path; nothing when there is none. A bound for most
// errors says nothing about the ones that were found outside.
func (g *grown) beyond() string {
	count, worst := 0, growth.Point{}
	for _, p := range g.Points {
		if math.Abs(p.ErrorUM) <= p.MPEUM {
			continue
		}
		count++
		if math.Abs(p.ErrorUM)-p.MPEUM > math.Abs(worst.ErrorUM)-worst.MPEUM {
			worst = p
		}
	}
	if count == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d errors lie outside their limits, the farthest %s µm over %s m against %s µm", count, len(g.Points),
		show.Signed(worst.ErrorUM, 1), show.Shortest(worst.PathM), show.Fixed(worst.MPEUM, 1))
}

// meaning says in sentences what the figures come to.
func (g *grown) meaning() []string {
	if g.why != "" {
		return []string{"There is no estimate: " + g.why + "."}
	}
	var out []string
	if b := g.Bound; b.ConstantUM.Value == nil {
		out = append(out, "There is no estimate: "+b.ConstantUM.Reason+".")
	} else {
		worst, where := *b.ShareOfMPEAtShortest.Value, "over the shortest path"
		if *b.ShareOfMPEAtLongest.Value > worst {
			worst, where = *b.ShareOfMPEAtLongest.Value, "over the longest path"
		}
		verdict := "as far as these checks tell, the claim is kept"
		if beyond := g.beyond(); beyond != "" {
			verdict = "but the claim was not kept: " + beyond
		}
		if worst > 1 {
			verdict = "the device does worse than claimed"
		}
		out = append(out, fmt.Sprintf("%s of further errors stay within %s µm + %s µm/m for paths between the shortest and the longest checked. "+
			"Where it comes closest, %s, that is %s %% of the limit: %s.", percent(g.o.coverage.value), show.Fixed(*b.ConstantUM.Value, 1), show.Fixed(*b.PerMetreUM.Value, 1),
			where, show.Fixed(worst*100, 0), verdict))
		scale := g.Scale.PerMetreUM
		if scale.Lower.Value != nil && scale.Estimate.Value != nil {
			text := "A scale error is not shown: %s µm/m, and the interval %s to %s includes 0."
			if *scale.Lower.Value > 0 || *scale.Upper.Value < 0 {
				text = "A straight line through them has a scale error of %s µm/m (%s to %s); a correction would take off what of it lasts."
			}
			out = append(out, fmt.Sprintf(text, show.Signed(*scale.Estimate.Value, 1), show.Signed(*scale.Lower.Value, 1), show.Signed(*scale.Upper.Value, 1)))
		}
	}
	if g.Bound.ConstantUM.Value != nil {
		support := "The checks can speak about the claimed growth: "
		if !g.Support.Enough {
			support = "The checks cannot speak about the claimed growth: "
		}
		out = append(out, support+g.Support.Reason+".")
	}
	for _, n := range g.notes {
		out = append(out, "note: "+n)
	}
	return out
}

// deviceGrowth is what the records say about the growth of a device's errors.
type deviceGrowth struct {
	*judged
	o      *growthOptions
	id     string
	limits []limitGrowth
}

type limitGrowth struct {
	rules.PathGrowth
	grown
}

// deviceGrowthJSON is what growth prints as JSON for a device: an interface, to which fields are only added.
type deviceGrowthJSON struct {
	Device    string            `json:"device"`
	At        string            `json:"at"`
	Hindsight bool              `json:"hindsight"`
	Limits    []limitGrowthJSON `json:"limits"`
}

type limitGrowthJSON struct {
	Quantity string  `json:"quantity"`
	Length   string  `json:"length"` // "path" or "straight"
	Since    *string `json:"since_file"`
	growthJSON
}

func (d *deviceGrowth) answer() answer {
	out := deviceGrowthJSON{Device: d.id, At: d.at.In(zoneOf(d.set)).Format(time.RFC3339), Hindsight: d.options.Hindsight, Limits: []limitGrowthJSON{}}
	a := answer{Above: []string{fmt.Sprintf("%s, %s: errors beside limits that grow with a length", d.id, d.at.In(zoneOf(d.set)).Format("2006-01-02 15:04 MST"))}}
	t := table.Table{Columns: append([]table.Column{{Title: "quantity"}}, growthColumns()...)}
	for i := range d.limits {
		l := &d.limits[i]
		out.Limits = append(out.Limits, limitGrowthJSON{string(l.Limit.Quantity), l.Limit.Length, textOrNull(l.Since.File), l.json()})
		l.rows(&t, table.Text(string(l.Limit.Quantity)))
		for _, sentence := range l.meaning() {
			if len(d.limits) > 1 {
				sentence = fmt.Sprintf("%s, %s: %s", l.Limit.Quantity, l.words, sentence)
			}
			a.Below = append(a.Below, sentence)
		}
	}
	a.JSON, a.CSV, a.Table = out, t, t
	if len(d.limits) == 0 {
		a.Table = table.Table{}
		a.Below = []string{"It has no limit that grows with a length, so there is no growth to look at."}
	}
	return a
}
