package sample_test

import (
	"testing"

	"plumbrule/rules/sample"
)

// z(0.975) is 1.96 in every table; e-Handbook 1.3.3.1 draws the limits ±z/√n.
func TestIndependenceLimit(t *testing.T) {
	near(t, "of 200", sample.IndependenceLimit(200), 0.13859, 0.000005)
	near(t, "of 4", sample.IndependenceLimit(4), 0.98, 0.00002)
}
