package main

import (
	"time"

	"plumbrule/rules"
	"plumbrule/rules/drift"
)

// deviceDriftJSON is what drift prints as JSON for a device: an interface, to which fields are only added.
type deviceDriftJSON struct {
	Device       string           `json:"device"`
	At           string           `json:"at"`
	Hindsight    bool             `json:"hindsight"`
	Level        float64          `json:"level"`
	Horizon      string           `json:"horizon"`
	Trends       []trendJSON      `json:"trends"`
	Certificates []errorTrendJSON `json:"certificates"`
	Compared     []witnessJSON    `json:"compared"`
	Findings     []findingJSON    `json:"findings"`
}

type trendJSON struct {
	Procedure   string     `json:"procedure"`
	Artifact    string     `json:"artifact"`
	Feature     string     `json:"feature"`
	Quantity    string     `json:"quantity"`
	Current     bool       `json:"current"`
	MPEVaries   bool       `json:"mpe_varies"`
	Recertified []stepJSON `json:"recertified"`
	courseJSON
}

// courseJSON is a line by segments with the forecast from the last one, the present. Slopes are those of the present
// segment. Points count from 1.
type courseJSON struct {
	MPEUM         *float64            `json:"mpe_um"`
	Outcome       string              `json:"outcome"`
	Reason        string              `json:"reason"`
	LimitUM       *float64            `json:"limit_um"`
	MeetsLimitOn  *string             `json:"meets_limit_on"`
	LineMeetsOn   *string             `json:"line_meets_limit_on"`
	SlopePerDayUM *float64            `json:"slope_um_per_day"`
	SlopeLowerUM  *float64            `json:"slope_lower_um_per_day"`
	SlopeUpperUM  *float64            `json:"slope_upper_um_per_day"`
	ResidualSDUM  *float64            `json:"residual_sd_um"`
	Residual      *residualJSON       `json:"residual"`
	TheilSen      *theilSenJSON       `json:"theil_sen"`
	Segments      []courseSegmentJSON `json:"segments"`
	Points        []coursePointJSON   `json:"points"`
	Reasons       absences            `json:"reasons"`
}

type courseSegmentJSON struct {
	FirstN        int      `json:"first_n"`
	LastN         int      `json:"last_n"`
	From          string   `json:"from"`
	To            string   `json:"to"`
	SlopePerDayUM *float64 `json:"slope_um_per_day"`
	Reason        string   `json:"reason"`
}

type coursePointJSON struct {
	N       int     `json:"n"`
	Time    string  `json:"time"`
	ErrorUM float64 `json:"error_um"`
	File    string  `json:"file"`
}

// errorTrendJSON is an error of the device's certificates; path_m is null where no path is stated.
type errorTrendJSON struct {
	Quantity string      `json:"quantity"`
	LengthMM float64     `json:"length_mm"`
	PathM    *float64    `json:"path_m"`
	Steps    []stepJSON  `json:"steps"`
	Breaks   []breakJSON `json:"breaks"`
	courseJSON
}

// stepJSON is a change between two certificates; ratio is |change_um|/expanded_um.
type stepJSON struct {
	From       string   `json:"from"`
	To         string   `json:"to"`
	FromDate   string   `json:"from_date"`
	ToDate     string   `json:"to_date"`
	FromUM     float64  `json:"from_um"`
	ToUM       float64  `json:"to_um"`
	ChangeUM   float64  `json:"change_um"`
	ExpandedUM *float64 `json:"expanded_um"`
	Ratio      *float64 `json:"ratio"`
	Reason     string   `json:"reason"`
}

type breakJSON struct {
	To     string `json:"to"`
	ToDate string `json:"to_date"`
	Why    string `json:"why"`
}

// witnessJSON is a series, or a change of certificates, as the comparison of drifts took it.
type witnessJSON struct {
	Artifact      string   `json:"artifact"`
	Quantity      string   `json:"quantity"`
	Certificates  bool     `json:"certificates"`
	Feature       string   `json:"feature"`
	Procedure     string   `json:"procedure"`
	SlopePerDayUM *float64 `json:"slope_um_per_day"`
	LowerUM       *float64 `json:"lower_um_per_day"`
	UpperUM       *float64 `json:"upper_um_per_day"`
	Reasons       absences `json:"reasons"`
}

type findingJSON struct {
	Cause    string `json:"cause"`
	Artifact string `json:"artifact"`
	Quantity string `json:"quantity"`
	Sentence string `json:"sentence"`
}

