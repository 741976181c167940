package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// mostLooks bounds the work of judging every device day by day: checks on record times checks in the period, summed over the
// devices. A million take some seconds; a fleet checked weekly for a year stays below, one checked daily does not.
const mostLooks = 1_000_000

// overTime is what the devices went through in the period, as was known at the end of each day.
type overTime struct {
	calibration, fitness map[string][]pack.Band // by device
	late                 []late
	judged               bool // fitness and checks too, not calibration alone
}

// late is a time in which something was overdue.
type late struct {
	device, what   string
	due            calendar.Date
	since, until   calendar.Date // first and last day overdue
	lasts, through bool          // still at the end; since before the period
}

// overTime follows the devices through the period. Only days on which something can change are judged.
func (a *audited) overTime() *overTime {
	set := *a.set
	set.Devices, set.Checks = map[string]*records.Device{}, map[string][]*records.Check{}
	looks := 0
	for id := range a.about {
		if d := a.set.Devices[id]; d != nil {
			set.Devices[id] = d
		}
		inside := 0
		for _, k := range a.set.Checks[id] {
			if a.inPeriod(calendar.Of(k.Time, a.zone)) {
				inside++
			}
		}
		looks += inside * len(a.set.Checks[id])
	}
	out := &overTime{calibration: map[string][]pack.Band{}, fitness: map[string][]pack.Band{}, judged: looks <= mostLooks}
	if out.judged {
		for id := range a.about {
			set.Checks[id] = a.set.Checks[id]
		}
	}
	follower := rules.Evaluator{Options: a.options}
	open := map[string]*late{}
	day := a.from
	for {
		at := day.EndIn(a.zone).Add(-1)
		if at.After(a.at) {
			at = a.at
		}
		judged := follower.At(&set, at)
		for i := range judged.Devices {
			out.note(&judged.Devices[i], day, open)
		}
		next := follower.Next()
		if next.IsZero() || next.After(a.at) || day == a.assessment.Today {
			break
		}
		if day = calendar.Of(next, a.zone); !next.After(at) {
			break // it cannot be, and would never end
		}
	}
	out.end(a.assessment.Today, open)
	return out
}

// note takes down how a device stands on a day.
func (o *overTime) note(d *rules.Device, day calendar.Date, open map[string]*late) {
	kind, words := calibrationBand(d)
	o.calibration[d.ID] = goOn(o.calibration[d.ID], day, kind, words)
	if o.judged {
		kind, words = fitnessBand(d)
		o.fitness[d.ID] = goOn(o.fitness[d.ID], day, kind, words)
	}
	dues := []rules.Due{d.Calibration}
	if o.judged {
		dues = append(dues, d.Checks...)
	}
	for i := range dues {
		x := &dues[i]
		if x.Extra {
			continue
		}
		key := d.ID + "\x00" + x.What
		was := open[key]
		if was != nil && (x.State != rules.Overdue || x.Date != was.due) {
			was.until = day.AddDays(-1)
			o.late = append(o.late, *was)
			delete(open, key)
			was = nil
		}
		if x.State == rules.Overdue && was == nil {
			open[key] = &late{device: d.ID, what: x.What, due: x.Date, since: x.Date.AddDays(1), through: x.Date.AddDays(1).Before(day)}
		}
	}
}

// end closes what lasts on the last day.
func (o *overTime) end(last calendar.Date, open map[string]*late) {
	for _, key := range sortedNames(open) {
		l := open[key]
		l.until, l.lasts = last, true
		o.late = append(o.late, *l)
	}
	for _, bands := range []map[string][]pack.Band{o.calibration, o.fitness} {
		for _, list := range bands {
			if n := len(list); n > 0 {
				list[n-1].To = last
			}
		}
	}
}

// goOn lengthens the last band or begins another.
func goOn(list []pack.Band, day calendar.Date, kind pack.BandKind, words string) []pack.Band {
	if n := len(list); n > 0 {
		if list[n-1].Kind == kind && list[n-1].Words == words {
			return list
		}
		list[n-1].To = day.AddDays(-1)
	}
	return append(list, pack.Band{From: day, Kind: kind, Words: words})
}

func calibrationBand(d *rules.Device) (pack.BandKind, string) {
	switch d.Service.State {
	case rules.Withdrawn, rules.Retired, rules.NotInService:
		return pack.Out, string(d.Service.State)
	case rules.InService:
	}
	switch d.Calibration.State {
	case rules.NotRequired:
		return pack.Out, "not required"
	case rules.Stopped:
		return pack.Out, "stopped"
	case rules.Missing:
		return pack.Unsure, "never calibrated"
	case rules.Overdue:
		return pack.Bad, "overdue"
	case rules.Soon, rules.DueNow, rules.Ahead:
		if d.Calibration.Extension != nil {
			return pack.Watched, "extended"
		}
		return pack.Good, "within its interval"
	}
	return pack.Unsure, "not known"
}

func fitnessBand(d *rules.Device) (pack.BandKind, string) {
	if d.Service.State == rules.NotInService || d.Service.State == rules.Retired {
		return pack.Out, string(d.Service.State)
	}
	words := string(d.Fitness)
	if d.Fitness != rules.Fit && len(d.Reasons) > 0 {
		words += ": " + rules.TitleOf(d.Reasons[0].Code)
	}
	switch d.Fitness {
	case rules.Fit:
		return pack.Good, words
	case rules.Limited:
		return pack.Watched, words
	case rules.Unknown:
		return pack.Unsure, words
	case rules.Unfit:
	}
	return pack.Bad, words
}

