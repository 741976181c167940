package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/quantity"
)

// checkFlags are the flags of record check.
type checkFlags struct {
	commonFlags
	procedure, artifact, unit, purpose, revision, at *string
	readings, paths                                  *[]string
	temperature                                      *parsed[quantity.Temperature]
	temperatureUncertainty                           *parsed[quantity.TemperatureUncertainty]
	compensated                                      *bool
}

func newRecordCheckCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check DEVICE",
		Short: "record a check from typed readings",
		Long: "Readings are what the device indicated, one or more for each feature, each a new measurement. They are judged at " +
			"once; a failed check is recorded like any other, and repeated as a second record.",
		Example: "  plumbrule record check scan-01 --procedure bar-weekly --artifact bar-800 --by mk \\\n" +
			"    --temperature \"21.4 °C\" --temperature-uncertainty \"0.3 °C (k = 2)\" \\\n" +
			"    --reading A=29.9984,30.0011,29.9990 --reading A-C=800.031 --path A-C=2.6m",
		Annotations: seeAlso(statuses("0", "the record was written, whatever its verdict", "3", "the record would contradict others, or cannot be written"), "status", "explain"),
	}
	flags := flagsOf(cmd)
	f := checkFlags{
		procedure:   flags.text("procedure", "`ID` of the procedure followed"),
		artifact:    flags.text("artifact", "`ID` of the artifact used"),
		at:          flags.text("time", "the `INSTANT` it was measured; now if not given"),
		readings:    flags.list("reading", "what was indicated, as `FEATURE=VALUES`, values apart by commas; once for each feature"),
		paths:       flags.list("path", "path travelled while measuring, as `FEATURE=LENGTH`, such as A-C=2.6m"),
		unit:        flags.text("unit", "`UNIT` of the readings; the site's if not given"),
		temperature: readFlag(flags, "temperature", "`TEMPERATURE` of the artifact, such as \"21.4 °C\"", quantity.ParseTemperature),
		temperatureUncertainty: readFlag(flags, "temperature-uncertainty", "its `UNCERTAINTY`, such as \"0.3 °C (k = 2)\" or \"±0.3 °C (rectangular)\"",
			quantity.ParseTemperatureUncertainty),
		compensated: flags.yes("compensated", "the readings are already those at 20 °C"),
		purpose:     flags.text("purpose", "why, in a `WORD`: as found, as left or acceptance; the routine check if not given"),
		revision:    flags.text("revision", "`REVISION` of the procedure; the current one if not given"),
	}
	f.commonFlags = flags.common()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		check, err := r.check(args, &f)
		if err != nil {
			return err
		}
		return r.finish(cmd, records.CheckPath(check, r.set.Site.Zone), check, check.Device)
	}
	return cmd
}

// check makes the record from flags and answers.
func (r *recording) check(args []string, f *checkFlags) (*records.Check, error) {
	device, err := r.subject(args, "device", sortedIDs(r.set.Devices))
	if err != nil {
		return nil, err
	}
	c := &records.Check{
		Device: device, Entered: r.now, Unit: *f.unit, Compensated: *f.compensated, Purpose: *f.purpose,
		Note: *f.note, Amends: *f.amends, Reason: *f.reason, Revision: *f.revision,
	}
	if c.Time, err = r.instant(*f.at); err != nil {
		return nil, err
	}
	if c.Procedure, err = r.need("procedure", *f.procedure, "the procedure followed", r.proceduresOf(device)...); err != nil {
		return nil, err
	}
	procedure := r.set.Procedures[c.Procedure]
	if procedure == nil {
		return nil, misused(fmt.Sprintf("there is no procedure %q", c.Procedure), nearOf(c.Procedure, sortedIDs(r.set.Procedures)))
	}
	if c.Revision == "" {
		c.Revision = procedure.Revision
	}
	if c.Artifact, err = r.need("artifact", *f.artifact, "the artifact used", r.artifactsOf(procedure)...); err != nil {
		return nil, err
	}
	if c.By, err = r.need("by", *f.by, "initials of who measured"); err != nil {
		return nil, err
	}
	if c.Unit == "" {
		c.Unit = r.set.Site.Unit
	}
	if err := r.conditions(c, f); err != nil {
		return nil, err
	}
	return c, r.readings(c, procedure, f)
}

// conditions takes the artifact's temperature from flags, or asks for it.
func (r *recording) conditions(c *records.Check, f *checkFlags) error {
	if f.temperature.given() {
		c.Conditions.ArtifactTemperature, c.Conditions.Stated = f.temperature.value, true
	}
	c.Conditions.TemperatureUncertainty = f.temperatureUncertainty.value
	if c.Compensated || r.ask.in == nil {
		return nil // what is missing is then refused with the rest
	}
	if !c.Conditions.Stated {
		text, err := r.ask.line("temperature of the artifact, such as 21.4 °C", nil)
		if err != nil {
			return err
		}
		if c.Conditions.ArtifactTemperature, err = quantity.ParseTemperature(text); err != nil {
			return spoken("temperature", err)
		}
		c.Conditions.Stated = true
	}
	if c.Conditions.TemperatureUncertainty.IsZero() {
		text, err := r.ask.line("its uncertainty, such as 0.3 °C (k = 2)", nil)
		if err != nil {
			return err
		}
		if c.Conditions.TemperatureUncertainty, err = quantity.ParseTemperatureUncertainty(text); err != nil {
			return spoken("uncertainty", err)
		}
	}
	return nil
}

// readings takes values and paths from flags, or asks for every feature of the procedure.
func (r *recording) readings(c *records.Check, p *records.Procedure, f *checkFlags) error {
	entries := *f.readings
	if len(entries) == 0 {
		for i := range p.Features {
			text, err := r.need("reading", "", fmt.Sprintf("%s of %s in %s", counted(max(1, p.Features[i].Repeats), "reading"), p.Features[i].Name, c.Unit))
			if err != nil {
				return err
			}
			entries = append(entries, p.Features[i].Name+"="+text)
		}
	}
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
	if err := r.paths(c, *f.paths); err != nil {
		return err
	}
	return r.askPaths(c, p)
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
		text, err := r.ask.line("path travelled while measuring "+feature.Name+", such as 2.6 m", nil)
		if err != nil {
			return err
		}
		if c.Readings[i].Path, err = quantity.ParseLength(text); err != nil {
			return spoken("path", err)
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
		length, err := quantity.ParseLength(text)
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

// spoken puts an unreadable quantity into a usage error.
func spoken(flag string, err error) error {
	what, mend := mistake(err)
	return misused(flag+": "+what, mend)
}

// instant reads when something happened; empty means now.
func (r *recording) instant(text string) (time.Time, error) {
	if text == "" {
		return r.now, nil
	}
	return r.env.instantOf(text, r.set.Site)
}
