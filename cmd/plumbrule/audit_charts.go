package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
)

// deviceCharts are the control charts of a device, which are files of the pack.
type deviceCharts struct {
	drawn    []pack.Drawing
	episodes [][]table.Cell // in which a chart signalled, a row each
}

// drawCharts computes the charts of all devices, and draws each into the folder at once: together they are larger than all else
// that is kept.
func (a *audited) drawCharts(folder *pack.Folder) ([]deviceCharts, error) {
	out := make([]deviceCharts, len(a.devices))
	return out, sideBySide(len(a.devices), func(i int) error {
		d := a.devices[i]
		list, charts, err := pageData{a.judged}.charted(d.ID)
		if err != nil {
			return err
		}
		for n := range list {
			name := fmt.Sprintf("charts/%03d-%02d.svg", i+1, n+1)
			if err := folder.Add(name, func(w io.Writer) error {
				return drawing.SVG(w, charts[n].picture, fmt.Sprintf("chart%d-%d", i+1, n+1))
			}); err != nil {
				return err
			}
			out[i].drawn = append(out[i].drawn, pack.Drawing{File: name, Alt: chartText(d, &list[n])})
			out[i].episodes = append(out[i].episodes, a.episodes(d, &list[n])...)
		}
		return nil
	})
}

// chartText says what a chart shows.
func chartText(d *rules.Device, x *rules.Series) string {
	state := "in control at its last point"
	if len(x.Signals) > 0 {
		state = "out of control at its last point: " + signalText(x)
	}
	if x.Provisional {
		state += "; limits provisional"
	}
	return fmt.Sprintf("Control chart of %s, %s %s by %s with %s: %s, %s.", d.ID, x.Quantity, x.Feature, x.Procedure, x.Artifact, counted(x.Points, "point"), state)
}

// chartSection shows the charts, a part a device.
func (a *audited) chartSection(charts []deviceCharts) pack.Section {
	s := pack.Section{ID: "charts", Title: "Control charts", Apart: true, Lead: []string{
		"Errors of indication of every feature, by procedure and artifact, over all checks that are evidence. ISO/IEC 17025:2017, 7.7.1.",
	}}
	for i, d := range a.devices {
		part := pack.Section{ID: fmt.Sprintf("charts-%d", i+1), Title: d.ID, Drawn: charts[i].drawn}
		if len(part.Drawn) == 0 {
			part.Notes = []string{"It has no check that is evidence, and so no chart."}
		}
		s.Parts = append(s.Parts, part)
	}
	return s
}

func signalText(x *rules.Series) string {
	var out []string
	for _, sig := range x.Signals {
		out = append(out, string(sig.Test))
	}
	return strings.Join(out, ", ")
}

// episodeSection lists the stretches in which a chart signalled, with what was done about each.
func episodeSection(charts []deviceCharts) pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "chart"}, {Title: "from"}, {Title: "to"}, {Title: "signals"}, {Title: "error", Unit: "µm", Align: table.Right}, {Title: "what was done"}}}
	for i := range charts {
		for _, cells := range charts[i].episodes {
			t.Add(cells...)
		}
	}
	return pack.Section{
		ID: "out-of-control", Title: "Out of control, and what was done", Apart: true,
		Lead:  []string{"Consecutive checks whose chart signalled in the period are one episode. What followed is what the records show: the next check, events of the device, and cases. ISO/IEC 17025:2017, 7.7.3."},
		Table: &pack.Table{Name: "out-of-control", Table: t, Widths: []int{10, 20, 10, 10, 13, 7, 30}, None: "No chart signalled in the period."},
	}
}

// episodes are the rows of one chart.
func (a *audited) episodes(d *rules.Device, x *rules.Series) [][]table.Cell {
	var out [][]table.Cell
	points := x.Result.Points
	for first := 0; first < len(points); first++ {
		if len(points[first].Signals) == 0 {
			continue
		}
		last := first
		for last+1 < len(points) && len(points[last+1].Signals) > 0 {
			last++
		}
		from, to := x.Checks[first].Time, x.Checks[last].Time
		begin := first
		first = last
		if to.Before(a.from.StartIn(a.zone)) {
			continue
		}
		var tests []string
		worst := x.ErrorsUM[begin]
		for n := begin; n <= last; n++ {
			for _, sig := range points[n].Signals {
				if name := string(sig.Test); !slices.Contains(tests, name) {
					tests = append(tests, name)
				}
			}
			if e := x.ErrorsUM[n]; e*e > worst*worst {
				worst = e
			}
		}
		out = append(out, []table.Cell{
			table.Text(d.ID), table.Text(fmt.Sprintf("%s %s %s", x.Procedure, x.Artifact, x.Feature)), table.Text(a.day(from)), table.Text(a.day(to)),
			table.Text(strings.Join(tests, "\n")), table.Number(fmt.Sprintf("%+.1f", worst), worst), a.answered(d, x, begin, last),
		})
	}
	return out
}

func (a *audited) day(t time.Time) string { return t.In(a.zone).Format("2006-01-02") }

// answered says what the records show after an episode began.
func (a *audited) answered(d *rules.Device, x *rules.Series, first, last int) table.Cell {
	var done []string
	from := x.Checks[first].Time
	until := a.at
	if last+1 < len(x.Checks) {
		k := x.Checks[last+1]
		until = k.Time
		done = append(done, fmt.Sprintf("next check in control on %s", a.day(k.Time)))
	} else {
		done = append(done, "lasts: no later check")
	}
	for _, v := range a.set.Events[d.ID] {
		if v.Time.Before(from) || v.Time.After(until) || !a.known(v.Entered) {
			continue
		}
		switch v.Kind {
		case records.Adjustment, records.Repair, records.Withdrawal, records.Limitation, records.Doubt, records.ReturnToService, records.Retirement, records.IntervalChange:
			done = append(done, fmt.Sprintf("%s on %s", v.Kind, a.day(v.Time)))
		case records.LimitationLifted, records.FirmwareChange, records.Relocation, records.Handover, records.Extension, records.CertificateRead:
		}
	}
	for i := range d.Cases {
		if c := &d.Cases[i]; !c.Opened.Time.Before(from) && !c.Opened.Time.After(until.AddDate(0, 1, 0)) {
			done = append(done, "case "+c.ID)
		}
	}
	if len(done) == 1 {
		done = append(done, "nothing else is recorded")
		return table.Word(strings.Join(done, "\n"), table.Doubtful)
	}
	return table.Text(strings.Join(done, "\n"))
}
