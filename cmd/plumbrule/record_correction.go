package main

import (
	"fmt"
	"slices"

	"plumbrule/records"
)

// firstOf returns the first text that is not empty.
func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

// amended fills a correction with what the amended check says: what the flags do not mention was not mistaken, above all not
// the time at which it was measured.
func (r *recording) amended(c *records.Check, f *checkFlags) (*records.Check, error) {
	if c.Amends == "" {
		return nil, nil //nolint:nilnil // no correction is an answer
	}
	for _, k := range r.set.Checks[c.Device] {
		if k.File != c.Amends && k.File != c.Amends+".toml" {
			continue
		}
		c.Time, c.Procedure, c.Artifact, c.Conditions = k.Time, k.Procedure, k.Artifact, k.Conditions
		c.Scans, c.Extraction, c.Fits = k.Scans, k.Extraction, slices.Clone(k.Fits)
		c.Revision, c.Unit, c.Purpose = firstOf(c.Revision, k.Revision), firstOf(c.Unit, k.Unit), firstOf(c.Purpose, k.Purpose)
		c.Compensated = (c.Compensated || k.Compensated) && !f.temperature.given()
		c.Readings = append(c.Readings, k.Readings...)
		return k, nil
	}
	return nil, misused(fmt.Sprintf("--amends: there is no check %s of %s", c.Amends, c.Device), "write the path of its record, from the repository's root")
}

// corrected puts the readings and paths of the flags in the place of the amended ones. What is typed was not fitted from a scan:
// the fits of its feature go, the others stay.
func (r *recording) corrected(c *records.Check, f *checkFlags) error {
	kept := c.Readings
	c.Readings = nil
	if err := r.typed(c, *f.readings); err != nil {
		return err
	}
	given := c.Readings
	c.Readings = kept
	for _, g := range given {
		i := slices.IndexFunc(c.Readings, func(x records.Reading) bool { return x.Feature == g.Feature })
		if i < 0 {
			c.Readings = append(c.Readings, g)
			continue
		}
		c.Readings[i].Values, c.Readings[i].Typed = g.Values, g.Typed
		c.Fits = slices.DeleteFunc(c.Fits, func(x records.Fit) bool { return x.Feature == g.Feature })
	}
	return r.paths(c, *f.paths)
}
