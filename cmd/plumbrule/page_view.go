package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/drawing"
	statuspage "plumbrule/cmd/plumbrule/internal/page"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// pageMonths is how far ahead the JSON of the status page's due dates looks.
const pageMonths = 13

// pageView is the snapshot that the status page shows of what was judged.
func pageView(j *judged, alerts []alert.Alert, health statuspage.Health) *statuspage.View {
	data := pageData{j}
	return &statuspage.View{
		At: j.at, Zone: zoneOf(j.set), Set: j.set, Diagnostics: j.diagnostics, Assessment: j.assessment, Alerts: alerts,
		Charts: data.drawn, Data: data, Health: health,
	}
}

// pageData gives the pages as JSON: what the verbs print.
type pageData struct{ *judged }

// Fleet is what status prints.
func (d pageData) Fleet() any {
	devices, err := d.choose(nil)
	if err != nil {
		return nil
	}
	return d.statusJSON(devices)
}

// Due is what due prints of the coming months.
func (d pageData) Due() any {
	within := quantity.Interval{Months: pageMonths}
	return d.dueAnswer(d.dueRows(within), within).JSON
}

// Records is what validate prints.
func (d pageData) Records() any { return d.validateAnswer().JSON }

// Device is what explain prints.
func (d pageData) Device(id string) any {
	devices, err := d.choose([]string{id})
	if err != nil {
		return nil
	}
	return d.explainJSON(devices[0])
}

// Charts is what chart prints.
func (d pageData) Charts(id string) (any, error) {
	list, charts, err := d.charted(id)
	if err != nil {
		return nil, err
	}
	return deviceChartAnswer(id, d.judged, list, charts).JSON, nil
}

// drawn draws the charts of a device.
func (d pageData) drawn(id string) ([]statuspage.Chart, error) {
	list, charts, err := d.charted(id)
	if err != nil {
		return nil, err
	}
	out := make([]statuspage.Chart, len(list))
	for i := range list {
		var svg bytes.Buffer
		if err := drawing.SVG(&svg, charts[i].picture, fmt.Sprintf("chart%d", i+1)); err != nil {
			return nil, err
		}
		s := &list[i]
		out[i] = statuspage.Chart{Procedure: s.Procedure, Artifact: s.Artifact, Feature: s.Feature, Quantity: s.Quantity, SVG: svg.Bytes()}
	}
	return out, nil
}

// charted computes the charts of a device that can be computed, as the records say.
func (d pageData) charted(id string) ([]rules.Series, []charted, error) {
	none := flagsOf(&cobra.Command{}).chart()
	var list []rules.Series
	var charts []charted
	book := alarmBook{}
	for _, s := range rules.ChartsOf(d.set, d.at, d.options, id) {
		if len(s.Result.Points) == 0 {
			continue
		}
		c, err := none.chartedOf(id, &s, d.judged, book)
		if err != nil {
			return nil, nil, err
		}
		list, charts = append(list, s), append(charts, c)
	}
	return list, charts, nil
}
