package sample

import "plumbrule/rules/figure"

// Figure is a number or, if Value is nil, the reason why there is none; no
// function here returns the zero value.
type Figure = figure.Figure
