package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/history"
	"plumbrule/rules"
)

func newDiffCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "diff REVISION [REVISION]",
		Short: "what changed in fitness between two states of the records, and why",
		Long: "Judges the devices from the records of two revisions, each for the time of its commit, and lists those whose fitness changed or " +
			"that gained or lost a reason. Without a second revision the first is compared with the files as they lie in the folder, judged for now. " +
			"With --at both are judged for the same instant, so that only what was recorded makes a difference and not the time that passed.\n\n" +
			"A reason is the same as before if it has the same code, concerns the same quantities and rests on the same records.",
		Example: `  plumbrule diff HEAD

  # what the last commit changed, the time that passed left out
  plumbrule diff HEAD~1 HEAD --at 2026-11-02`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "the differences were listed",
			"1", "with --strict: a device is less fit than before",
			"2", "there is no such revision",
			"3", "git or the records cannot be read; records that cannot be used are left out",
		), "history", "status", "explain"),
	}
	f := flagsOf(cmd)
	at := f.text("at", "judge both for this `INSTANT`, as of status")
	hindsight := f.yes("hindsight", "count also what was entered after the instant about the time before")
	strict := f.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 || len(args) > 2 {
			return misused(fmt.Sprintf("%s, expected one revision or two", counted(len(args), "revision")), `name commits, branches or tags, such as HEAD~1`)
		}
		if slices.Contains(args, "") {
			return misused(`"" is no revision`, "name a commit, branch or tag, such as HEAD~1; a variable of the shell may be empty")
		}
		d := &difference{}
		var err error
		if d.before, err = e.stateOf(cmd.Context(), args[0], *at, *hindsight); err != nil {
			return err
		}
		second := ""
		if len(args) == 2 {
			second = args[1]
		}
		if d.after, err = e.stateOf(cmd.Context(), second, *at, *hindsight); err != nil {
			return err
		}
		d.compare()
		if err := e.print(formatOf(cmd), d.answer()); err != nil {
			return err
		}
		for _, s := range []*state{d.before, d.after} {
			if err := s.invalid(); err != nil {
				return err
			}
		}
		return attention(*strict, slices.ContainsFunc(d.devices, func(c deviceChange) bool { return c.worse() }))
	}
	return cmd
}

// state is one of the two states compared.
type state struct {
	*judged
	objects map[string]string // by path of each record: the hash of what it says; nil where the files of the folder are looked at
}

// stateOf judges the records of a revision, or those in the folder.
func (e env) stateOf(ctx context.Context, rev, at string, hindsight bool) (*state, error) {
	if rev == "" {
		none := ""
		j, err := e.judge(ctx, instantFlags{at: &at, hindsight: &hindsight, rev: &none})
		return &state{judged: j}, err
	}
	past, r, commit, err := e.revisionOf(ctx, rev, at)
	if err != nil {
		return nil, err
	}
	j, tree, err := openCommit(ctx, past, commit, records.Options{})
	if err != nil {
		return nil, err
	}
	j.repository = r
	e.complain(j.diagnostics)
	if j.at, err = e.instantFor(j, at); err != nil {
		return nil, err
	}
	j.options = rules.Options{Hindsight: hindsight}
	j.assessment = rules.Evaluate(j.set, j.at, j.options)
	return &state{judged: j, objects: recordObjects(tree)}, nil
}

// recordObjects lists what each record of a commit says, by its hash.
func recordObjects(tree *history.Tree) map[string]string {
	out := map[string]string{}
	for name, object := range tree.Objects() {
		if kindOfFile(name) != "" {
			out[name] = object
		}
	}
	return out
}

// difference is what changed between two states.
type difference struct {
	before, after *state
	devices       []deviceChange
	added         int // records
	changed, gone int
}

// deviceChange is what changed about one device.
type deviceChange struct {
	id            string
	before, after *rules.Device // nil where there was none
	came, went    []rules.Reason
}

// worse tells whether a device is less fit than before. One that is new cannot be.
func (c *deviceChange) worse() bool {
	return c.before != nil && c.after != nil && slices.Index(fitnesses(), c.after.Fitness) < slices.Index(fitnesses(), c.before.Fitness)
}

// compare finds the devices that changed.
func (d *difference) compare() {
	ids := append(d.before.deviceIDs(), d.after.deviceIDs()...)
	slices.Sort(ids)
	for _, id := range slices.Compact(ids) {
		c := deviceChange{id: id, before: d.before.device(id), after: d.after.device(id)}
		c.came = reasonsBeside(c.after, c.before)
		c.went = reasonsBeside(c.before, c.after)
		if c.before == nil || c.after == nil || c.before.Fitness != c.after.Fitness || scopeList(c.before.May) != scopeList(c.after.May) || len(c.came)+len(c.went) > 0 {
			d.devices = append(d.devices, c)
		}
	}
	if d.after.objects == nil {
		return
	}
	for name, object := range d.after.objects {
		switch before, found := d.before.objects[name]; {
		case !found:
			d.added++
		case before != object:
			d.changed++
		}
	}
	for name := range d.before.objects {
		if _, found := d.after.objects[name]; !found {
			d.gone++
		}
	}
}

func (s *state) device(id string) *rules.Device {
	for i := range s.assessment.Devices {
		if d := &s.assessment.Devices[i]; d.ID == id {
			return d
		}
	}
	return nil
}

// reasonsBeside lists the reasons of a device that another state of it has not.
func reasonsBeside(of, beside *rules.Device) []rules.Reason {
	if of == nil {
		return nil
	}
	var out []rules.Reason
	for _, r := range of.Reasons {
		if beside == nil || !slices.ContainsFunc(beside.Reasons, func(o rules.Reason) bool { return sameReason(r, o) }) {
			out = append(out, r)
		}
	}
	return out
}

// sameReason compares what two reasons are, not how their sentences count the days.
func sameReason(a, b rules.Reason) bool {
	return a.Code == b.Code && slices.Equal(a.Quantities, b.Quantities) &&
		slices.EqualFunc(a.Sources, b.Sources, func(a, b rules.Source) bool { return a.File == b.File })
}
