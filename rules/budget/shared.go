package budget

import "plumbrule/rules/figure"

// InputError says which input cannot be used, why, and what would mend it.
type InputError = figure.InputError
