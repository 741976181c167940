package random

import "math"

// Sampler draws blocks of variates from one stream. It is not safe for concurrent use.
type Sampler struct {
	g      Generator
	z      *ziggurat
	bits   []uint64
	second []float64 // further normals of a block
}

// NewSampler returns a sampler that draws nothing before [Sampler.Restart].
func NewSampler() *Sampler { return &Sampler{z: newZiggurat()} }

// Restart turns to another stream.
func (s *Sampler) Restart(g Generator) { s.g = g }

func (s *Sampler) block(n int) []uint64 {
	if cap(s.bits) < n {
		s.bits = make([]uint64, n)
	}
	s.bits = s.bits[:n]
	s.g.fill(s.bits)
	return s.bits
}

// unit turns 64 random bits into a number of the open interval (0, 1): an odd multiple of 2^-53.
func unit(bits uint64) float64 { return (float64(int64(bits>>12)) + 0.5) * (1.0 / (1 << 52)) }

// Uniform fills a block with numbers from the open interval (0, 1).
func (s *Sampler) Uniform(into []float64) {
	bits := s.block(len(into))
	into = into[:len(bits)]
	for i, b := range bits {
		into[i] = unit(b)
	}
}

// Normal fills a block with standard normal numbers, mean 0 and standard deviation 1.
func (s *Sampler) Normal(into []float64) {
	bits, z := s.block(len(into)), s.z
	into = into[:len(bits)]
	for i, b := range bits {
		strip, draw := b&(layers-1), b>>11
		x := (float64(int64(draw)) + 0.5) * z.scale[strip]
		if draw >= z.inside[strip] {
			x = s.outside(strip, x)
		}
		into[i] = signed(x, b)
	}
}

// signed gives x the sign that bit 8 says, which neither strip nor draw uses.
func signed(x float64, bits uint64) float64 {
	return math.Float64frombits(math.Float64bits(x) | bits&(1<<8)<<(63-8))
}

// normal draws one standard normal number.
func (s *Sampler) normal() float64 {
	b := s.g.Uint64()
	strip, draw := b&(layers-1), b>>11
	x := (float64(int64(draw)) + 0.5) * s.z.scale[strip]
	if draw >= s.z.inside[strip] {
		x = s.outside(strip, x)
	}
	return signed(x, b)
}

// outside finishes a draw that fell where the strip reaches over the density, or beyond it into the tail.
func (s *Sampler) outside(strip uint64, x float64) float64 {
	for {
		if strip == 0 {
			return s.tail()
		}
		low, high := s.z.height[strip], s.z.height[strip+1]
		if low+float64(unit(s.g.Uint64())*(high-low)) < density(x) {
			return x
		}
		b := s.g.Uint64()
		draw := b >> 11
		strip = b & (layers - 1)
		x = (float64(int64(draw)) + 0.5) * s.z.scale[strip]
		if draw < s.z.inside[strip] {
			return x
		}
	}
}

// tail draws from the normal density beyond tailStart: Marsaglia 1964.
func (s *Sampler) tail() float64 {
	for {
		beyond := -math.Log(unit(s.g.Uint64())) / tailStart
		if -2*math.Log(unit(s.g.Uint64())) > beyond*beyond {
			return tailStart + beyond
		}
	}
}

// Student fills a block from Student's t distribution with nu degrees of freedom, above 0, which need not be whole: a
// standard normal number over the root of an independent chi-squared one divided by nu.
func (s *Sampler) Student(into []float64, nu float64) {
	s.gammas(into, nu/2)
	if cap(s.second) < len(into) {
		s.second = make([]float64, len(into))
	}
	z := s.second[:len(into)]
	s.Normal(z)
	for i, g := range into {
		into[i] = z[i] * math.Sqrt(nu/2/g)
	}
}

// gammas fills a block from the gamma distribution of this shape and scale 1.
//
// Source: Marsaglia and Tsang, "A simple method for generating gamma variables", ACM Trans. Math. Softw. 26 (2000) 363,
// with their remark for a shape below 1.
func (s *Sampler) gammas(into []float64, shape float64) {
	full := shape
	if shape < 1 {
		full++
	}
	d := full - 1.0/3
	c := 1 / math.Sqrt(9*d)
	s.Normal(into)
	bits := s.block(len(into))
	for i, x := range into {
		u := unit(bits[i])
		for {
			v := 1 + float64(c*x)
			v = v * v * v
			square := x * x
			if v > 0 && (u < 1-0.0331*square*square || math.Log(u) < square/2+float64(d*(1-v+math.Log(v)))) {
				into[i] = d * v
				break
			}
			x, u = s.normal(), unit(s.g.Uint64())
		}
	}
	if shape < 1 {
		for i := range into {
			into[i] *= math.Pow(unit(s.g.Uint64()), 1/shape)
		}
	}
}

// Arcsine fills a block from the arcsine distribution on (−1, 1), that of the sine of an angle of which nothing is known.
//
// The direction of two independent normal numbers is such an angle; the cosine of twice it needs no trigonometry.
func (s *Sampler) Arcsine(into []float64) {
	s.Normal(into)
	if cap(s.second) < len(into) {
		s.second = make([]float64, len(into))
	}
	y := s.second[:len(into)]
	s.Normal(y)
	for i, x := range into {
		xx, yy := x*x, y[i]*y[i]
		into[i] = (xx - yy) / (xx + yy)
	}
}
