package random

import "testing"

func BenchmarkDraws(b *testing.B) {
	s := NewSampler()
	s.Restart(NewGenerator(1))
	block := make([]float64, 1000)
	for _, c := range []struct {
		name string
		draw func([]float64)
	}{
		{"uniform", s.Uniform},
		{"normal", s.Normal},
		{"arcsine", s.Arcsine},
		{"student 8", func(x []float64) { s.Student(x, 8) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				c.draw(block)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(block)), "ns/draw")
		})
	}
}
