package quantity

import "testing"

func benchmarkParse[T any](b *testing.B, text string, parse func(string) (T, error)) {
	b.Helper()
	b.Run(text, func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := parse(text); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkParse(b *testing.B) {
	benchmarkParse(b, "29.9990 mm", ParseLength)
	benchmarkParse(b, "21.4 °C", ParseTemperature)
	benchmarkParse(b, "11.5e-6/K", ParseExpansion)
	benchmarkParse(b, "0.6 µm (k = 2.1, ν = 12)", ParseLengthUncertainty)
	benchmarkParse(b, "12 months", ParseInterval)
	benchmarkParse(b, "min(25 µm + 50 µm/m, 120 µm)", ParseMPE)
}

func BenchmarkMPEAt(b *testing.B) {
	m := mustMPE(b, "min((25 + L/20) µm, 120 µm)")
	for _, length := range []Length{Metres(2.6), Millimetres(800.0150000000001)} {
		b.Run(length.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.At(length); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
