package works

import (
	"math"
	"math/rand/v2"
	"time"

	"plumbrule/records/calendar"
)

// draws is a stream of random numbers that depends on its seed alone.
type draws struct{ source *rand.PCG }

func newDraws(seed, stream uint64) draws { return draws{rand.NewPCG(seed, stream)} }

// uniform returns a number from 0 to below 1.
func (d draws) uniform() float64 { return float64(d.source.Uint64()>>11) * 0x1p-53 }

// below returns a whole number from 0 to below n.
func (d draws) below(n int) int { return int(d.uniform() * float64(n)) }

// normal returns a number with mean 0 and standard deviation 1 as the sum of
// twelve uniform ones: its bytes hang on no library function, and it never
// leaves ±6, so that no reading of a device in order goes astray.
func (d draws) normal() float64 {
	sum := -6.0
	for range 12 {
		sum += d.uniform()
	}
	return sum
}

// onGrid rounds a reading in millimetres to the device's last digit, counted
// in steps per millimetre.
func onGrid(mm, stepsPerMM float64) float64 { return math.Round(mm*stepsPerMM) / stepsPerMM }

// monthCelsius is the mean temperature of the hall, January to December.
func monthCelsius(m time.Month) float64 {
	return [12]float64{19.4, 19.6, 20.1, 20.7, 21.4, 22.2, 22.8, 22.7, 21.8, 20.9, 20.2, 19.6}[m-1]
}

// celsius is the temperature of a plan's artifact on a day.
func (p *plan) celsius(day calendar.Date) float64 {
	random := newDraws(uint64(day.Year), uint64(day.Month)<<8|uint64(day.Day))
	if p.climate {
		return onGrid(20+float64(0.15*random.normal()), 10)
	}
	return hallCelsius(day, random)
}

// hallCelsius is the temperature of an artifact in the hall on a day, to a
// tenth and between 18 and 24 °C.
func hallCelsius(day calendar.Date, d draws) float64 {
	t := monthCelsius(day.Month) + float64(0.4*d.normal())
	return onGrid(min(max(t, 18), 24), 10)
}
