package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// deviceChart is the part of chart that draws the charts of a device in the records.
type deviceChart struct {
	instant                      instantFlags
	procedure, artifact, feature *string
}

func newDeviceChart(f *flagSet) *deviceChart {
	f.head("From the records")
	return &deviceChart{
		instant:   f.instant(),
		procedure: f.text("procedure", "only charts of this procedure, by its `ID`"),
		artifact:  f.text("artifact", "only charts with this artifact, by its `ID`"),
		feature:   f.text("feature", "only charts of this `FEATURE`"),
	}
}

// print draws the charts of one device that the flags select.
func (c *deviceChart) print(e *env, cmd *cobra.Command, flags *chartFlags, device, svg string, strict bool) error {
	j, err := e.judge(cmd.Context(), c.instant)
	if err != nil {
		return err
	}
	if _, err := j.choose([]string{device}); err != nil {
		return err
	}
	all := rules.ChartsThrough(j.set, j.at, j.options, device, flags.look)
	list := slices.DeleteFunc(slices.Clone(all), func(s rules.Series) bool {
		return *c.procedure != "" && s.Procedure != *c.procedure || *c.artifact != "" && s.Artifact != *c.artifact || *c.feature != "" && s.Feature != *c.feature
	})
	if len(list) == 0 {
		return misused(fmt.Sprintf("%s has no such control chart at %s", device, j.at.Format("2006-01-02")), "its charts are "+seriesNames(all))
	}
	charts, book := make([]charted, len(list)), alarmBook{}
	for i := range list {
		if charts[i], err = flags.chartedOf(device, &list[i], j, book); err != nil {
			return err
		}
	}
	if svg != "" {
		if len(charts) > 1 {
			return misused(fmt.Sprintf("--svg draws one chart, and %s has %d", device, len(charts)), "choose with --procedure, --artifact and --feature among "+seriesNames(all))
		}
		if err := e.writeOutput(svg, func(w io.Writer) error { return drawing.SVG(w, charts[0].picture, "chart") }); err != nil {
			return err
		}
	}
	if err := e.print(formatOf(cmd), deviceChartAnswer(device, j, list, charts)); err != nil {
		return err
	}
	if err := j.invalid(); err != nil {
		return err
	}
	return attention(strict, slices.ContainsFunc(list, func(s rules.Series) bool { return len(s.Signals) > 0 }))
}

func seriesNames(list []rules.Series) string {
	var out []string
	for _, s := range list {
		out = append(out, fmt.Sprintf("%s %s %s", s.Procedure, s.Artifact, s.Feature))
	}
	if len(out) == 0 {
		return "none: it has no check that is evidence"
	}
	return strings.Join(out, "; ")
}

// chartedOf makes the picture of a series: errors over time, with its limit where that was the same for all checks. Flags
// that the chart has no use for are refused.
func (c *chartFlags) chartedOf(device string, s *rules.Series, j *judged, book alarmBook) (charted, error) {
	if s.Instead == "" || c.kind.given() {
		wanted := s.Settings.Kind
		if c.kind.given() {
			wanted = c.kind.value
		}
		if err := c.refuse(wanted); err != nil {
			return charted{}, err
		}
	}
	if len(s.Result.Points) == 0 {
		return charted{}, misused(fmt.Sprintf("the chart %s %s %s cannot be computed: %s", s.Procedure, s.Artifact, s.Feature, s.Instead), "")
	}
	zone := zoneOf(j.set)
	p := drawing.Picture{
		Title:    fmt.Sprintf("%s, %s %s by %s with %s", device, s.Quantity, s.Feature, s.Procedure, s.Artifact),
		Quantity: "error", Unit: "µm",
	}
	same := true
	for i, k := range s.Checks {
		p.Points = append(p.Points, drawing.Point{When: k.Time.In(zone), Label: k.File})
		same = same && s.MPEUM[i] == s.MPEUM[0]
	}
	if same && len(s.MPEUM) > 0 {
		p.MPE = &s.MPEUM[0]
	}
	for _, r := range s.Restarts {
		p.Marks = append(p.Marks, drawing.Mark{When: r.Time.In(zone), Text: restartWords(r.What)})
	}
	if s.Instead != "" {
		p.Remarks = append(p.Remarks, "note: charted as single values: "+s.Instead)
	}
	return newCharted(s.Result, s.Settings, p, "check", checkInterval(j.set.Devices[device], s.Procedure), book), nil
}

