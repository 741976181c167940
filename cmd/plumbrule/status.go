package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/calendar"
	"plumbrule/rules"

	"plumbrule/records/spelling"
)

func newStatusCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "status [DEVICE…]",
		Short:   "which device may be used, for what, and what falls due",
		GroupID: groupDaily,
		Long: "Status judges every device from the records and lists the worst reason of each. With devices named it lists " +
			"all their reasons and the files these rest on. What is due to a day is overdue from the next day on.",
		Example: "  plumbrule status\n  plumbrule status scan-04 --at 2026-06-30\n\n  # as the records stood in a commit\n  plumbrule status --rev HEAD",
		Annotations: statuses(
			"0", "every device was judged",
			"1", "with --strict: a device is not fit",
			"3", "records cannot be read or used; the answer stands without them",
		),
	}
	flags := flagsOf(cmd)
	instant := flags.instant()
	strict := flags.strict()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		j, err := e.judge(cmd.Context(), instant)
		if err != nil {
			return err
		}
		devices, err := j.choose(args)
		if err != nil {
			return err
		}
		if err := e.print(formatOf(cmd), j.statusAnswer(devices, len(args) > 0)); err != nil {
			return err
		}
		if err := j.invalid(); err != nil {
			return err
		}
		return attention(*strict, slices.ContainsFunc(devices, func(d *rules.Device) bool { return d.Fitness != rules.Fit }))
	}
	return cmd
}

// choose returns the assessments of the devices named, or of all.
func (j *judged) choose(names []string) ([]*rules.Device, error) {
	var out []*rules.Device
	for i := range j.assessment.Devices {
		d := &j.assessment.Devices[i]
		if len(names) == 0 || slices.Contains(names, d.ID) {
			out = append(out, d)
		}
	}
	for _, name := range names {
		if !slices.ContainsFunc(out, func(d *rules.Device) bool { return d.ID == name }) {
			mend := `"plumbrule status" lists the devices`
			if near := spelling.Nearest(name, j.deviceIDs()); near != "" {
				mend = fmt.Sprintf("did you mean %q? %s", near, mend)
			}
			return nil, misused(fmt.Sprintf("there is no device %q", name), mend)
		}
	}
	return out, nil
}

func (j *judged) deviceIDs() []string {
	var ids []string
	for _, d := range j.assessment.Devices {
		ids = append(ids, d.ID)
	}
	return ids
}

// statusAnswer lists the devices; in detail it lists every reason, otherwise the worst of each.
func (j *judged) statusAnswer(devices []*rules.Device, detail bool) answer {
	t := table.Table{Columns: []table.Column{
		{Title: "device"}, {Title: "fitness"}, {Title: "why", Wrap: true}, {Title: "cal. due"}, {Title: "next check"},
	}}
	raw := table.Table{Columns: []table.Column{
		{Title: "device"},
		{Title: "kind"},
		{Title: "serial"},
		{Title: "fitness"},
		{Title: "may"},
		{Title: "calibration state"},
		{Title: "calibration due"},
		{Title: "check state"},
		{Title: "check due"},
		{Title: "reason"},
		{Title: "sentence"},
	}}
	for _, d := range worstFirst(devices) {
		check := nextCheck(d)
		t.Add(table.Text(d.ID), fitnessWord(d.Fitness), table.Text(why(d)), dueCell(d.Calibration), dueCell(check))
		code, sentence := "", ""
		if len(d.Reasons) > 0 {
			code, sentence = d.Reasons[0].Code, d.Reasons[0].Sentence
		}
		kind, serial := "", ""
		if d.Record != nil {
			kind, serial = d.Record.Kind, d.Record.Serial
		}
		raw.Add(table.Text(d.ID), table.Text(kind), table.Text(serial), table.Text(string(d.Fitness)), table.Text(scopeList(d.May)),
			table.Text(string(d.Calibration.State)), table.Text(dateText(d.Calibration.Date)), table.Text(string(check.State)),
			table.Text(dateText(check.Date)), table.Text(code), table.Text(sentence))
	}
	out := answer{JSON: j.statusJSON(devices), CSV: raw, Above: []string{j.headline(devices)}, Table: t}
	if len(devices) == 0 {
		out.Table = table.Table{}
	}
	out.Page = &page{}
	if !detail {
		worstReasons(out.Page, devices)
		caseRemarks(out.Page, devices)
		j.artifactRemarks(out.Page)
	} else {
		for _, d := range devices {
			reasonsOf(out.Page, d)
		}
	}
	return out
}

// headline says for when and how many.
func (j *judged) headline(devices []*rules.Device) string {
	counts := map[rules.Fitness]int{}
	for _, d := range devices {
		counts[d.Fitness]++
	}
	var parts []string
	for _, f := range fitnesses() {
		if counts[f] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", counts[f], f))
		}
	}
	name := "unreadable site"
	at := j.at.Format("2006-01-02 15:04 -07:00")
	if s := j.set.Site; s != nil {
		name = s.Name
		at = j.at.In(s.Zone).Format("2006-01-02 15:04 MST")
	}
	if j.commit != nil {
		at += ", records of commit " + j.commit.Short()
	}
	if len(devices) == 0 {
		parts = []string{"no devices yet; add one as devices/<id>.toml"}
	}
	return fmt.Sprintf("%s, %s: %s", name, at, strings.Join(parts, ", "))
}

