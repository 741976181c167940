package repeatability

import "plumbrule/rules/figure"

// Source names a source of variation: a row of an analysis of variance, or a variance component.
type Source string

// The sources. Reproducibility, Gauge and Total are sums of the others: operators with interaction, that with the
// repeatability, and that with the parts.
const (
	Part            Source = "part"
	Operator        Source = "operator"
	Interaction     Source = "part-operator"
	Repeatability   Source = "repeatability"
	Reproducibility Source = "reproducibility"
	Gauge           Source = "gauge"
	Total           Source = "total"
)

// ModelName names a model of the readings.
type ModelName string

// The models.
const (
	WithInteraction    ModelName = "with-interaction"    // parts, operators, their interaction, repeatability
	WithoutInteraction ModelName = "without-interaction" // parts, operators, repeatability
	OneOperator        ModelName = "one-operator"        // parts, repeatability
)

// Row is a line of an analysis of variance. Sums and mean squares are in the square of the unit of the readings.
type Row struct {
	Source           Source
	SumOfSquares     float64
	DegreesOfFreedom int
	MeanSquare       Figure // absent for the total
	F                Figure // absent where nothing is tested
	P                Figure // probability of so large an F, or a larger one, without the effect
}

// Component is a variance component or a sum of some, with what is derived from it. Standard deviations are in the unit of
// the readings.
type Component struct {
	Source Source

	// Estimate is the unbiased one, a sum of multiples of mean squares, and may be negative. Variance is the one that is
	// used: a negative single component counts as 0, and sums add what is used.
	Estimate Figure
	Variance Figure
	SD       Figure // √Variance

	// SDLower and SDUpper are confidence limits of the true standard deviation, from Estimate: exact (χ²) for the
	// repeatability, modified large-sample for the others; negative limits of the variance count as 0.
	SDLower, SDUpper Figure

	ShareOfVariance  Figure // Variance over that of the total
	ShareOfStudy     Figure // SD over that of the total; these do not add up to 1
	ShareOfTolerance Figure // Settings.StudySigmas · SD over the tolerance
}

// Model is an analysis of the readings under one model.
type Model struct {
	Name       ModelName
	Table      []Row
	Components []Component
	// Categories is the number of distinct categories, 1.41·σ(part)/σ(gauge) without its decimals and at least 1: how many
	// groups of parts the gauge can tell apart (common definition, from memory; 1.41 for √2).
	Categories Figure
	Notes      []string // whole sentences
}

// Component returns the component of that name; one without figures, with the reason, if the model has none.
func (m *Model) Component(source Source) Component {
	for _, c := range m.Components {
		if c.Source == source {
			return c
		}
	}
	none := figure.Absent("the model " + string(m.Name) + " has no such component")
	return Component{source, none, none, none, none, none, none, none, none}
}

// part of a model: a component with the terms that estimate it.
type partOf struct {
	source Source
	terms  []term
}

// withInteraction is the full model. Expected mean squares, with n trials: E(part) = σ² + nσ²(po) + noσ²(part),
// E(operator) = σ² + nσ²(po) + npσ²(operator), E(interaction) = σ² + nσ²(po), E(repeatability) = σ².
func (s squares) withInteraction(set Settings) *Model {
	p, o, n := float64(s.parts), float64(s.operators), float64(s.trials)
	m := &Model{Name: WithInteraction, Table: []Row{
		row(s.part, &s.interaction), row(s.operator, &s.interaction), row(s.interaction, &s.repeatability),
		row(s.repeatability, nil), totalRow(s.total),
	}}
	m.fill(set, []partOf{
		{Repeatability, []term{{1, s.repeatability}}},
		{Operator, scaled(1/(n*p), []term{{1, s.operator}, {-1, s.interaction}})},
		{Interaction, scaled(1/n, []term{{1, s.interaction}, {-1, s.repeatability}})},
		{Part, scaled(1/(n*o), []term{{1, s.part}, {-1, s.interaction}})},
	})
	return m
}

// withoutInteraction pools the interaction into the repeatability. With one trial there is nothing to pool: the interaction
// is all that measures the repeatability.
func (s squares) withoutInteraction(set Settings) *Model {
	p, o, n := float64(s.parts), float64(s.operators), float64(s.trials)
	rest := s.repeatability.pooled(s.interaction)
	m := &Model{Name: WithoutInteraction, Table: []Row{
		row(s.part, &rest), row(s.operator, &rest), row(rest, nil), totalRow(s.total),
	}}
	m.fill(set, []partOf{
		{Repeatability, []term{{1, rest}}},
		{Operator, scaled(1/(n*p), []term{{1, s.operator}, {-1, rest}})},
		{Part, scaled(1/(n*o), []term{{1, s.part}, {-1, rest}})},
	})
	return m
}

// oneOperator is the one-way model.
func (s squares) oneOperator(set Settings) *Model {
	n := float64(s.trials)
	m := &Model{Name: OneOperator, Table: []Row{
		row(s.part, &s.repeatability), row(s.repeatability, nil), totalRow(s.total),
	}}
	m.fill(set, []partOf{
		{Repeatability, []term{{1, s.repeatability}}},
		{Part, scaled(1/n, []term{{1, s.part}, {-1, s.repeatability}})},
	})
	return m
}
