package repeatability

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// fill derives the components of a model from its single ones.
func (m *Model) fill(set Settings, single []partOf) {
	terms, used := map[Source][]term{}, map[Source]float64{}
	for _, c := range single {
		terms[c.source] = c.terms
		raw := estimate(c.terms)
		used[c.source] = max(0, raw)
		if raw < 0 {
			m.Notes = append(m.Notes, fmt.Sprintf(
				"The estimate of the %s variance is negative, %s, and counts as 0: the component is small, or the readings are too few to find it.",
				c.source, plain(raw)))
		}
	}
	sum := func(into Source, from ...Source) {
		var lists [][]term
		for _, s := range from {
			lists = append(lists, terms[s])
			used[into] += used[s]
		}
		terms[into] = gathered(lists...)
	}
	sum(Reproducibility, Operator, Interaction)
	sum(Gauge, Repeatability, Reproducibility)
	sum(Total, Gauge, Part)
	for _, source := range []Source{Gauge, Repeatability, Reproducibility, Operator, Interaction, Part, Total} {
		if len(terms[source]) > 0 {
			m.Components = append(m.Components, component(set, source, terms[source], used[source], used[Total]))
		}
	}
	if m.Name == OneOperator {
		why := "one operator says nothing of the others"
		none := figure.Absent(why)
		m.Components = append(m.Components, Component{Reproducibility, none, none, none, none, none, none, none, none})
	}
	m.Categories = categories(used[Part], used[Gauge])
}

func component(set Settings, source Source, terms []term, variance, total float64) Component {
	lower, upper := largeSample(terms, (1-set.Confidence)/2)
	sd := math.Sqrt(variance)
	c := Component{
		Source: source, Estimate: figure.Known(estimate(terms)), Variance: figure.Known(variance), SD: figure.Known(sd),
		SDLower: figure.Known(math.Sqrt(max(0, lower))), SDUpper: figure.Known(math.Sqrt(max(0, upper))),
		ShareOfVariance: figure.Absent("the readings do not vary"), ShareOfStudy: figure.Absent("the readings do not vary"),
		ShareOfTolerance: figure.Absent("no tolerance given"),
	}
	if total > 0 {
		c.ShareOfVariance, c.ShareOfStudy = figure.Known(variance/total), figure.Known(math.Sqrt(variance/total))
	}
	if set.Tolerance > 0 {
		c.ShareOfTolerance = figure.Known(set.StudySigmas * sd / set.Tolerance)
	}
	return c
}

func categories(part, gauge float64) Figure {
	if gauge == 0 {
		return figure.Absent("the gauge shows no variation, so nothing limits the number of categories")
	}
	return figure.Known(max(1, math.Floor(1.41*math.Sqrt(part/gauge))))
}