// restartWords says what began a chart anew.
func restartWords(what string) string {
	if what == "recertified" {
		return "artifact recertified"
	}
	return what
}

// checkInterval is how often the device must be checked by a procedure; zero if nothing says so.
func checkInterval(d *records.Device, procedure string) quantity.Interval {
	for _, c := range d.Checks {
		if c.Procedure == procedure {
			return c.Interval
		}
	}
	return quantity.Interval{}
}

func deviceChartAnswer(device string, j *judged, list []rules.Series, charts []charted) answer {
	zone := zoneOf(j.set)
	out := deviceChartsJSON{Device: device, At: j.at.In(zone).Format("2006-01-02T15:04:05Z07:00"), Charts: []deviceChartJSON{}}
	a := answer{}
	for i, c := range charts {
		s := &list[i]
		one := deviceChartJSON{
			Procedure: s.Procedure, Artifact: s.Artifact, Feature: s.Feature, Quantity: string(s.Quantity), Unit: "µm",
			Restarts: []restartJSON{}, Checks: []chartedCheck{}, chartJSON: c.json(),
		}
		for _, r := range s.Restarts {
			one.Restarts = append(one.Restarts, restartJSON{r.Index + 1, r.Time.In(zone).Format("2006-01-02T15:04:05Z07:00"), r.What})
		}
		for n, k := range s.Checks {
			one.Checks = append(one.Checks, chartedCheck{n + 1, k.Time.In(zone).Format("2006-01-02T15:04:05Z07:00"), k.File, s.MPEUM[n]})
		}
		out.Charts = append(out.Charts, one)
		a.addChart(s, c)
	}
	a.JSON = out
	a.CSV = a.Table
	a.Draw = func(w io.Writer, width int) error {
		for i, c := range charts {
			if i > 0 {
				if _, err := io.WriteString(w, "\n"); err != nil {
					return err
				}
			}
			if err := drawing.Terminal(w, c.picture, width); err != nil {
				return err
			}
		}
		return nil
	}
	return a
}

// addChart appends the rows of one chart to the table of all. Charts of another kind have other columns; those that a chart
// does not have stay empty.
func (a *answer) addChart(s *rules.Series, c charted) {
	t := c.table()
	if len(a.Table.Columns) == 0 {
		a.Table.Columns = []table.Column{{Title: "procedure"}, {Title: "artifact"}, {Title: "feature"}, {Title: "time"}}
	}
	at := make([]int, len(t.Columns))
	for i, column := range t.Columns {
		same := func(other table.Column) bool { return other.Title == column.Title }
		if at[i] = slices.IndexFunc(a.Table.Columns, same); at[i] >= 0 {
			continue
		}
		at[i] = len(a.Table.Columns)
		a.Table.Columns = append(a.Table.Columns, column)
		for r := range a.Table.Rows {
			a.Table.Rows[r] = append(a.Table.Rows[r], table.Text(""))
		}
	}
	for i, from := range t.Rows {
		row := make([]table.Cell, len(a.Table.Columns))
		for x := range row {
			row[x] = table.Text("")
		}
		copy(row, []table.Cell{
			table.Text(s.Procedure), table.Text(s.Artifact), table.Text(s.Feature), table.Text(s.Checks[i].Time.Format("2006-01-02T15:04:05Z07:00")),
		})
		for x, cell := range from {
			row[at[x]] = cell
		}
		a.Table.Add(row...)
	}
	a.Above = append(a.Above, c.headline())
	for _, note := range c.notes() {
		a.Below = append(a.Below, fmt.Sprintf("%s %s: %s", s.Procedure, s.Feature, note))
	}
}