func fitnessWord(f rules.Fitness) table.Cell {
	tone := table.Bad
	switch f {
	case rules.Fit:
		tone = table.Good
	case rules.Limited, rules.Unknown:
		tone = table.Doubtful
	case rules.Unfit:
	}
	return table.Word(string(f), tone)
}

// worstFirst orders devices by fitness, then by id.
func worstFirst(devices []*rules.Device) []*rules.Device {
	return slices.SortedStableFunc(slices.Values(devices), func(a, b *rules.Device) int {
		return slices.Index(fitnesses(), a.Fitness) - slices.Index(fitnesses(), b.Fitness)
	})
}

// fitnesses are the states of fitness, worst first.
func fitnesses() []rules.Fitness {
	return []rules.Fitness{rules.Unfit, rules.Unknown, rules.Limited, rules.Fit}
}

// worstReasons tells the worst reason in full of each device that is not fit, and of each whose chart signals.
func worstReasons(p *page, devices []*rules.Device) {
	for _, d := range worstFirst(devices) {
		if len(d.Reasons) > 0 && (d.Fitness != rules.Fit || d.Reasons[0].Code == "chart-signal") {
			p.item("%s: %s", d.ID, d.Reasons[0].Sentence)
		}
	}
}

// caseRemarks tells of cases that are not closed for good, and of failures without one; all of them, since a case that waits is
// easily forgotten behind a worse reason.
func caseRemarks(p *page, devices []*rules.Device) {
	for _, d := range worstFirst(devices) {
		for i := range d.Reasons {
			if r := &d.Reasons[i]; r.Code == "case-open" || r.Code == "case-missing" {
				p.item("%s: %s", d.ID, r.Sentence)
			}
		}
	}
}

// artifactRemarks tells which artifacts should not be checked with, and which fall due soon.
func (j *judged) artifactRemarks(p *page) {
	for _, a := range j.assessment.Artifacts {
		switch {
		case a.Service == rules.Retired:
		case a.Objection != "":
			p.item("artifact %s: %s; a check made with it would be no evidence", a.ID, a.Objection)
		case a.Calibration.State == rules.Soon:
			p.item("artifact %s: calibration is due by %s", a.ID, a.Calibration.Date)
		}
		for i := range a.Cases {
			if k := &a.Cases[i]; k.Open || len(k.Lacks) > 0 {
				p.item("artifact %s: %s", a.ID, caseWords(k))
			}
		}
	}
}

// why is the worst reason in a few words: for a limited device what it may still measure comes first.
func why(d *rules.Device) string {
	if len(d.Reasons) == 0 {
		return ""
	}
	text := rules.TitleOf(d.Reasons[0].Code)
	if d.Fitness == rules.Limited {
		text = "only " + orNone(scopeList(d.May)) + ": " + text
	}
	if more := len(d.Reasons) - 1; more > 0 {
		text += fmt.Sprintf(" (+%d)", more)
	}
	return text
}

func scopeList(list []rules.Scope) string {
	var out []string
	for _, s := range list {
		out = append(out, s.String())
	}
	return strings.Join(out, ", ")
}

// barredList writes what a device may not measure. The range of a limit is left out where the limit is the only one of its
// quantity and barred as a whole: "not distance up to 5 m" would read as if longer ones were allowed.
func barredList(d *rules.Device) string {
	var out []string
	for _, s := range d.MayNot {
		count := 0
		for i := range d.Record.Limits {
			if d.Record.Limits[i].Quantity == s.Quantity {
				count++
			}
		}
		if count == 1 && s.UpTo.IsZero() && s.Over.IsZero() {
			out = append(out, string(s.Quantity))
			continue
		}
		out = append(out, s.String())
	}
	return strings.Join(out, ", ")
}

// nextCheck returns the check that is due first; one never made or asked for beside the plan comes before all.
func nextCheck(d *rules.Device) rules.Due {
	if d.Record == nil {
		return rules.Due{}
	}
	if len(d.Checks) == 0 {
		return rules.Due{State: rules.NotRequired}
	}
	return slices.MinFunc(d.Checks, func(a, b rules.Due) int { return a.Date.Compare(b.Date) })
}

func dueCell(due rules.Due) table.Cell {
	switch due.State {
	case rules.Overdue:
		return table.Word(show.Date(due.Date)+" overdue", table.Bad)
	case rules.Soon:
		return table.Word(show.Date(due.Date)+" soon", table.Doubtful)
	case rules.DueNow:
		return table.Word("extra, now", table.Doubtful)
	case rules.Missing:
		return table.Word("never", table.Bad)
	case rules.NotRequired:
		return table.Text("not required")
	case rules.Stopped:
		return table.Text("stopped")
	case rules.Ahead:
	case "":
		return table.Text("unknown")
	}
	return table.Text(show.Date(due.Date))
}

func dateText(d calendar.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

// reasonsOf lists every reason of a device with the places it rests on.
func reasonsOf(p *page, d *rules.Device) {
	p.head("%s: %s", d.ID, d.Fitness)
	if d.Fitness == rules.Limited {
		p.item("may measure %s; may not measure %s", orNone(scopeList(d.May)), orNone(barredList(d)))
	}
	for _, r := range d.Reasons {
		p.item("%s (%s): %s", r.Effect, r.Code, r.Sentence)
		for _, s := range r.Sources {
			p.sub("%s", placeText(s))
		}
	}
	if len(d.Reasons) == 0 {
		p.item("nothing stands against its use within its limits")
	}
}

func placeText(s rules.Source) string {
	if s.Line == 0 {
		return s.File
	}
	return fmt.Sprintf("%s:%d", s.File, s.Line)
}
