package main

import (
	"errors"
	"fmt"
	"io/fs"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// artifact is the bar's name in the records.
const artifact = "bar-800"

// morning is the day of the scans.
func morning() calendar.Date { return calendar.Date{Year: 2026, Month: 11, Day: 2} }

// reference is the bar by its certificate, at 20 °C in millimetres.
type reference struct {
	certificate          string // its number
	diameterA, diameterC float64
	distance             float64
	perKelvin            float64 // by which all of it grows, as the record states it for the bar
}

// warm is a length of the bar at a temperature.
func (r reference) warm(length, celsius float64) float64 {
	return length + float64(float64(length*r.perKelvin)*(celsius-20))
}

// certified reads what the bar is from the records: the certificate in force on the morning.
func certified(site fs.FS) (reference, error) {
	set, _ := records.Load(site, records.Options{})
	bar := set.Artifacts[artifact]
	if bar == nil {
		return reference{}, errors.New("no readable record of artifact " + artifact)
	}
	r := reference{perKelvin: bar.Expansion.PerKelvin()}
	for _, c := range set.Certificates[artifact] {
		if c.Date.After(morning()) || !c.Review.InForce() {
			continue
		}
		r.certificate = c.Number
		for feature, to := range map[string]*float64{"A": &r.diameterA, "C": &r.diameterC, "A-C": &r.distance} {
			v := c.Value(feature)
			if v == nil {
				return reference{}, fmt.Errorf("certificate %s has no value for feature %s", c.Number, feature)
			}
			*to = v.Value.Millimetres()
		}
	}
	if r.certificate == "" {
		return reference{}, fmt.Errorf("no certificate of %s in force on %s", artifact, morning())
	}
	return r, nil
}
