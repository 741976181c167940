package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"runtime/debug"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/browser"
	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/records/calendar"
)

// auditOptions are the flags of audit.
type auditOptions struct {
	into, against *string
	from          *parsed[calendar.Date]
	pdf, gaps     *bool
	strict        *bool
	instant       instantFlags
}

func newAuditCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "audit [DEVICE…] --into FOLDER\naudit [DEVICE…] --gaps\naudit --against FOLDER",
		Short:   "everything an auditor asks, as a folder to hand over",
		GroupID: groupCloser,
		Long: "Writes a folder that needs nothing beside itself: a page that prints to A4, every table of it as CSV and JSON, the charts, the " +
			"records it was drawn from byte for byte, and their SHA-256 digests as sha256sum reads them. Without devices it is about all of them.\n\n" +
			"The title sheet says from which commit, for which instant and by which command it was made: the same command makes the same bytes. " +
			"What the records cannot show, such as a past that git does not hold or files that are not committed, stands there too.\n\n" +
			"With --against it compares the records with a pack that was handed over before: which of its records were changed since or are " +
			"gone, and whether its commit is still part of the past. Other ends of lines, as git writes them on some machines, are told " +
			"apart.\n\n" +
			"The folder must not exist, or be empty. It appears whole or not at all. A PDF is printed by Chromium, where that is installed; " +
			"its bytes tell the time of printing, so the digests leave it out.",
		Example: `  plumbrule audit --into ../audit-2026 --from 2025-05-02 --at 2026-11-02T07:00

  # one device with everything about it, as the records stood in a commit
  plumbrule audit scan-03 --into ../scan-03 --rev HEAD

  # what would an auditor find, and what would mend it
  plumbrule audit --gaps --at 2026-11-02T07:00

  # is what was handed over last time still there as it was
  plumbrule audit --against audit-2025`,
		Annotations: seeAlso(statuses(
			"0", "the folder was written, or the records were compared",
			"1", "with --strict: something would be found, or something in the earlier pack was rewritten since",
			"2", "there is no such device, or the folder is not empty",
			"3", "records cannot be read or used, or the folder cannot be written",
		), "status", "history", "trace", "selftest"),
		ValidArgsFunction: e.completeDevices,
	}
	f := flagsOf(cmd)
	o := &auditOptions{}
	o.into = f.text("into", "write the pack to this new or empty `FOLDER`")
	o.from = readFlag(f, "from", "first `DATE` of the period; a year before the instant if not given", calendar.ParseDate)
	o.pdf = f.yes("pdf", "print the page to audit.pdf too, by Chromium")
	o.against = f.text("against", "compare the records with the pack in this `FOLDER`, handed over before")
	o.gaps = f.yes("gaps", "list only what an auditor would find, with what would mend it; nothing is written")
	o.instant = f.instant()
	o.strict = f.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case *o.into != "" && *o.against != "":
			return misused("both --into and --against, expected one of the two", "write the pack first, then compare")
		case *o.gaps && (*o.into != "" || *o.against != ""):
			return misused("--gaps with --into or --against, expected one of the three", "the pack has the list too")
		case *o.gaps:
			return e.auditGaps(cmd, o, args)
		case *o.against != "":
			return e.auditAgainst(cmd, o, args)
		case *o.into == "":
			return misused("no --into, expected the folder to write", `name one that does not exist yet, for example "plumbrule audit --into ../audit-2026"`)
		}
		return e.audit(cmd, o, args)
	}
	return cmd
}

// memory is how many bytes a pack may take before they are collected more eagerly. A pack of 200 devices with 100 000 checks
// needs no more; a larger one takes more all the same.
const memory = 440 << 20

func (e env) audit(cmd *cobra.Command, o *auditOptions, args []string) error {
	ctx := cmd.Context()
	if given := debug.SetMemoryLimit(-1); given == math.MaxInt64 { // else somebody has set another one
		defer debug.SetMemoryLimit(debug.SetMemoryLimit(memory))
	}
	if *o.pdf {
		if _, err := browser.Installed(); err != nil {
			return unreadable(err.Error(), "install Chromium, or leave out --pdf and print index.html", err)
		}
	}
	dir, err := filepath.Abs(e.path(*o.into))
	if err != nil {
		return err
	}
	folder, err := pack.Begin(dir)
	if errors.Is(err, pack.ErrTaken) {
		return misused(fmt.Sprintf("--into: %s %s", *o.into, err), "name a new folder")
	}
	if err != nil {
		return notWritten(*o.into, err)
	}
	a, err := e.ground(ctx, o, args)
	if err == nil {
		err = a.write(ctx, folder, *o.pdf)
	}
	if err != nil {
		return errors.Join(err, folder.Abandon())
	}
	if err := folder.Finish(); err != nil {
		return notWritten(*o.into, err)
	}
	a.into, a.count = *o.into, folder.Files()
	if err := e.print(formatOf(cmd), a.answer()); err != nil {
		return err
	}
	return a.invalid()
}

// auditGaps lists what an auditor would find, and writes nothing.
func (e env) auditGaps(cmd *cobra.Command, o *auditOptions, args []string) error {
	a, err := e.ground(cmd.Context(), o, args)
	if err != nil {
		return err
	}
	if err := a.settle(); err != nil {
		return err
	}
	return e.gaps(cmd, a.judged, a.input(), *o.strict)
}

func notWritten(name string, err error) error {
	return unreadable(fmt.Sprintf("%s: not written: %s", name, plainCause(err)), "name a folder in one that can be written to", err)
}
