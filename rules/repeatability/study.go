package repeatability

import "fmt"

// Settings say how a study is analysed. A zero field stands for its default.
type Settings struct {
	// Confidence is the two-sided level of the limits, 0.5 to 0.9999; 0.95 by default.
	Confidence float64
	// PoolAbove: the interaction is pooled into the repeatability if its p is above this; 0.25 by default, so that an
	// interaction is not pooled away too easily (common practice, no source); 1 never pools.
	PoolAbove float64
	// StudySigmas is how many standard deviations count as the spread of the gauge when it is compared with the tolerance;
	// 6 by default, 5.15 in older usage (from memory).
	StudySigmas float64
	// Tolerance is upper less lower limit of the parts, in the unit of the readings; none by default.
	Tolerance float64
}

func (s Settings) complete() (Settings, error) {
	for _, f := range []struct {
		name             string
		value            *float64
		ifZero, from, to float64
	}{
		{"confidence", &s.Confidence, 0.95, 0.5, 0.9999},
		{"pool_above", &s.PoolAbove, 0.25, 0, 1},
		{"study_sigmas", &s.StudySigmas, 6, 1, 10},
		{"tolerance", &s.Tolerance, 0, 0, largest},
	} {
		if *f.value == 0 {
			*f.value = f.ifZero
			continue
		}
		if !(*f.value >= f.from && *f.value <= f.to) {
			return s, &InputError{
				Field: f.name, Found: fmt.Sprintf("%g", *f.value), Expected: fmt.Sprintf("a number from %g to %g", f.from, f.to),
			}
		}
	}
	return s, nil
}

// Result is the analysis of a study.
type Result struct {
	Settings                 Settings // with the defaults filled in
	Parts, Operators, Trials int
	Mean                     float64

	// Models holds every model the study allows, the one with more terms first; Chosen is one of them.
	Models []*Model
	Chosen *Model
	Notes  []string // whole sentences; those of a single model stand with it
}

// Study analyses readings in any order; parts and operators are told apart by their names, trials by their order.
//
// With one operator, whatever the name, reproducibility is absent; with one trial the interaction cannot be told from the
// repeatability. An [*UnbalancedError] names the cells that hold too few or too many readings, an [*InputError] what else
// cannot be used: fewer than two parts, one reading by one operator, a value that is not a number, settings out of range.
func Study(readings []Reading, settings Settings) (*Result, error) {
	g, err := gridOf(readings)
	if err != nil {
		return nil, err
	}
	return g.study(settings)
}

// StudyTable analyses readings given as values[part][operator][trial]; parts and operators are numbered from 1 in errors.
// For the rest it is [Study].
func StudyTable(values [][][]float64, settings Settings) (*Result, error) {
	g, err := gridFrom(values)
	if err != nil {
		return nil, err
	}
	return g.study(settings)
}

func (g grid) study(settings Settings) (*Result, error) {
	set, err := settings.complete()
	if err != nil {
		return nil, err
	}
	s := g.measure()
	r := &Result{Settings: set, Parts: s.parts, Operators: s.operators, Trials: s.trials, Mean: s.mean}
	switch {
	case s.operators == 1:
		r.Models = []*Model{s.oneOperator(set)}
		r.Chosen = r.Models[0]
		r.note("One operator: reproducibility cannot be told, and the gauge figure holds for this operator only.")
	case s.trials == 1:
		r.Models = []*Model{s.withoutInteraction(set)}
		r.Chosen = r.Models[0]
		r.note("One trial: the interaction of parts and operators cannot be told from the repeatability, which contains it.")
	default:
		r.Models = []*Model{s.withInteraction(set), s.withoutInteraction(set)}
		r.choose(s)
	}
	if s.operators > 1 && s.operators <= fewOperators {
		r.note(fmt.Sprintf("%d operators: reproducibility rests on %s, and its upper limit is far off for that reason.",
			s.operators, counted(s.operators-1, "degree of freedom", "degrees of freedom")))
	}
	if s.total.sum == 0 {
		r.note("All readings are equal: the resolution is too coarse for this study, or the readings were copied.")
	}
	return r, nil
}

// fewOperators is where the upper limit of an operators' standard deviation is still more than about three times the
// estimate at 95 % (χ² with up to 3 degrees of freedom).
const fewOperators = 4

// choose takes the model without interaction if the interaction does not show.
func (r *Result) choose(s squares) {
	full, pooled := r.Models[0], r.Models[1]
	p := full.Table[2].P
	switch {
	case p.Value != nil && *p.Value > r.Settings.PoolAbove:
		r.Chosen = pooled
		r.note(fmt.Sprintf("The interaction of parts and operators does not show (p = %s, above %s) and is pooled into the repeatability.",
			plain(*p.Value), plain(r.Settings.PoolAbove)))
	case p.Value != nil:
		r.Chosen = full
		r.note(fmt.Sprintf("The interaction of parts and operators is kept (p = %s, not above %s).", plain(*p.Value), plain(r.Settings.PoolAbove)))
	case s.interaction.sum > 0:
		r.Chosen = full
		r.note("Repeated readings are all equal, so the interaction cannot be tested and is kept; look at the resolution of the gauge.")
	default:
		r.Chosen = pooled
		r.note("Repeated readings are all equal and there is no interaction; look at the resolution of the gauge.")
	}
}

func (r *Result) note(sentence string) { r.Notes = append(r.Notes, sentence) }

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
