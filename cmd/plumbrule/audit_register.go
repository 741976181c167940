package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// register lists the equipment as it is at the instant, and what the records tell of its past.
func (a *audited) register() pack.Section {
	s := pack.Section{ID: "register", Title: "Equipment register", Apart: true, Lead: []string{"As it stands at the instant; ISO/IEC 17025:2017, 6.4.13."}}
	t := table.Table{Columns: []table.Column{
		{Title: "device"}, {Title: "kind, maker, model"}, {Title: "serial, firmware"}, {Title: "place, owner"}, {Title: "service"}, {Title: "limits (MPE)"}, {Title: "fitness"}, {Title: "calibration due"},
	}}
	whole := table.Table{Columns: []table.Column{
		{Title: "device"}, {Title: "kind, maker, model"}, {Title: "serial"}, {Title: "firmware"}, {Title: "place, owner"}, {Title: "service"}, {Title: "limits (MPE)"}, {Title: "fitness"}, {Title: "calibration due"},
	}}
	for _, d := range a.devices {
		if d.Record == nil {
			t.Add(table.Text(d.ID), table.Text("its record cannot be read"), table.Text(""), table.Text(""), table.Text(""), table.Text(""), fitnessCell(d), table.Text("unknown"))
			whole.Add(table.Text(d.ID), table.Text("its record cannot be read"), table.Text(""), table.Text(""), table.Text(""), table.Text(""), table.Text(""), fitnessCell(d), table.Text("unknown"))
			continue
		}
		var limits []string
		for i := range d.Record.Limits {
			l := &d.Record.Limits[i]
			limits = append(limits, rangeOf(l)+": "+l.MPE.String())
		}
		what := table.Text(strings.Join(strings.Fields(d.Record.Kind+", "+d.Record.Maker+" "+d.Record.Model), " "))
		place := table.Text(notEmpty("\n", d.Service.Location, d.Service.Owner))
		service := table.Text(fmt.Sprintf("%s since %s", d.Service.State, d.Service.Since))
		limit, due := table.Text(strings.Join(limits, "\n")), table.Text(dueWords(d.Calibration))
		firmware := ""
		if d.Service.Firmware != "" {
			firmware = "firmware " + d.Service.Firmware
		}
		t.Add(table.Text(d.ID), what, table.Text(notEmpty("\n", d.Record.Serial, firmware)), place, service, limit, fitnessCell(d), due)
		whole.Add(table.Text(d.ID), what, table.Text(d.Record.Serial), table.Text(d.Service.Firmware), place, service, limit, fitnessCell(d), due)
	}
	s.Table = &pack.Table{Name: "devices", Caption: "Devices", Table: t, Whole: &whole, Widths: []int{10, 15, 13, 14, 13, 17, 8, 10}, None: "There is no device in the records."}
	s.Parts = []pack.Section{a.reasonSection(), a.artifactSection(), a.certificateSection(), a.eventSection()}
	return s
}

func fitnessCell(d *rules.Device) table.Cell { return fitnessWord(d.Fitness) }

func notEmpty(between string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(t string) bool { return t == "" }), between)
}

// reasonSection lists why the devices are judged as they are.
func (a *audited) reasonSection() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "effect"}, {Title: "reason"}, {Title: "records"}}}
	whole := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "effect"}, {Title: "code"}, {Title: "reason"}, {Title: "records"}}}
	for _, d := range a.devices {
		for _, r := range d.Reasons {
			t.Add(table.Text(d.ID), fitnessWord(r.Effect), table.Text(r.Sentence), table.Text(oneSource(r.Sources)))
			whole.Add(table.Text(d.ID), fitnessWord(r.Effect), table.Text(r.Code), table.Text(r.Sentence), table.Text(sourceLines(r.Sources, len(r.Sources))))
		}
	}
	return pack.Section{ID: "reasons", Title: "Why they are judged so", Table: &pack.Table{
		Name: "reasons", Table: t, Whole: &whole, Widths: []int{10, 9, 50, 31}, None: "Every device is fit, and nothing is to be said of any.",
	}}
}

func (a *audited) artifactSection() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "artifact"}, {Title: "kind"}, {Title: "serial"}, {Title: "features"}, {Title: "service"}, {Title: "calibration due"}, {Title: "objection"}}}
	for _, x := range a.assessment.Artifacts {
		if !a.all && !a.reliesOn(x.ID) {
			continue
		}
		objection := table.Text("none")
		if x.Objection != "" {
			objection = table.Word(x.Objection, table.Bad)
		}
		if x.Record == nil {
			t.Add(table.Text(x.ID), table.Text("its record cannot be read"), table.Text(""), table.Text(""), table.Text(string(x.Service)), table.Text(dueWords(x.Calibration)), objection)
			continue
		}
		var features []string
		for _, f := range x.Record.Features {
			features = append(features, fmt.Sprintf("%s (%s)", f.Name, f.Quantity))
		}
		t.Add(table.Text(x.ID), table.Text(x.Record.Kind), table.Text(x.Record.Serial), table.Text(strings.Join(features, ", ")), table.Text(string(x.Service)), table.Text(dueWords(x.Calibration)), objection)
	}
	return pack.Section{ID: "artifacts", Title: "Artifacts", Table: &pack.Table{Name: "artifacts", Table: t, Widths: []int{11, 12, 10, 23, 10, 14, 20}, None: "No artifact was used."}}
}

