package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"plumbrule/records"
	"plumbrule/records/quantity"
)

// readings takes values and paths from flags, or asks for every feature of the procedure.
func (r *recording) readings(c *records.Check, p *records.Procedure, f *checkFlags) error {
	entries := *f.readings
	if len(entries) == 0 && len(c.Readings) == 0 {
		for i := range p.Features {
			name := p.Features[i].Name
			text, err := answered(r, question{flag: "reading", text: fmt.Sprintf("%s of %s in %s", counted(max(1, p.Features[i].Repeats), "reading"), name, c.Unit)},
				func(text string) (string, error) {
					_, _, err := numbers(text)
					return text, err
				})
			if err != nil {
				return err
			}
			entries = append(entries, name+"="+text)
		}
	}
	fitted := len(c.Readings)
	if err := r.typed(c, entries); err != nil {
		return err
	}
	for _, typed := range c.Readings[fitted:] {
		if slices.ContainsFunc(c.Readings[:fitted], func(x records.Reading) bool { return x.Feature == typed.Feature }) {
			return misused(fmt.Sprintf("--reading: %s was fitted from the scan as well, expected one or the other", typed.Feature), "leave out the typed reading")
		}
	}
	if err := r.paths(c, *f.paths); err != nil {
		return err
	}
	return r.askPaths(c, p)
}

// typed reads FEATURE=VALUES.
func (r *recording) typed(c *records.Check, entries []string) error {
	for _, entry := range entries {
		feature, text, found := strings.Cut(entry, "=")
		if !found || feature == "" {
			return misused(fmt.Sprintf("--reading: %q, expected FEATURE=VALUES", entry), "write for example A=29.9984,30.0011")
		}
		values, texts, err := numbers(text)
		if err != nil {
			return err
		}
		c.Readings = append(c.Readings, records.Reading{Feature: feature, Values: values, Typed: texts})
	}
	return nil
}

// askPaths asks for the paths that limits count and flags have not given.
func (r *recording) askPaths(c *records.Check, p *records.Procedure) error {
	device, artifact := r.set.Devices[c.Device], r.set.Artifacts[c.Artifact]
	if r.ask.in == nil || device == nil || artifact == nil {
		return nil
	}
	for i := range c.Readings {
		feature := artifact.Feature(c.Readings[i].Feature)
		if feature == nil || !c.Readings[i].Path.IsZero() {
			continue
		}
		limit := device.LimitFor(records.JudgedQuantity(p, feature), feature.Nominal.Millimetres())
		if limit == nil || !limit.CountsPath() {
			continue
		}
		var err error
		if c.Readings[i].Path, err = answered(r, question{flag: "path", text: "path travelled while measuring " + feature.Name + ", such as 2.6 m"}, pathLength); err != nil {
			return err
		}
	}
	return nil
}

func (r *recording) paths(c *records.Check, entries []string) error {
	for _, entry := range entries {
		feature, text, found := strings.Cut(entry, "=")
		i := slices.IndexFunc(c.Readings, func(x records.Reading) bool { return x.Feature == feature })
		if !found || i < 0 {
			return misused(fmt.Sprintf("--path: %q, expected FEATURE=LENGTH with a feature that was read", entry), "write for example A-C=2.6m")
		}
		length, err := pathLength(text)
		if err != nil {
			return spoken("--path", err)
		}
		c.Readings[i].Path = length
	}
	return nil
}

// numbers reads figures apart by commas or blanks.
func numbers(text string) (values []float64, typed []string, err error) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, nil, misused(fmt.Sprintf("--reading: %q is no number", word), "write figures with a decimal point, apart by commas, without unit: the unit is that of --unit")
		}
		values, typed = append(values, v), append(typed, word)
	}
	if len(values) == 0 {
		return nil, nil, misused("--reading: no value, expected at least one", "write for example A=29.9984,30.0011")
	}
	return values, typed, nil
}

// pathLength reads a path; a figure without unit is more likely metres than anything else, but is not taken for it.
func pathLength(text string) (quantity.Length, error) {
	l, err := quantity.ParseLength(text)
	if fault, ok := errors.AsType[*quantity.Error](err); ok && fault.NoUnit {
		fault.Mend = fmt.Sprintf("write the unit: %q", strings.TrimSpace(text)+" m")
	}
	return l, err
}

// spoken puts an unreadable quantity into a usage error.
func spoken(flag string, err error) error {
	what, mend := mistake(err)
	return misused(flag+": "+what, mend)
}
