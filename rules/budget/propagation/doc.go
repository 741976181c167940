// Package propagation combines the uncertainties of the inputs of a measurement by the law of propagation of uncertainty:
// JCGM 100:2008 (GUM) clause 5 and annex G.
//
// In goes a [Budget]: a model, its inputs with their standard uncertainties and degrees of freedom, correlations, and how
// the result is to be expanded. [Budget.Evaluate] gives a [Result]: value, combined and expanded uncertainty, effective
// degrees of freedom, coverage factor, and every input's sensitivity, contribution and share; the second-order terms of
// GUM 5.1.2, note, beside them. What a formula does not back is absent with its reason, never a number.
//
// Figures are in consistent units that the caller chooses; units are texts here and are not reckoned with. Package budget
// has the same law for uncorrelated components whose sensitivities are given.
package propagation
