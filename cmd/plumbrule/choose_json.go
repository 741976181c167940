package main

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/quantity"
	"plumbrule/rules/choose"
	"plumbrule/rules/figure"
)

// chooseJSON is what choose prints as JSON: an interface, to which fields are only added.
type chooseJSON struct {
	At             string             `json:"at"`
	Hindsight      bool               `json:"hindsight"`
	Job            *string            `json:"job"`
	Begin          string             `json:"begin"`
	End            string             `json:"end"`
	MinimumRatio   float64            `json:"minimum_ratio"`
	RatioFrom      string             `json:"ratio_from"` // "site" or "default"
	LowCelsius     *float64           `json:"low_celsius"`
	HighCelsius    *float64           `json:"high_celsius"`
	Recorded       []string           `json:"recorded_devices"`
	Needs          []chooseNeedJSON   `json:"needs"`
	Devices        []chooseDeviceJSON `json:"devices"`
	SuitableCount  int                `json:"suitable"`
	ConditionCount int                `json:"conditional"`
}

type chooseNeedJSON struct {
	Quantity    string   `json:"quantity"`
	ToleranceUM float64  `json:"tolerance_um"`
	HalfUM      float64  `json:"half_tolerance_um"`
	AllowedUM   float64  `json:"allowed_bound_um"`
	LengthM     float64  `json:"length_m"`
	PathM       *float64 `json:"path_m"`
}

type chooseDeviceJSON struct {
	Device    string               `json:"device"`
	Fitness   string               `json:"fitness"`
	Standing  string               `json:"standing"`
	Share     *float64             `json:"share"`
	LastDay   *string              `json:"last_day"`
	Answers   []chooseAnswerJSON   `json:"answers"`
	Obstacles []chooseObstacleJSON `json:"obstacles"`
}

type chooseAnswerJSON struct {
	Quantity    string             `json:"quantity"`
	Limit       *string            `json:"limit"`
	Counts      *string            `json:"limit_counts"` // "path" or "straight"; null: no length
	PathAssumed bool               `json:"path_assumed"`
	MPEUM       *float64           `json:"mpe_um"`
	ThermalUM   float64            `json:"thermal_um"`
	BoundUM     *float64           `json:"bound_um"`
	Share       *float64           `json:"share"`
	Ratio       *float64           `json:"ratio"`
	Probability *float64           `json:"edge_conformance_probability"`
	AcceptUM    *float64           `json:"accept_um"`
	LongestM    *float64           `json:"longest_m"`
	Observed    chooseObservedJSON `json:"observed"`
	Reasons     map[string]string  `json:"reasons"`
}

type chooseObservedJSON struct {
	Errors  int      `json:"errors"`
	Checks  int      `json:"checks"`
	Outside int      `json:"outside"` // errors outside the limit they were found beside
	From    *string  `json:"from"`
	To      *string  `json:"to"`
	MeanUM  *float64 `json:"mean_um"`
	LowerUM *float64 `json:"lower_um"`
	UpperUM *float64 `json:"upper_um"`
}

type chooseObstacleJSON struct {
	Kind     string       `json:"kind"`
	Quantity *string      `json:"quantity"` // null: the device as a whole
	Sentence string       `json:"sentence"`
	Step     string       `json:"step"`
	Mends    bool         `json:"mends"`
	Sources  []sourceJSON `json:"sources"`
}

func (c *chosen) json() chooseJSON {
	out := chooseJSON{
		At: c.at.In(zoneOf(c.set)).Format(time.RFC3339), Hindsight: c.options.Hindsight, Job: textOrNull(c.Job.ID),
		Begin: c.Job.Begin.String(), End: c.Job.End.String(), MinimumRatio: c.Ratio, RatioFrom: "default",
		Recorded: append([]string{}, c.Job.Recorded...), Needs: []chooseNeedJSON{}, Devices: []chooseDeviceJSON{},
	}
	if c.RatioSet {
		out.RatioFrom = "site"
	}
	if climate := c.Job.Climate; climate != nil {
		out.LowCelsius, out.HighCelsius = &climate.LowCelsius, &climate.HighCelsius
	}
	for i := range c.Job.Needs {
		n := &c.Job.Needs[i]
		out.Needs = append(out.Needs, chooseNeedJSON{
			string(n.Quantity), n.Tolerance.Micrometres(), n.HalfUM(), n.HalfUM() / c.Ratio, n.Length.Metres(), metresOrNull(n.Path),
		})
	}
	for i := range c.Candidates {
		x := &c.Candidates[i]
		switch x.Standing {
		case choose.Suitable:
			out.SuitableCount++
		case choose.Conditional:
			out.ConditionCount++
		case choose.Unsuitable:
		}
		d := chooseDeviceJSON{
			Device: x.Device.ID, Fitness: string(x.Device.Fitness), Standing: string(x.Standing), Share: x.Share.Value, LastDay: dateOrNull(x.LastDay),
			Answers: []chooseAnswerJSON{}, Obstacles: []chooseObstacleJSON{},
		}
		if x.Device.Record != nil {
			for n := range x.Answers {
				d.Answers = append(d.Answers, c.answerJSON(n, &x.Answers[n]))
			}
		}
		for _, o := range x.Obstacles {
			row := chooseObstacleJSON{Kind: string(o.Kind), Sentence: o.Sentence, Step: o.Step, Mends: o.Mends, Sources: sourcesJSON(o.Sources)}
			if o.Need >= 0 {
				row.Quantity = textOrNull(string(c.Job.Needs[o.Need].Quantity))
			}
			d.Obstacles = append(d.Obstacles, row)
		}
		out.Devices = append(out.Devices, d)
	}
	return out
}

