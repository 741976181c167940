package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/attached"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/tracedrawing"
	"plumbrule/records"
	"plumbrule/records/spelling"
	"plumbrule/rules/trace"
)

func newTraceCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "trace JOB | CHECK | DEVICE | ARTIFACT [FEATURE]",
		Short:   "the chain from a figure to laboratory and reference, and its gaps",
		GroupID: groupCloser,
		Long: "Follows what a figure rests on: a job to its devices, on the day of the job; a device to the checks and the certificates that showed " +
			"it to keep its limits; a check to its artifact; all of them to certificate, laboratory, accreditation and what that states as its " +
			"reference. Each step is shown with its expanded uncertainty U and coverage factor k where they are stated.\n\n" +
			"A gap is anything for want of which the chain does not hold, with what would mend it and the clause of ISO/IEC 17025:2017 it is about. " +
			"The files that records name are read and compared with their SHA-256.\n\n" +
			"A job, a device and an artifact are named by their id, a check by the path of its record. FEATURE is a feature of the artifact for a check or an " +
			"artifact, and a quantity for a job or a device.",
		Example: `  plumbrule trace p-2527
  plumbrule trace p-2604 distance --picture chain.svg

  # one check, and one feature of an artifact
  plumbrule trace scan-02/2026/2026-10-26T0808-bar-weekly
  plumbrule trace bar-800 A-C --at 2026-06-30`,
		Annotations: seeAlso(statuses(
			"0", "the chain was printed",
			"1", "with --strict: the chain has gaps",
			"2", "there is nothing of that name, or several things are",
			"3", "records cannot be read or used, or the picture cannot be written",
		), "explain", "status", "validate"),
	}
	flags := flagsOf(cmd)
	picture := flags.text("picture", "draw the chain into this `FILE` as SVG too")
	instant := flags.instant()
	strict := flags.strict()
	cmd.ValidArgsFunction = e.completeTraced
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) < 1 || len(args) > 2 {
			return misused(counted(len(args), "word")+", expected one or two: what to trace, and of it a feature or quantity", `"plumbrule help trace" shows examples`)
		}
		t, err := e.trace(cmd.Context(), instant, args)
		if err != nil {
			return err
		}
		if *picture != "" {
			if err := e.writeOutput(*picture, func(w io.Writer) error { return tracedrawing.SVG(w, t.picture(), "chain") }); err != nil {
				return err
			}
		}
		if err := e.print(formatOf(cmd), t.answer()); err != nil {
			return err
		}
		if err := t.invalid(); err != nil {
			return err
		}
		return attention(*strict, len(t.chain.Gaps()) > 0)
	}
	return cmd
}

// traced is a chain with the records it was followed in.
type traced struct {
	*judged
	chain *trace.Chain
}

// trace follows the chain twice: once to learn which files it leads to, and
// again with what was found of them.
func (e *env) trace(ctx context.Context, flags instantFlags, args []string) (*traced, error) {
	j, err := e.judge(ctx, flags)
	if err != nil {
		return nil, err
	}
	q := trace.Query{Set: j.set, At: j.at, Options: j.options, Subject: args[0]}
	if len(args) > 1 {
		q.Feature = args[1]
	}
	chain, err := trace.For(q)
	if err != nil {
		return nil, notTraced(err, args[len(args)-1])
	}
	if len(chain.Files) > 0 {
		if q.Looked, err = lookAt(ctx, j.repository, chain.Files); err != nil {
			return nil, err
		}
		if chain, err = trace.For(q); err != nil {
			return nil, notTraced(err, args[len(args)-1])
		}
	}
	return &traced{j, chain}, nil
}

// lookAt looks at the files that records of a chain name.
func lookAt(ctx context.Context, r *repository.Repository, files []records.Attachment) (map[string]trace.Look, error) {
	root, err := os.OpenRoot(r.Root)
	if err != nil {
		return nil, unreadable(fmt.Sprintf("%s cannot be opened: %s", r.Root, plainCause(err)), "look at its permissions", err)
	}
	defer func() { _ = root.Close() }()
	out := make(map[string]trace.Look, len(files))
	for _, a := range files {
		out[trace.FileKey(a)] = attached.Look(ctx, root, a)
	}
	return out, nil
}

// notTraced says what is wrong with what was asked, and what could have been meant.
func notTraced(err error, asked string) error {
	var t *trace.Error
	if !errors.As(err, &t) {
		return err
	}
	mend := t.Mend
	if near := spelling.Nearest(asked, t.Known); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return misused(t.What, mend)
}
