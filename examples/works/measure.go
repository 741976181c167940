package works

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// shop is the hand-written part of the repository, from which readings are
// made.
type shop struct {
	set *records.Set
}

// true20 returns the size of a feature at 20 °C in millimetres: that of the
// last certificate before the day, whether or not it was still in force, since
// an artifact does not change when its certificate runs out.
func (s shop) true20(artifact, feature string, day calendar.Date) (float64, error) {
	list := s.set.Certificates[artifact]
	for _, l := range slices.Backward(list) {
		if v := l.Value(feature); v != nil && !l.Date.After(day) {
			return v.Value.Millimetres(), nil
		}
	}
	return 0, fmt.Errorf("no certificate of %s before %s has a value for feature %q", artifact, day, feature)
}

// growth returns how much an artifact seems to grow to a device, in 1/K.
func (s shop) growth(artifact, device string) (float64, error) {
	a, d := s.set.Artifacts[artifact], s.set.Devices[device]
	if a == nil || d == nil {
		return 0, fmt.Errorf("no readable records of artifact %s and device %s; mend them first", artifact, device)
	}
	alpha := a.Expansion.PerKelvin()
	if d.Scale.Material {
		alpha -= d.Scale.Expansion.PerKelvin()
	}
	return alpha, nil
}

// streams are the random numbers of one plan, one stream for each purpose, so
// that a further feature leaves the others as they were.
type streams struct {
	clock    draws
	features []draws
}

func (p *plan) streams() streams {
	s := streams{clock: newDraws(p.seed, 0)}
	for i := range p.features {
		s.features = append(s.features, newDraws(p.features[i].seed, uint64(i+1)))
	}
	return s
}

// check makes the check of one day.
func (s shop) check(p *plan, day calendar.Date, random streams) (*records.Check, error) {
	zone := s.set.Site.Zone
	start := time.Date(day.Year, day.Month, day.Day, p.hour, p.minute, 0, 0, zone)
	measured := start.Add(time.Duration(random.clock.below(10)) * time.Minute)
	growth, err := s.growth(p.artifact, p.device)
	if err != nil {
		return nil, err
	}
	celsius := p.celsius(day)
	k := &records.Check{
		Device: p.device, Artifact: p.artifact, Procedure: p.procedure, Unit: "mm", By: p.by,
		Time: measured, Entered: measured.Add(time.Duration(4+random.clock.below(9)) * time.Minute),
		Conditions: records.Conditions{ArtifactTemperature: quantity.Celsius(celsius), Stated: true},
	}
	if k.Conditions.TemperatureUncertainty, err = quantity.ParseTemperatureUncertainty("0.3 °C (k = 2)"); err != nil {
		return nil, err
	}
	for i := range p.features {
		f := &p.features[i]
		size, err := s.true20(p.artifact, f.name, day)
		if err != nil {
			return nil, err
		}
		k.Readings = append(k.Readings, f.read(size, float64(growth*(celsius-20)), p.steps, day, random.features[i]))
	}
	return k, nil
}

// read makes the readings of one feature: its size at the temperature of the
// day, the device's error of that day, and what differs from one reading to
// the next.
func (f *behaviour) read(size20, growth, steps float64, day calendar.Date, random draws) records.Reading {
	r := records.Reading{Feature: f.name}
	warm := size20 + float64(size20*growth)
	today := f.error(day) + float64(f.betweenUM*random.normal())
	for range f.repeats {
		errorUM := today + float64(f.withinUM*random.normal())
		r.Values = append(r.Values, onGrid(warm+errorUM/1000, steps))
	}
	if f.pathM > 0 {
		r.Path = quantity.Metres(onGrid(f.pathM+float64(0.05*random.normal()), 10))
	}
	return r
}
