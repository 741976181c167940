package expression

import "math"

// Evaluator evaluates the measurand for many trials at a time. Its vectors are reused from block to block and stay in a
// processor's cache if the block does. It is not safe for concurrent use.
type Evaluator struct {
	inputs       [][]float64
	instructions []instruction
	size         int
	result       []float64
}

// instruction is a step with its vectors. An operand that is the same in all trials is a number.
type instruction struct {
	op             operation
	into, a, b     []float64
	constA, constB bool
	valueA, valueB float64
	checkA, checkB bool // look for infinite operands before
	checkInto      bool // and for results that are no number
}

// Evaluator returns one for blocks of up to size trials. Inputs whose fixed is a number have that value in all trials; NaN
// marks those that vary.
func (m *Model) Evaluator(size int, fixed []float64) *Evaluator {
	result := m.results[0]
	b := &evaluatorBuilder{m: m, e: &Evaluator{size: size, inputs: make([][]float64, len(m.inputs))}, registers: make([][]float64, len(m.steps))}
	b.lastUse(result)
	b.constants(fixed)
	for i := range m.steps[:result+1] {
		switch {
		case b.last[i] < 0 || b.isConstant[i]:
		case i < len(m.inputs):
			b.registers[i] = b.vector()
			b.e.inputs[i] = b.registers[i]
		default:
			b.instruct(i)
		}
	}
	if b.isConstant[result] {
		b.e.result = b.filled(b.value[result])
	} else {
		b.e.result = b.registers[result]
	}
	return b.e
}

// Input returns the vector to be filled with an input's values before each run; nil for an input that is fixed or that the
// measurand does not depend on. What it holds after a run is of no use.
func (e *Evaluator) Input(i int) []float64 { return e.inputs[i] }

// Run evaluates the first n trials of the block. The result is valid until the next run; ok is false if any of the trials,
// or anything that was reckoned on the way to it, is not finite.
func (e *Evaluator) Run(n int) (result []float64, ok bool) {
	ok = true
	for i := range e.instructions {
		s := &e.instructions[i]
		if s.checkA && !finite(s.a[:n]) || s.checkB && !finite(s.b[:n]) {
			ok = false
		}
		s.run(n)
		if s.checkInto && !finite(s.into[:n]) {
			ok = false
		}
	}
	return e.result[:n], ok && finite(e.result[:n])
}

// finite reports whether all are: zero times infinity is no number, and no number stays none in any sum.
func finite(v []float64) bool {
	var s0, s1, s2, s3 float64
	for len(v) >= 4 {
		s0 += v[0] * 0
		s1 += v[1] * 0
		s2 += v[2] * 0
		s3 += v[3] * 0
		v = v[4:]
	}
	for _, x := range v {
		s0 += x * 0
	}
	return s0+s1+s2+s3 == 0
}

type evaluatorBuilder struct {
	m          *Model
	e          *Evaluator
	last       []int // step that needs this one last; -1: none
	isConstant []bool
	value      []float64 // of a constant step
	registers  [][]float64
	free       [][]float64
	shared     map[uint64][]float64 // vectors of one value, never written again
}

// lastUse finds how long each step's vector must be kept; the result's for ever.
func (b *evaluatorBuilder) lastUse(result int32) {
	b.last = make([]int, len(b.m.steps))
	for i, needed := range b.m.needed(result) {
		b.last[i] = -1
		if s := &b.m.steps[i]; needed && s.op > variable {
			b.last[s.a] = i
			if s.op.operands() == 2 {
				b.last[s.b] = i
			}
		}
	}
	b.last[result] = len(b.m.steps)
}

// constants finds the steps that are the same in all trials. One that is no number is left to the trials, which then tell.
func (b *evaluatorBuilder) constants(fixed []float64) {
	n := len(b.m.steps)
	b.isConstant, b.value = make([]bool, n), make([]float64, n)
	for i := range b.m.steps {
		switch s := &b.m.steps[i]; {
		case s.op == constant:
			b.isConstant[i], b.value[i] = true, s.value
		case s.op == variable:
			b.isConstant[i], b.value[i] = !math.IsNaN(fixed[i]), fixed[i]
		case b.isConstant[s.a] && (s.op.operands() == 1 || b.isConstant[s.b]):
			v := apply(s.op, b.value[s.a], b.value[s.b])
			b.isConstant[i], b.value[i] = !math.IsNaN(v) && !math.IsInf(v, 0), v
		}
	}
}

func (b *evaluatorBuilder) vector() []float64 {
	if n := len(b.free); n > 0 {
		v := b.free[n-1]
		b.free = b.free[:n-1]
		return v
	}
	return make([]float64, b.e.size)
}

func (b *evaluatorBuilder) filled(value float64) []float64 {
	v := make([]float64, b.e.size)
	for i := range v {
		v[i] = value
	}
	return v
}

// instruct adds the instruction of a step. Its result may take the place of an operand that nobody needs any more; inputs
// are filled anew for every block.
func (b *evaluatorBuilder) instruct(i int) {
	s := &b.m.steps[i]
	in := instruction{op: s.op, checkInto: !s.op.linear()}
	in.a, in.constA, in.valueA = b.operand(s.a, i)
	in.checkA = !s.op.linear() && !in.constA && b.m.steps[s.a].op.linear()
	if s.op.operands() == 2 {
		if s.b == s.a {
			in.b, in.constB, in.valueB = in.a, in.constA, in.valueA
		} else {
			in.b, in.constB, in.valueB = b.operand(s.b, i)
		}
		in.checkB = !s.op.linear() && !in.constB && b.m.steps[s.b].op.linear()
	}
	if in.constA && (in.constB || s.op.operands() == 1 || !s.op.mixes()) {
		in.a, in.constA = b.sharedVector(in.valueA), false
	}
	if in.constB && !s.op.mixes() && s.op != power {
		in.b, in.constB = b.sharedVector(in.valueB), false
	}
	in.into = b.vector()
	b.registers[i] = in.into
	b.e.instructions = append(b.e.instructions, in)
}

// operand returns the vector of a step, free for reuse if step i is the last to need it, or its constant.
func (b *evaluatorBuilder) operand(step int32, i int) (vector []float64, isConstant bool, value float64) {
	if b.isConstant[step] {
		return nil, true, b.value[step]
	}
	if b.last[step] == i {
		b.free = append(b.free, b.registers[step])
	}
	return b.registers[step], false, 0
}

func (b *evaluatorBuilder) sharedVector(value float64) []float64 {
	if b.shared == nil {
		b.shared = map[uint64][]float64{}
	}
	key := math.Float64bits(value)
	if b.shared[key] == nil {
		b.shared[key] = b.filled(value)
	}
	return b.shared[key]
}
