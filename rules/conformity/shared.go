package conformity

import "plumbrule/rules/figure"

// Figure is a number or, if Value is nil, the reason why there is none; no
// function here returns the zero value.
type Figure = figure.Figure

// InputError says which input cannot be used, why, and what would mend it.
type InputError = figure.InputError
