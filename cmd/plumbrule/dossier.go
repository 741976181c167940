package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"plumbrule/records/calendar"
)

// newDossierCommand makes the verb for the pack of one device: what audit writes, with every reading of its checks.
func newDossierCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "dossier DEVICE --into FOLDER",
		Short:   "everything about one device, as a folder to hand over",
		GroupID: groupCloser,
		Long: "Writes for one device what audit writes for all: identity, status over time, charts, every reading of its checks with its verdict, " +
			"overdue periods, signals and what was done, corrections and rewritten records, uncertainties, interval, traceability, and the records " +
			"themselves, with a manifest. From the same commit and for the same instant it comes out the same.",
		Example: "  plumbrule dossier scan-03 --into ../scan-03 --at 2026-11-02T07:00",
		Annotations: seeAlso(statuses(
			"0", "the folder was written",
			"2", "there is no such device, or the folder is not empty",
			"3", "records cannot be read or used, or the folder cannot be written",
		), "audit", "card", "history"),
		ValidArgsFunction: e.completeDevices,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused(fmt.Sprintf("%s named, expected one", counted(len(args), "device")), `"plumbrule status" lists the devices`)
			}
			return nil
		},
	}
	f := flagsOf(cmd)
	no := false
	o := &auditOptions{gaps: &no, strict: &no, against: new(string)}
	o.into = f.text("into", "write it to this new or empty `FOLDER`")
	o.from = readFlag(f, "from", "first `DATE` of the period; a year before the instant if not given", calendar.ParseDate)
	o.pdf = f.yes("pdf", "print the page to audit.pdf too, by Chromium")
	o.instant = f.instant()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *o.into == "" {
			return misused("no --into, expected the folder to write", `name one that does not exist yet, for example "plumbrule dossier scan-03 --into ../scan-03"`)
		}
		return e.audit(cmd, o, args)
	}
	return cmd
}