// rowsOnPaper is how many rows of a time line stand on a page of A4.
const rowsOnPaper = 40

func (a *audited) timeSection(o *overTime) pack.Section {
	s := pack.Section{ID: "over-time", Title: "Status over time", Apart: true, Lead: []string{
		"Judged for the end of every day on which something can change, by what was known on that day. Height and hatching tell the state, colour repeats it.",
	}}
	s.Parts = append(s.Parts, a.bands("calibration-over-time", "Calibration", "calibration", o.calibration,
		[5]string{"not required or out of service", "within its interval", "extended", "never calibrated", "overdue"}))
	if o.judged {
		s.Parts = append(s.Parts, a.bands("fitness-over-time", "Fitness", "fitness", o.fitness, [5]string{"not in service", "fit", "limited", "unknown", "unfit"}))
	} else {
		s.Lead = append(s.Lead, `These are too many checks to judge each device day by day, so fitness over time and overdue checks are left out. `+
			`They stand in the pack of fewer devices; "plumbrule status --at DAY" tells the fitness on a day.`)
	}
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "what"}, {Title: "was due by"}, {Title: "overdue from"}, {Title: "to"}, {Title: "days", Align: table.Right}, {Title: "ended by"}}}
	for _, l := range o.late {
		ended := table.Word("lasts", table.Bad)
		if !l.lasts {
			ended = table.Text(a.endedBy(&l))
		}
		t.Add(table.Text(l.device), table.Text(l.what), table.Text(l.due.String()), table.Text(l.since.String()), table.Text(l.until.String()), table.Count(l.since.DaysUntil(l.until)+1), ended)
	}
	none := "Nothing was overdue at the end of any day of the period."
	if !o.judged {
		none = "No calibration was overdue at the end of any day of the period."
	}
	s.Parts = append(s.Parts, pack.Section{ID: "overdue", Title: "Overdue in the period", Table: &pack.Table{
		Name: "overdue", Table: t, Widths: []int{11, 16, 11, 11, 11, 7, 33}, None: none,
	}})
	return s
}

// endedBy says what was recorded on the day on which something was no longer overdue.
func (a *audited) endedBy(l *late) string {
	day := l.until.AddDays(1)
	for _, k := range a.set.Checks[l.device] {
		if k.Procedure == l.what && (calendar.Of(k.Time, a.zone) == day || calendar.Of(k.Entered, a.zone) == day) {
			return k.File
		}
	}
	for _, c := range a.set.Certificates[l.device] {
		if l.what == records.OfCalibration && (c.Date == day || calendar.Of(c.Entered, a.zone) == day || c.Review != nil && c.Review.Date == day) {
			return c.File
		}
	}
	for _, v := range a.set.Events[l.device] {
		if calendar.Of(v.Time, a.zone) == day || calendar.Of(v.Entered, a.zone) == day {
			return v.File
		}
	}
	return ""
}

// bands draws the states of all devices, and lists those that are not as they should be.
func (a *audited) bands(id, title, name string, states map[string][]pack.Band, legend [5]string) pack.Section {
	s := pack.Section{ID: id, Title: title}
	columns := []table.Column{{Title: "device"}, {Title: "from"}, {Title: "to"}, {Title: "days", Align: table.Right}, {Title: "state"}}
	t, whole := table.Table{Columns: columns}, table.Table{Columns: columns}
	good := legend[pack.Good]
	line := pack.Timeline{From: a.from, To: a.assessment.Today}
	draw := func() {
		if len(line.Rows) == 0 {
			return
		}
		label := fmt.Sprintf("%s of %s to %s from %s to %s; the table below lists every state but %q", title, line.Rows[0].Name, line.Rows[len(line.Rows)-1].Name, a.from, a.assessment.Today, good)
		s.Drawn = append(s.Drawn, pack.Drawing{SVG: line.SVG(label, legend)})
		line.Rows = nil
	}
	for _, d := range a.devices {
		line.Rows = append(line.Rows, pack.Row{Name: d.ID, Bands: states[d.ID]})
		if len(line.Rows) == rowsOnPaper {
			draw()
		}
		for _, b := range states[d.ID] {
			tone := [...]table.Tone{table.Neutral, table.Neutral, table.Doubtful, table.Doubtful, table.Bad}[b.Kind]
			cells := []table.Cell{table.Text(d.ID), table.Text(b.From.String()), table.Text(b.To.String()), table.Count(b.From.DaysUntil(b.To) + 1), table.Word(b.Words, tone)}
			whole.Add(cells...)
			if b.Kind != pack.Good {
				t.Add(cells...)
			}
		}
	}
	draw()
	s.Lead = []string{fmt.Sprintf("At all times that the table does not list, a device was %q. The files have every time.", good)}
	s.Table = &pack.Table{
		Name: name + "-over-time", Table: t, Whole: &whole, Widths: []int{14, 13, 13, 8, 52},
		None: fmt.Sprintf("Every device was %q throughout.", good),
	}
	return s
}