// reliesOn tells whether a check of a device the pack is about was made with an artifact.
func (a *audited) reliesOn(artifact string) bool {
	for id := range a.about {
		if slices.ContainsFunc(a.set.Checks[id], func(k *records.Check) bool { return k.Artifact == artifact }) {
			return true
		}
	}
	return false
}

func (a *audited) certificateSection() pack.Section {
	columns := []table.Column{
		{Title: "subject"}, {Title: "certificate"}, {Title: "date"}, {Title: "laboratory"}, {Title: "accreditation"}, {Title: "as found"}, {Title: "adjusted"}, {Title: "review"}, {Title: "record"},
	}
	last := len(columns) - 1 // the record, whose name on the page would only say the first three again
	t, whole := table.Table{Columns: columns[:last]}, table.Table{Columns: columns}
	for _, subject := range sortedNames(a.set.Certificates) {
		if !a.all && !a.about[subject] && !a.reliesOn(subject) {
			continue
		}
		for _, x := range a.knowledge.Acceptances(subject) {
			c := x.Certificate
			review := table.Word("none", table.Bad)
			if x.Outcome != "" {
				review = table.Text(string(x.Outcome))
				if c.Review != nil {
					review = table.Text(fmt.Sprintf("%s on %s by %s", x.Outcome, c.Review.Date, c.Review.By))
				}
			}
			found := "none stated"
			if n := len(c.AsFound); n > 0 {
				found = counted(n, "error")
			} else if n := len(c.Values); n > 0 {
				found = counted(n, "value")
			}
			cells := []table.Cell{
				table.Text(subject), table.Text(c.Number), table.Text(c.Date.String()), table.Text(c.Laboratory), table.Text(orElse(c.Accreditation, "none stated")),
				table.Text(found), table.Text(yesNo(c.Adjusted)), review, table.Text(c.File),
			}
			t.Add(cells[:last]...)
			whole.Add(cells...)
		}
	}
	return pack.Section{ID: "certificates", Title: "Certificates", Table: &pack.Table{
		Name: "certificates", Table: t, Whole: &whole, Widths: []int{10, 11, 10, 17, 11, 8, 8, 25}, None: "There is no certificate in the records.",
	}}
}

func orElse(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// eventSection lists what happened to the devices in the period: firmware, places, adjustments, repairs.
func (a *audited) eventSection() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "subject"}, {Title: "when"}, {Title: "event"}, {Title: "what"}, {Title: "by"}, {Title: "record"}}}
	for _, subject := range sortedNames(a.set.Events) {
		if !a.all && !a.about[subject] && !a.reliesOn(subject) {
			continue
		}
		for _, v := range a.set.Events[subject] {
			if !a.inPeriod(calendar.Of(v.Time, a.zone)) || !a.known(v.Entered) {
				continue
			}
			what := []string{v.Reason, before("firmware ", v.Firmware), before("now at ", v.Location), before("now of ", v.Owner), v.Note}
			if !v.Until.IsZero() {
				what = append(what, "until "+v.Until.String())
			}
			if v.Amends != "" {
				what = append(what, "corrects "+v.Amends)
			}
			t.Add(table.Text(subject), table.Text(v.Time.In(a.zone).Format("2006-01-02 15:04")), spaced(string(v.Kind)), table.Text(notEmpty("\n", what...)), table.Text(v.By), table.Text(v.File))
		}
	}
	return pack.Section{ID: "events", Title: "Events in the period", Table: &pack.Table{
		Name: "events", Table: t, Widths: []int{9, 15, 12, 34, 6, 24}, None: "Nothing was recorded of any device or artifact in the period beside checks and certificates.",
	}}
}

// before puts words before a text, where there is one.
func before(words, text string) string {
	if text == "" {
		return ""
	}
	return words + text
}

// spaced shows a word of the records as it is spoken.
func spaced(word string) table.Cell {
	cell := table.Text(word)
	cell.Shown = strings.ReplaceAll(word, "-", " ")
	return cell
}

func (a *audited) inPeriod(d calendar.Date) bool {
	return !d.Before(a.from) && !d.After(a.assessment.Today)
}

// known tells whether a record entered then counts at the instant.
func (a *audited) known(entered time.Time) bool { return a.options.Hindsight || !entered.After(a.at) }

func sortedNames[T any](m map[string]T) []string {
	out := make([]string, 0, len(m))
	for name := range m {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
