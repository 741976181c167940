package main

import (
	"fmt"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
)

// diffJSON is the JSON of diff: an interface, to which fields are only added.
type diffJSON struct {
	Before  stateJSON        `json:"before"`
	After   stateJSON        `json:"after"`
	Added   *int             `json:"records_added"`
	Changed *int             `json:"records_changed"`
	Removed *int             `json:"records_removed"`
	Devices []deviceDiffJSON `json:"devices"`
}

type stateJSON struct {
	Commit *string `json:"commit"`
	At     string  `json:"at"`
}

type deviceDiffJSON struct {
	ID     string       `json:"id"`
	Before *string      `json:"fitness_before"`
	After  *string      `json:"fitness_after"`
	Worse  bool         `json:"worse"`
	Came   []reasonJSON `json:"reasons_came"`
	Went   []reasonJSON `json:"reasons_went"`
}

func (d *difference) answer() answer {
	out := diffJSON{Before: d.before.stateJSON(), After: d.after.stateJSON(), Devices: []deviceDiffJSON{}}
	counts := ""
	if d.after.objects != nil {
		out.Added, out.Changed, out.Removed = &d.added, &d.changed, &d.gone
		counts = fmt.Sprintf("; %s added, %d changed, %d removed", counted(d.added, "file"), d.changed, d.gone)
	}
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "before"}, {Title: "after"}, {Title: "why", Wrap: true}}}
	raw := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "before"}, {Title: "after"}, {Title: "reason"}, {Title: "came or went"}, {Title: "sentence"}}}
	p := &page{}
	for i := range d.devices {
		c := &d.devices[i]
		j := deviceDiffJSON{ID: c.id, Before: fitnessOrNull(c.before), After: fitnessOrNull(c.after), Worse: c.worse(), Came: reasonsJSON(c.came), Went: reasonsJSON(c.went)}
		out.Devices = append(out.Devices, j)
		t.Add(table.Text(c.id), fitnessOrAbsent(c.before), fitnessOrAbsent(c.after), table.Text(c.why()))
		p.head("%s: %s -> %s", c.id, fitnessOrAbsent(c.before).Shown, fitnessOrAbsent(c.after).Shown)
		tell := func(word string, list []rules.Reason) {
			for _, r := range list {
				raw.Add(table.Text(c.id), fitnessOrAbsent(c.before), fitnessOrAbsent(c.after), table.Text(r.Code), table.Text(word), table.Text(r.Sentence))
				p.item("%s: %s (%s): %s", word, r.Effect, r.Code, r.Sentence)
				for _, s := range r.Sources {
					p.sub("%s", placeText(s))
				}
			}
		}
		tell("came", c.came)
		tell("went", c.went)
		if len(c.came)+len(c.went) == 0 {
			raw.Add(table.Text(c.id), fitnessOrAbsent(c.before), fitnessOrAbsent(c.after), table.Text(""), table.Text(""), table.Text(""))
		}
	}
	a := answer{JSON: out, CSV: raw, Above: []string{d.before.name() + " -> " + d.after.name() + counts}, Table: t, Page: p}
	if len(d.devices) == 0 {
		a.Table = table.Table{}
		a.Below = []string{"no device is more or less fit than before, and none for another reason"}
	}
	return a
}

func (s *state) name() string {
	at := s.at.In(zoneOf(s.set)).Format("2006-01-02 15:04 MST")
	if s.commit == nil {
		return "the files in the folder at " + at
	}
	return s.commit.Short() + " at " + at
}

func (s *state) stateJSON() stateJSON {
	return stateJSON{Commit: commitOrNull(s.commit), At: s.at.In(zoneOf(s.set)).Format(time.RFC3339)}
}

// why is the worst reason that came, or else that went, in a few words.
func (c *deviceChange) why() string {
	more := func(n int) string {
		if n > 1 {
			return fmt.Sprintf(" (+%d)", n-1)
		}
		return ""
	}
	switch {
	case c.before == nil:
		return "new"
	case c.after == nil:
		return "no longer recorded"
	case len(c.came) > 0 && (len(c.went) == 0 || c.after.Fitness != rules.Fit):
		return rules.TitleOf(c.came[0].Code) + more(len(c.came))
	case len(c.went) > 0:
		return "no longer: " + rules.TitleOf(c.went[0].Code) + more(len(c.went))
	}
	return ""
}

func fitnessOrAbsent(d *rules.Device) table.Cell {
	if d == nil {
		return table.None()
	}
	return fitnessWord(d.Fitness)
}

func fitnessOrNull(d *rules.Device) *string {
	if d == nil {
		return nil
	}
	text := string(d.Fitness)
	return &text
}
