package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
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
	scans                                            *[]string
	scanUnit                                         *parsed[string]
	spray                                            *parsed[quantity.Length]
	picture                                          *parsed[string]
}

func newRecordCheckCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check DEVICE",
		Short: "record a check from scans or typed readings",
		Long: "Readings are what the device indicated, one or more for each feature, each a new measurement: typed, or fitted from scans of the " +
			"artifact's spheres, each scan giving one value of every feature (--scan bar-1.ply --scan bar-2.ply). They are judged at once; a failed check is recorded like any other, " +
			"and repeated as a second record.\n\n" +
			"The record names each scan by its SHA-256; the scan itself is copied to where the site keeps scans, unless it lies there already.",
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
		scans:       flags.list("scan", "`FILE` of a scan to fit the spheres in; once for each repeat"),
		scanUnit:    readFlag(flags, "scan-unit", "`UNIT` of the scans' numbers, where the format has none: "+strings.Join(scanUnits(), ", "), oneOf(scanUnits()...)),
		spray:       flags.length("dulling-spray", "`THICKNESS` of a matting layer on the spheres"),
		picture:     readFlag(flags, "picture", "draw the residuals of the fits into a `FILE`, .svg or .png", pictureName),
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
		check, err := r.check(cmd.Context(), args, &f)
		if err != nil {
			return err
		}
		return r.finish(cmd, records.CheckPath(check, r.set.Site.Zone), check, check.Device)
	}
	return cmd
}

// check makes the record from flags and answers.
func (r *recording) check(ctx context.Context, args []string, f *checkFlags) (*records.Check, error) {
	device, err := r.subject(args, "device", sortedIDs(r.set.Devices))
	if err != nil {
		return nil, err
	}
	c := &records.Check{
		Device: device, Entered: r.now, Unit: *f.unit, Compensated: *f.compensated, Purpose: *f.purpose,
		Note: *f.note, Amends: *f.amends, Reason: *f.reason, Revision: *f.revision,
	}
	old, err := r.amended(c, f)
	if err != nil {
		return nil, err
	}
	if *f.at != "" || old == nil {
		if c.Time, err = r.instant(*f.at); err != nil {
			return nil, err
		}
	}
	if c.Procedure, err = answered(r, question{"procedure", firstOf(*f.procedure, c.Procedure), "the procedure followed", r.proceduresOf(device)},
		oneOfIDs("procedure", sortedIDs(r.set.Procedures))); err != nil {
		return nil, err
	}
	procedure := r.set.Procedures[c.Procedure]
	if c.Revision == "" {
		c.Revision = procedure.Revision
	}
	if c.Artifact, err = answered(r, question{"artifact", firstOf(*f.artifact, c.Artifact), "the artifact used", r.artifactsOf(procedure)},
		oneOfIDs("artifact", sortedIDs(r.set.Artifacts))); err != nil {
		return nil, err
	}
	if c.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who measured"}, anyText); err != nil {
		return nil, err
	}
	if c.Unit == "" {
		c.Unit = r.set.Site.Unit
	}
	if err := r.conditions(c, f); err != nil {
		return nil, err
	}
	if len(*f.scans) > 0 {
		if err := r.scanned(ctx, c, procedure, f); err != nil {
			return nil, err
		}
	} else if f.scanUnit.given() || f.spray.given() || f.picture.given() {
		return nil, misused("--scan-unit, --dulling-spray or --picture without --scan, expected a scan", "name the scan, or leave them out")
	}
	if old != nil {
		return c, r.corrected(c, f)
	}
	return c, r.readings(c, procedure, f)
}

// conditions takes the artifact's temperature from flags, or asks for it.
func (r *recording) conditions(c *records.Check, f *checkFlags) error {
	if f.temperature.given() {
		c.Conditions.ArtifactTemperature, c.Conditions.Stated = f.temperature.value, true
	}
	if f.temperatureUncertainty.given() {
		c.Conditions.TemperatureUncertainty = f.temperatureUncertainty.value
	}
	if c.Compensated || r.ask.in == nil {
		return nil // what is missing is then refused with the rest
	}
	if !c.Conditions.Stated {
		var err error
		if c.Conditions.ArtifactTemperature, err = answered(r, question{flag: "temperature", text: "temperature of the artifact, such as 21.4 °C"}, quantity.ParseTemperature); err != nil {
			return err
		}
		c.Conditions.Stated = true
	}
	if c.Conditions.TemperatureUncertainty.IsZero() {
		var err error
		if c.Conditions.TemperatureUncertainty, err = answered(r, question{flag: "temperature-uncertainty", text: "its uncertainty, such as 0.3 °C (k = 2)"},
			quantity.ParseTemperatureUncertainty); err != nil {
			return err
		}
	}
	return nil
}

// instant reads when something happened; empty means now. A bare day would leave the time of day to be guessed.
func (r *recording) instant(text string) (time.Time, error) {
	const flag = "time"
	if text == "" {
		return r.now, nil
	}
	if _, err := calendar.ParseDate(text); err == nil {
		return time.Time{}, misused(fmt.Sprintf("--%s: %q says the day and not the time, expected both", flag, text), "write for example "+text+"T08:12, site time")
	}
	return r.env.instantOf(flag, text, r.set.Site)
}
