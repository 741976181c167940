package main

import (
	"bytes"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
)

// deviceCharts are the control charts of a device, drawn.
type deviceCharts struct {
	series []rules.Series
	drawn  [][]byte
}

// drawCharts computes and draws the charts of all devices.
func (a *audited) drawCharts() error {
	a.charts = make([]deviceCharts, len(a.devices))
	fail := make([]error, len(a.devices))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				fail[i] = a.drawDevice(i)
			}
		})
	}
	for i := range a.devices {
		next <- i
	}
	close(next)
	wait.Wait()
	for _, err := range fail {
		if err != nil {
			return err
		}
	}
	return nil
}

func (a *audited) drawDevice(i int) error {
	list, charts, err := pageData{a.judged}.charted(a.devices[i].ID)
	if err != nil {
		return err
	}
	out := deviceCharts{series: list}
	for n := range charts {
		var svg bytes.Buffer
		if err := drawing.SVG(&svg, charts[n].picture, fmt.Sprintf("chart%d-%d", i+1, n+1)); err != nil {
			return err
		}
		out.drawn = append(out.drawn, svg.Bytes())
	}
	a.charts[i] = out
	return nil
}

// chartSection shows the charts, a part a device.
func (a *audited) chartSection() pack.Section {
	s := pack.Section{ID: "charts", Title: "Control charts", Apart: true, Lead: []string{
		"Errors of indication of every feature, by procedure and artifact, over all checks that are evidence. ISO/IEC 17025:2017, 7.7.1.",
	}}
	for i, d := range a.devices {
		part := pack.Section{ID: fmt.Sprintf("charts-%d", i+1), Title: d.ID}
		for n := range a.charts[i].series {
			x := &a.charts[i].series[n]
			caption := fmt.Sprintf("%s, %s %s by %s with %s", d.ID, x.Quantity, x.Feature, x.Procedure, x.Artifact)
			state := "in control at its last point"
			if len(x.Signals) > 0 {
				state = "out of control at its last point: " + signalText(x)
			}
			if x.Provisional {
				state += "; limits provisional"
			}
			part.Drawn = append(part.Drawn, pack.Drawing{
				File: fmt.Sprintf("charts/%03d-%02d.svg", i+1, n+1), SVG: a.charts[i].drawn[n],
				Alt: fmt.Sprintf("Control chart of %s: %s, %s.", caption, counted(x.Points, "point"), state),
			})
		}
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

// episodes lists the stretches in which a chart signalled, with what was done about each.
func (a *audited) episodes() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "chart"}, {Title: "from"}, {Title: "to"}, {Title: "signals"}, {Title: "error", Unit: "µm", Align: table.Right}, {Title: "what was done"}}}
	for i, d := range a.devices {
		for n := range a.charts[i].series {
			a.episodesOf(d, &a.charts[i].series[n], &t)
		}
	}
	return pack.Section{
		ID: "out-of-control", Title: "Out of control, and what was done", Apart: true,
		Lead:  []string{"Consecutive checks whose chart signalled in the period are one episode. What followed is what the records show: the next check, events of the device, and cases. ISO/IEC 17025:2017, 7.7.3."},
		Table: &pack.Table{Name: "out-of-control", Table: t, Widths: []int{10, 20, 10, 10, 13, 7, 30}, None: "No chart signalled in the period."},
	}
}

func (a *audited) episodesOf(d *rules.Device, x *rules.Series, t *table.Table) {
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
		t.Add(table.Text(d.ID), table.Text(fmt.Sprintf("%s %s %s", x.Procedure, x.Artifact, x.Feature)), table.Text(a.day(from)), table.Text(a.day(to)),
			table.Text(strings.Join(tests, "\n")), table.Number(fmt.Sprintf("%+.1f", worst), worst), a.answered(d, x, begin, last))
	}
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
