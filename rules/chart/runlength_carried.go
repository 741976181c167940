package chart

import "gonum.org/v1/gonum/integrate/quad"

// carriedNodes is the least number of nodes in each zone. The densities are
// smooth there, nearly polynomials of the degree of the longest trend; with 10
// nodes run lengths agree with those of 14 in eleven digits.
const carriedNodes = 10

// carried is the joint distribution of the state of an automaton and the latest
// value, on which steps up and down depend. Values are measured by their own
// distribution function, so that each is uniform between 0 and 1, and held as
// densities at the Gauss-Legendre nodes of the zones.
type carried struct {
	*automaton
	nodes     int
	width     []float64 // of each zone, its probability
	weight    []float64 // of each node, for a width of 1
	below     [][]float64
	mass, new []float64 // state by zone by node
	started   bool
}

func newCarried(a *automaton, trend int, shift float64) *carried {
	nodes := max(carriedNodes, min(trend, 20)) // a trend of 20 never comes
	size := a.states() * a.zones() * nodes
	c := &carried{
		automaton: a, nodes: nodes, width: make([]float64, a.zones()), weight: make([]float64, nodes),
		mass: make([]float64, size), new: make([]float64, size),
	}
	for i := range c.width {
		c.width[i] = between(a.cuts[i], a.cuts[i+1], shift)
	}
	at := make([]float64, nodes)
	quad.Legendre{}.FixedLocations(at, c.weight, 0, 1)
	c.below = integrals(at)
	return c
}

// integrals returns the integrals from 0 to each node of the polynomials that
// are 1 at one node and 0 at the others.
func integrals(at []float64) [][]float64 {
	n := len(at)
	inner, weight := make([]float64, n), make([]float64, n)
	out := make([][]float64, n)
	for k := range out {
		out[k] = make([]float64, n)
		quad.Legendre{}.FixedLocations(inner, weight, 0, at[k])
		for j := range n {
			for q, x := range inner {
				basis := 1.0
				for i, other := range at {
					if i != j {
						basis *= (x - other) / (at[j] - other)
					}
				}
				out[k][j] += weight[q] * basis
			}
		}
	}
	return out
}

// advance adds a point and returns the probability of a first signal there.
func (c *carried) advance() float64 {
	clear(c.new)
	zones := c.zones()
	signal := 0.0
	if !c.started {
		// No point before: both steps lead the same way.
		c.started = true
		for z := range zones {
			signal += c.spread(0, z, 0, 1)
		}
		c.mass, c.new = c.new, c.mass
		return signal
	}
	for s := range c.states() {
		for z := range zones {
			block := c.mass[(s*zones+z)*c.nodes:][:c.nodes]
			mass := 0.0
			for i, d := range block {
				mass += c.weight[i] * d
			}
			if mass == 0 {
				continue
			}
			mass *= c.width[z]
			for to := range z {
				signal += c.spread(s, to, 0, mass)
			}
			for to := z + 1; to < zones; to++ {
				signal += c.spread(s, to, 1, mass)
			}
			signal += c.within(s, z, block, mass)
		}
	}
	c.mass, c.new = c.new, c.mass
	return signal
}

// spread moves mass from a state to a whole zone by a step down (0) or up (1).
func (c *carried) spread(state, zone, step int, mass float64) (signal float64) {
	to := c.moves[state*c.symbols+2*zone+step]
	if to == signalled {
		return mass * c.width[zone]
	}
	block := c.new[(int(to)*c.zones()+zone)*c.nodes:][:c.nodes]
	for i := range block {
		block[i] += mass
	}
	return 0
}

// within moves a density to the values below and above in the same zone.
func (c *carried) within(state, zone int, density []float64, mass float64) (signal float64) {
	for step := range 2 {
		to := c.moves[state*c.symbols+2*zone+step]
		var block []float64
		if to != signalled {
			block = c.new[(int(to)*c.zones()+zone)*c.nodes:][:c.nodes]
		}
		for k := range c.nodes {
			sum := 0.0
			for j, d := range density {
				sum += c.below[k][j] * d
			}
			sum *= c.width[zone]
			if step == 0 {
				sum = mass - sum // a step down comes from above
			}
			if block == nil {
				signal += c.weight[k] * sum * c.width[zone]
			} else {
				block[k] += sum
			}
		}
	}
	return signal
}