func (d *deviceDrift) json() deviceDriftJSON {
	zone := zoneOf(d.set)
	out := deviceDriftJSON{
		Device: d.id, At: d.at.In(zone).Format(time.RFC3339), Hindsight: d.options.Hindsight, Level: d.o.level.value, Horizon: d.o.horizon.value.String(),
		Trends: []trendJSON{}, Certificates: []errorTrendJSON{}, Compared: []witnessJSON{}, Findings: []findingJSON{},
	}
	for i := range d.trends {
		t := &d.trends[i]
		limit := t.LimitUM()
		c := courseJSONOf(&t.Course, &limit)
		for n, k := range t.Checks {
			c.Points = append(c.Points, coursePointJSON{n + 1, k.Time.In(zone).Format(time.RFC3339), t.Points[n].ErrorUM, k.File})
		}
		c.segments(&t.Course)
		out.Trends = append(out.Trends, trendJSON{
			t.Procedure, t.Artifact, t.Feature, string(t.Quantity), t.Current, t.LimitVaries(), stepsJSON(t.Recertified), c,
		})
	}
	for i := range d.errors {
		t := &d.errors[i]
		c := courseJSONOf(&t.Course, t.LimitUM.Value)
		if t.LimitUM.Value == nil {
			c.Reasons["mpe_um"] = t.LimitUM.Reason
		}
		for n, e := range t.Errors {
			c.Points = append(c.Points, coursePointJSON{n + 1, e.Certificate.Date.String(), e.Figure.Micrometres(), e.Certificate.File})
		}
		c.segments(&t.Course)
		one := errorTrendJSON{Quantity: string(t.Quantity), LengthMM: t.Length.Millimetres(), Steps: stepsJSON(t.Steps), Breaks: breaksJSON(t.Breaks), courseJSON: c}
		if !t.Path.IsZero() {
			path := t.Path.Metres()
			one.PathM = &path
		}
		out.Certificates = append(out.Certificates, one)
	}
	for i, s := range d.causes.Slopes {
		r := absences{}
		w := witnessJSON{
			Artifact: s.Artifact, Quantity: string(s.Quantity), Certificates: s.Certificates,
			SlopePerDayUM: r.value("slope_um_per_day", s.PerDayUM), LowerUM: r.value("lower_um_per_day", s.Lower), UpperUM: r.value("upper_um_per_day", s.Upper), Reasons: r,
		}
		if i < len(d.causes.Witnesses) {
			w.Feature, w.Procedure = d.causes.Witnesses[i].Feature, d.causes.Witnesses[i].Procedure
		}
		out.Compared = append(out.Compared, w)
	}
	for _, f := range d.causes.Findings {
		out.Findings = append(out.Findings, findingJSON{string(f.Cause), f.Artifact, string(f.Quantity), f.Sentence})
	}
	return out
}

func courseJSONOf(c *rules.Course, mpeUM *float64) courseJSON {
	r := absences{}
	out := courseJSON{
		MPEUM: mpeUM, Outcome: string(c.Forecast.Outcome), Reason: forecastWords(c), LimitUM: r.value("limit_um", c.Forecast.LimitUM),
		MeetsLimitOn: textOrNull(dateText(c.MeetsOn)), LineMeetsOn: textOrNull(dateText(c.FittedOn)),
		TheilSen: theilSenJSONOf(c.Robust), Segments: []courseSegmentJSON{}, Points: []coursePointJSON{}, Reasons: r,
	}
	if c.MeetsOn.IsZero() {
		r["meets_limit_on"] = out.Reason
	}
	if c.FittedOn.IsZero() {
		r["line_meets_limit_on"] = out.Reason
		if c.Forecast.Outcome == drift.MeetsLimit {
			r["line_meets_limit_on"] = "not within the horizon"
		}
	}
	if c.Robust == nil {
		r["theil_sen"] = c.NoRobust
	}
	line := c.Present().Line
	if line == nil {
		for _, name := range []string{"slope_um_per_day", "slope_lower_um_per_day", "slope_upper_um_per_day", "residual_sd_um", "residual"} {
			r[name] = c.Present().Reason
		}
		return out
	}
	residual := residualJSONOf(line.Residual)
	out.SlopePerDayUM, out.ResidualSDUM, out.Residual = &line.Slope, &line.ResidualSD, &residual
	out.SlopeLowerUM, out.SlopeUpperUM = r.value("slope_lower_um_per_day", c.Slope.Lower), r.value("slope_upper_um_per_day", c.Slope.Upper)
	return out
}

// segments lists the segments of a course whose points are listed already.
func (j *courseJSON) segments(c *rules.Course) {
	for _, s := range c.Segments {
		one := courseSegmentJSON{FirstN: s.First + 1, LastN: s.Last + 1, From: j.Points[s.First].Time, To: j.Points[s.Last].Time, Reason: s.Reason}
		if s.Line != nil {
			one.SlopePerDayUM = &s.Line.Slope
		}
		j.Segments = append(j.Segments, one)
	}
}

func stepsJSON(list []rules.Step) []stepJSON {
	out := []stepJSON{}
	for _, s := range list {
		out = append(out, stepJSON{
			s.From.Certificate.Number, s.To.Certificate.Number, s.From.Certificate.Date.String(), s.To.Certificate.Date.String(),
			s.From.Figure.Micrometres(), s.To.Figure.Micrometres(), s.ChangeUM, s.ExpandedUM.Value, s.Ratio.Value, s.Ratio.Reason,
		})
	}
	return out
}

func breaksJSON(list []rules.Break) []breakJSON {
	out := []breakJSON{}
	for _, b := range list {
		out = append(out, breakJSON{b.To.Number, b.To.Date.String(), b.Why})
	}
	return out
}
