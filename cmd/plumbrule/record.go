package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
)

func newRecordCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "record check|certificate|event|job|case|step",
		Short:   "write a new record, refused where validate would refuse it",
		GroupID: groupRecord,
		Long: "Record writes one new file under its right name, complete or not at all, and never touches one that exists. " +
			"What flags leave open is asked at a terminal. A correction is a new record: --amends names the old one.",
		Example:     "  plumbrule help record check\n  plumbrule record event scan-01 --kind relocation --location \"hall 2\" --by mk",
		Annotations: seeAlso(statuses("0", "the record was written", "3", "the record would contradict others, or cannot be written"), "validate", "status"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return misused(fmt.Sprintf("%q is nothing that record can write", args[0]), "write check, certificate, event, job, case or step")
			}
			return misused("nothing said to record", "write check, certificate, event, job, case or step")
		},
	}
	cmd.AddCommand(newRecordCheckCommand(e), newRecordCertificateCommand(e), newRecordEventCommand(e), newRecordJobCommand(e),
		newRecordCaseCommand(e), newRecordStepCommand(e))
	return cmd
}

// recording is a record on its way into the repository.
type recording struct {
	env    *env
	repo   *repository.Repository
	set    *records.Set
	before []records.Diagnostic
	now    time.Time
	ask    *asker
	dry    bool
	kept   []keptScan     // scans to be copied before the record is written
	told   []string       // sentences for below the answer
	after  []func() error // what is to be written once the record is
}

// commonFlags are the flags of every record.
type commonFlags struct {
	by, note, amends, reason *string
	dry                      *bool
}

func (f *flagSet) common() commonFlags {
	return commonFlags{
		by:     f.text("by", "`INITIALS` of who measured, decided or wrote it"),
		reason: f.text("reason", "why, as a `TEXT`"),
		note:   f.text("note", "anything else, as a `TEXT`"),
		amends: f.text("amends", "`PATH` of the record this one corrects; needs --reason"),
		dry:    f.yes("dry-run", "print the record and what it changes, write nothing"),
	}
}

// begin opens the repository for a new record.
func (e *env) record(dry bool) (*recording, error) {
	j, err := e.open(records.Options{})
	if err != nil {
		return nil, err
	}
	if j.set.Site == nil || j.set.Site.Zone == nil {
		e.complain(j.diagnostics)
		return nil, unreadable("the site's settings cannot be read", "mend "+records.SiteFile+" first", nil)
	}
	now := e.Now().In(j.set.Site.Zone).Truncate(time.Second)
	return &recording{env: e, repo: j.repository, set: j.set, before: j.diagnostics, now: now, ask: newAsker(e), dry: dry}, nil
}

// finish validates the record among the others and writes it. about is the device whose fitness it may change.
func (r *recording) finish(cmd *cobra.Command, want string, record any, about string) error {
	text, err := records.Encode(record)
	if err != nil {
		return err
	}
	name := records.NextFree(want, r.repo.Exists)
	after, diagnostics := records.Load(repository.With(r.repo.FS(), name, text), records.Options{At: r.now, CrossCheck: true})
	if added := r.added(diagnostics, name); len(added) > 0 {
		r.env.complain(added)
		if records.HasErrors(added) {
			return unreadable("the record was not written: "+counted(len(added), "finding")+" against it", "mend what is listed above and record again", nil)
		}
	}
	if !r.dry {
		undo, err := r.bringScans()
		if err != nil {
			return err
		}
		if err := r.repo.Create(name, text); err != nil {
			undo()
			return unreadable(err.Error(), "nothing was written", err)
		}
	}
	for _, write := range r.after {
		if r.dry {
			break
		}
		if err := write(); err != nil {
			fmt.Fprintf(r.env.Stderr, "plumbrule: note: %s was written, but not all beside it: %s\n", show.Text(name), show.Text(err.Error()))
		}
	}
	err = r.env.print(formatOf(cmd), r.answer(name, text, after, about))
	if err != nil && !r.dry {
		// The record is there; an exit status that says otherwise would have it recorded a second time.
		fmt.Fprintf(r.env.Stderr, "plumbrule: note: %s was written, but the answer could not be printed: %s\n", show.Text(name), show.Text(err.Error()))
		return nil
	}
	return err
}

// added returns the diagnostics that the record brings with it: those of its own file, and those of others that were not
// there before.
func (r *recording) added(list []records.Diagnostic, name string) []records.Diagnostic {
	return slices.DeleteFunc(slices.Clone(list), func(d records.Diagnostic) bool {
		return d.File != name && (d.Code == "future-date" || slices.ContainsFunc(r.before, func(b records.Diagnostic) bool {
			return b.String() == d.String()
		}))
	})
}

type recordJSON struct {
	File     string     `json:"file"`
	Written  bool       `json:"written"`
	Text     string     `json:"text"`
	Verdicts []verdict  `json:"verdicts"`
	Device   string     `json:"device"`
	Before   string     `json:"fitness_before"`
	After    string     `json:"fitness_after"`
	Reason   *reasonRow `json:"reason"`
}

type reasonRow struct {
	Code     string `json:"code"`
	Sentence string `json:"sentence"`
}

