package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/rules"
)

func newExplainCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "explain DEVICE | CODE | TOPIC",
		Short:   "how a device's fitness came about, or what a code means",
		GroupID: groupCloser,
		Long: "For a device, explain shows the whole chain from its fitness to the files: every reason, every verdict with reading, " +
			"reference, temperature, limit, uncertainty and rule, what is due and since when.\n\n" +
			"For the code of a reason, of a gap in a chain or of a diagnostic, the name of a decision rule, of a test profile, of a run test, of a kind of chart or of a " +
			"kind of record, it says what that means and what mends it. The topics reasons, gaps, findings, diagnostics, rules, profiles, outliers, scan-warnings, tests, charts and records list them.",
		Example:     "  plumbrule explain scan-04\n  plumbrule explain quantity-failed\n  plumbrule explain check",
		Annotations: seeAlso(statuses("0", "it was explained", "2", "there is no such device or code", "3", "records cannot be read or used"), "status", "chart"),
	}
	flags := flagsOf(cmd)
	instant := flags.instant()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return misused(counted(len(args), "word")+", expected one: a device, a code or a topic", `"plumbrule explain reasons" lists the codes`)
		}
		if topic, found := explainTopic(args[0]); found {
			return e.print(formatOf(cmd), topic)
		}
		j, err := e.judge(cmd.Context(), instant)
		if errors.Is(err, repository.ErrNone) {
			return misused(fmt.Sprintf("%q is no code or topic, and there are no records here in which it could be a device", args[0]), nearTopic(args[0]))
		}
		if err != nil {
			return err
		}
		devices, err := j.choose(args)
		if err != nil {
			return misused(fmt.Sprintf("%q is no device, code or topic", args[0]), nearTopic(args[0], j.deviceIDs()...))
		}
		if err := e.print(formatOf(cmd), j.explainAnswer(devices[0])); err != nil {
			return err
		}
		return j.invalid()
	}
	return cmd
}

// explainAnswer shows the chain from a device's fitness to the files.
func (j *judged) explainAnswer(d *rules.Device) answer {
	p := &page{}
	p.head("%s: %s, %s", d.ID, d.Fitness, j.at.In(zoneOf(j.set)).Format("2006-01-02 15:04 MST"))
	if d.Record != nil {
		p.item("%s, serial %s, %s", d.Record.Kind, d.Record.Serial, placeText(rules.Source{File: d.Record.File}))
	}
	if d.Fitness == rules.Limited {
		p.item("may measure: %s", orNone(scopeList(d.May)))
		p.item("may not: %s", orNone(barredList(d)))
	}
	p.head("Reasons, worst first")
	for _, r := range d.Reasons {
		p.reason(r)
	}
	if len(d.Reasons) == 0 {
		p.item("none: nothing stands against its use within its limits")
	}
	p.head("Evidence in force")
	said := told{}
	for i := range d.Evidence {
		p.evidence(d, &d.Evidence[i], j.set, said)
	}
	if len(d.Evidence) == 0 {
		p.item("none")
	}
	p.head("Due")
	p.due(d.Calibration)
	for _, c := range d.Checks {
		p.due(c)
	}
	p.charts(d)
	p.service(d)
	return answer{JSON: j.explainJSON(d), CSV: evidenceTable(d, zoneOf(j.set)), Page: p}
}

func stated(text string) string {
	if text == "" {
		return "not stated"
	}
	return text
}

func orNone(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// reason says what counts, what it means and what mends it, and where it stands.
func (p *page) reason(r rules.Reason) {
	p.item("%s (%s): %s", r.Effect, r.Code, r.Sentence)
	for _, s := range r.Sources {
		p.sub("%s", placeText(s))
	}
	for _, c := range rules.ReasonCodes() {
		if c.ID == r.Code {
			p.sub("mend: %s", c.Mend)
			if c.Source != "" {
				p.sub("source: %s", c.Source)
			}
		}
	}
}

func (p *page) due(d rules.Due) {
	if d.What == "" {
		return
	}
	text := fmt.Sprintf("%s: %s", d.What, d.State)
	if !d.Date.IsZero() && d.State != rules.Missing {
		text += ", by " + d.Date.String()
	}
	if !d.Last.IsZero() {
		text += fmt.Sprintf("; last on %s, interval %s", d.Last, d.Interval)
	}
	if d.Extension != nil {
		text += fmt.Sprintf("; planned for %s, extended: %s", d.Planned, d.Extension.Reason)
	}
	p.item("%s", text)
	for _, s := range d.Sources {
		p.sub("%s", placeText(s))
	}
}

func (p *page) charts(d *rules.Device) {
	if len(d.Charts) == 0 {
		return
	}
	p.head("Control charts (plumbrule chart %s draws them)", d.ID)
	for _, c := range d.Charts {
		state := "in control"
		if c.Provisional {
			state = "limits provisional, signals not acted on"
		}
		var names []string
		for _, s := range c.Signals {
			names = append(names, string(s.Test))
		}
		if len(names) > 0 {
			state = "out of control: " + strings.Join(names, ", ")
		}
		p.item("%s, %s, %s %s: %s, %s", c.Procedure, c.Artifact, c.Quantity, c.Feature, counted(c.Points, "point"), state)
	}
}

func (p *page) service(d *rules.Device) {
	if d.Record == nil {
		return
	}
	s := d.Service
	p.head("Service")
	p.item("%s since %s; place %s, owner %s, firmware %s", s.State, s.Since, stated(s.Location), stated(s.Owner), stated(s.Firmware))
	for _, e := range s.History {
		text := fmt.Sprintf("%s %s by %s", e.Time.Format("2006-01-02"), e.Kind, e.By)
		if e.Reason != "" {
			text += ": " + e.Reason
		}
		p.item("%s (%s)", text, e.File)
	}
}
