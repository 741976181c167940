package chart

// maxPatterns bounds the patterns that are explored, maxMerging the work of
// merging them. The eight tests of Nelson have some 26 000.
const (
	maxPatterns = 100_000
	maxMerging  = 20_000_000
)

// signalled is the state after a signal.
const signalled = -1

// automaton is the run tests as states and moves between them. Its symbols are
// the zones, or each zone with a step down and a step up. State 0 is the start.
type automaton struct {
	cuts    []float64 // borders of the zones
	stepped bool      // steps matter
	moves   []int32   // of state s under symbol k at s·symbols + k
	symbols int
}

// newAutomaton explores the patterns that can be reached.
func newAutomaton(t Tests) (*automaton, error) {
	a := &automaton{cuts: t.cuts(), stepped: t.Trend > 0 || t.Alternation > 0}
	type symbol struct {
		x    float64
		step int
	}
	var alphabet []symbol
	for i := range a.zones() {
		x := inZone(a.cuts[i], a.cuts[i+1])
		if a.stepped {
			alphabet = append(alphabet, symbol{x, -1}, symbol{x, 1})
		} else {
			alphabet = append(alphabet, symbol{x, 0})
		}
	}
	a.symbols = len(alphabet)
	index := map[pattern]int32{{}: 0}
	states := []pattern{{}}
	for s := 0; s < len(states); s++ {
		for _, k := range alphabet {
			step := k.step
			if s == 0 {
				step = 0 // the first point has none before it
			}
			next, signal := states[s].next(t, k.x, step)
			if signal {
				a.moves = append(a.moves, signalled)
				continue
			}
			at, known := index[next]
			if !known {
				if len(states) == maxPatterns {
					return nil, errTooMany()
				}
				at = int32(len(states)) //nolint:gosec // bounded by maxPatterns
				index[next] = at
				states = append(states, next)
			}
			a.moves = append(a.moves, at)
		}
	}
	return a, nil
}

func (a *automaton) zones() int  { return len(a.cuts) - 1 }
func (a *automaton) states() int { return len(a.moves) / a.symbols }

// merge joins the states that no sequence of points tells apart (Moore 1956),
// which saves time later; where it would cost more, it leaves them.
func (a *automaton) merge() {
	class := make([]int32, a.states())
	count := 1
	for round := 1; ; round++ {
		if round*len(class) > maxMerging {
			return
		}
		index := map[string]int32{}
		refined := make([]int32, len(class))
		key := make([]byte, 0, 4*(a.symbols+1))
		for s := range class {
			key = appendInt(key[:0], class[s])
			for _, to := range a.moves[s*a.symbols : (s+1)*a.symbols] {
				if to != signalled {
					to = class[to]
				}
				key = appendInt(key, to)
			}
			at, known := index[string(key)]
			if !known {
				at = int32(len(index)) //nolint:gosec // bounded by maxPatterns
				index[string(key)] = at
			}
			refined[s] = at
		}
		class = refined
		if len(index) == count {
			break
		}
		count = len(index)
	}
	moves := make([]int32, count*a.symbols)
	for s, c := range class {
		for k, to := range a.moves[s*a.symbols : (s+1)*a.symbols] {
			if to != signalled {
				to = class[to]
			}
			moves[int(c)*a.symbols+k] = to
		}
	}
	a.moves = moves
}

func appendInt(b []byte, x int32) []byte {
	return append(b, byte(x), byte(x>>8), byte(x>>16), byte(x>>24))
}

// chain is the probability of each state of an automaton without steps.
type chain struct {
	*automaton
	zone      []float64 // probability of each
	mass, new []float64
}

func newChain(a *automaton, shift float64) *chain {
	c := &chain{automaton: a, zone: make([]float64, a.zones()), mass: make([]float64, a.states()), new: make([]float64, a.states())}
	for i := range c.zone {
		c.zone[i] = between(a.cuts[i], a.cuts[i+1], shift)
	}
	c.mass[0] = 1
	return c
}

// advance adds a point and returns the probability of a first signal there.
func (c *chain) advance() float64 {
	clear(c.new)
	signal := 0.0
	for s, mass := range c.mass {
		if mass == 0 {
			continue
		}
		for k, to := range c.moves[s*c.symbols : (s+1)*c.symbols] {
			if to == signalled {
				signal += mass * c.zone[k]
			} else {
				c.new[to] += mass * c.zone[k]
			}
		}
	}
	c.mass, c.new = c.new, c.mass
	return signal
}