type verdict struct {
	Feature string   `json:"feature"`
	ErrorUM *float64 `json:"error_um"`
	MPEUM   *float64 `json:"mpe_um"`
	Verdict string   `json:"verdict"` // a verdict of the rule, or "no evidence"
	Why     string   `json:"why"`     // it is no evidence
}

// answer tells where the record lies, what follows from it, and what to type next.
func (r *recording) answer(name string, text []byte, after *records.Set, about string) answer {
	out := recordJSON{File: name, Written: !r.dry, Text: string(text), Verdicts: []verdict{}, Device: about}
	a := answer{}
	if r.dry {
		a.Above = append(a.Above, "would write "+name)
		a.Verbatim = strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	} else {
		a.Above = append(a.Above, "wrote "+name)
	}
	if d := deviceAt(after, r.now, about); d != nil {
		a.Table = table.Table{Columns: []table.Column{
			{Title: "feature"}, {Title: "error", Unit: "µm", Align: table.Decimal}, {Title: "limit", Unit: "µm", Align: table.Decimal}, {Title: "verdict"},
		}}
		for _, f := range rules.JudgeCheck(after, r.now, rules.Options{}, about, name) {
			if f.Judgement == nil {
				out.Verdicts = append(out.Verdicts, verdict{Feature: f.Reading.Feature, Verdict: "no evidence", Why: f.Objection})
				a.Table.Add(table.Text(f.Reading.Feature), table.None(), table.None(), table.Word("no evidence", table.Doubtful))
				a.Below = append(a.Below, fmt.Sprintf("%s: %s", f.Reading.Feature, f.Objection))
				continue
			}
			x := f.Judgement.Decision
			v := verdict{Feature: f.Reading.Feature, ErrorUM: &x.ErrorUM, MPEUM: &x.MPEUM, Verdict: strings.ReplaceAll(string(x.Verdict), "-", " ")}
			out.Verdicts = append(out.Verdicts, v)
			a.Table.Add(table.Text(v.Feature), table.Number(show.Signed(x.ErrorUM, 1), x.ErrorUM), table.Number(show.Fixed(x.MPEUM, 1), x.MPEUM), verdictWord(v.Verdict))
		}
		out.After = string(d.Fitness)
		if b := deviceAt(r.set, r.now, about); b != nil {
			out.Before = string(b.Fitness)
		}
		a.Below = append(a.Below, r.change(&out, d, name))
	}
	a.Below = append(a.Below, r.told...)
	if len(a.Table.Rows) == 0 {
		a.Table = table.Table{}
	}
	if !r.dry {
		a.Below = append(a.Below, "next: "+r.gitAdd(append([]string{name}, r.broughtIn()...)...))
	}
	a.JSON = out
	a.CSV = table.Table{Columns: []table.Column{{Title: "file"}, {Title: "device"}, {Title: "fitness before"}, {Title: "fitness after"}}}
	a.CSV.Add(table.Text(name), table.Text(about), table.Text(out.Before), table.Text(out.After))
	return a
}

// change says what became of the device's fitness.
func (r *recording) change(out *recordJSON, d *rules.Device, name string) string {
	said := fmt.Sprintf("%s is %s", d.ID, d.Fitness)
	if out.Before != "" && out.Before != out.After {
		said = fmt.Sprintf("%s was %s and is now %s", d.ID, out.Before, d.Fitness)
	}
	if len(d.Reasons) == 0 {
		return said
	}
	because := d.Reasons[0]
	// What the record itself brought about tells more than what stood against the device before.
	for _, reason := range d.Reasons {
		if slices.ContainsFunc(reason.Sources, func(s rules.Source) bool { return s.File == name }) && reason.Effect != rules.Fit {
			because = reason
			break
		}
	}
	if because.Effect != rules.Fit {
		said += ": " + because.Sentence
		out.Reason = &reasonRow{because.Code, because.Sentence}
	}
	return said
}

func verdictWord(v string) table.Cell {
	switch v {
	case "pass", "conditional pass":
		return table.Word(v, table.Good)
	case "inconclusive":
		return table.Word(v, table.Doubtful)
	}
	return table.Word(v, table.Bad)
}

// deviceAt assesses one device, or returns nil when the id is not a device's.
func deviceAt(set *records.Set, at time.Time, id string) *rules.Device {
	if set.Devices[id] == nil {
		return nil
	}
	assessment := rules.Evaluate(set, at, rules.Options{})
	for i := range assessment.Devices {
		if assessment.Devices[i].ID == id {
			return &assessment.Devices[i]
		}
	}
	return nil
}

// gitAdd is the command that puts files under version control.
func (r *recording) gitAdd(names ...string) string {
	here, err := filepath.Abs(".")
	var quoted, rooted []string
	for _, name := range names {
		rooted = append(rooted, records.ShellQuote(name))
		if err != nil {
			continue
		}
		if relative, err := filepath.Rel(here, r.repo.Path(name)); err == nil && !strings.HasPrefix(relative, "..") {
			quoted = append(quoted, records.ShellQuote(relative))
		}
	}
	if len(quoted) == len(names) {
		return "git add " + strings.Join(quoted, " ")
	}
	return fmt.Sprintf("git -C %s add %s", records.ShellQuote(r.repo.Root), strings.Join(rooted, " "))
}