func (c *chosen) answerJSON(need int, a *choose.Answer) chooseAnswerJSON {
	why := absences{}
	out := chooseAnswerJSON{
		Quantity: string(c.Job.Needs[need].Quantity), PathAssumed: a.PathAssumed, ThermalUM: a.ThermalUM, Reasons: why,
		MPEUM: why.value("mpe_um", a.MPEUM), BoundUM: why.value("bound_um", a.BoundUM), Share: why.value("share", a.Share), Ratio: why.value("ratio", a.Ratio),
		Probability: why.value("edge_conformance_probability", a.Probability), AcceptUM: why.value("accept_um", a.AcceptUM), LongestM: why.value("longest_m", a.LongestM),
		Observed: chooseObservedJSON{
			Errors: a.Observed.Errors, Checks: a.Observed.Checks, Outside: a.Observed.Outside, From: dateOrNull(a.Observed.From), To: dateOrNull(a.Observed.To),
			MeanUM: why.value("observed.mean_um", a.Observed.MeanUM), LowerUM: why.value("observed.lower_um", a.Observed.LowerUM), UpperUM: why.value("observed.upper_um", a.Observed.UpperUM),
		},
	}
	if a.Limit != nil {
		out.Limit, out.Counts = textOrNull(a.Limit.MPE.String()), textOrNull(a.Limit.Length)
	}
	return out
}

func metresOrNull(l quantity.Length) *float64 {
	if l.IsZero() {
		return nil
	}
	m := l.Metres()
	return &m
}

// csv has one row for each device and need, the best first.
func (c *chosen) csv() table.Table {
	um := func(title string) table.Column { return table.Column{Title: title, Unit: "µm"} }
	t := table.Table{Columns: []table.Column{
		{Title: "device"},
		{Title: "standing"},
		{Title: "fitness"},
		{Title: "quantity"},
		um("mpe"), um("thermal"), um("bound"),
		{Title: "share"},
		{Title: "ratio"},
		{Title: "edge conformance probability"},
		um("accept"),
		{Title: "longest", Unit: "m"},
		um("observed mean"), um("observed lower"), um("observed upper"),
		{Title: "errors"},
		{Title: "last day"},
		{Title: "against"},
		{Title: "step"},
	}}
	for i := range c.Candidates {
		x := &c.Candidates[i]
		for n := range x.Answers {
			a := &x.Answers[n]
			against, step := "", ""
			for _, o := range x.Obstacles {
				if o.Need == n || o.Need < 0 {
					against, step = o.Sentence, o.Step
					break
				}
			}
			t.Add(table.Text(x.Device.ID), table.Text(string(x.Standing)), table.Text(string(x.Device.Fitness)), table.Text(string(c.Job.Needs[n].Quantity)),
				rawCell(a.MPEUM), table.Number("", a.ThermalUM), rawCell(a.BoundUM), rawCell(a.Share), rawCell(a.Ratio), rawCell(a.Probability), rawCell(a.AcceptUM), rawCell(a.LongestM),
				rawCell(a.Observed.MeanUM), rawCell(a.Observed.LowerUM), rawCell(a.Observed.UpperUM), table.Count(a.Observed.Errors),
				table.Text(dateText(x.LastDay)), table.Text(against), table.Text(step))
		}
	}
	return t
}

// rawCell is a figure with all its digits for CSV, or nothing.
func rawCell(f figure.Figure) table.Cell {
	if f.Value == nil {
		return table.None()
	}
	return table.Number("", *f.Value)
}
