package impact_test

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
	"plumbrule/rules/figure"
	"plumbrule/rules/impact"
)

// A scanner was found 310 µm off over 2.6 m, twice its limit of 155 µm. A job over 3 m, where the limit is 175 µm, has a
// tolerance of 0.4 mm: 2 · 175 = 350 µm is 175 % of the 200 µm to either side of the middle.
func ExampleOf() {
	mpe, err := quantity.ParseMPE("25 µm + 50 µm/m")
	if err != nil {
		fmt.Println(err)
		return
	}
	limit := &records.Limit{Quantity: records.Distance, MPE: mpe, Length: records.PathLength}
	measured := records.JobFeature{Quantity: records.Distance, Tolerance: quantity.Millimetres(0.4), Length: quantity.Metres(1.2), Path: quantity.Metres(3)}
	job := &records.Job{ID: "p-1", Measured: []records.JobFeature{measured}}
	doubt := rules.Doubt{
		Device: "scan-02", Limit: limit, Kind: rules.OutsideLimit,
		Findings: []rules.Evidence{{
			Limit: limit, Judgement: &rules.Judgement{Length: quantity.Metres(2.6)},
			Decision: conformity.Decision{ErrorUM: 310, MPEUM: 155, ExpandedUM: figure.Known(3.1)},
		}},
		Jobs: []rules.DoubtfulJob{{Job: job, Measured: []*records.JobFeature{&job.Measured[0]}}},
	}
	for _, e := range impact.Of([]rules.Doubt{doubt}, "") {
		l := e.Lines[0]
		fmt.Printf("%s: %.0f µm, %.0f %% of half the tolerance, at most %.1f %%\n", e.Job.ID, *l.ErrorUM.Value, *l.Share.Value*100, *e.Most.Value*100)
	}
	// Output: p-1: 350 µm, 175 % of half the tolerance, at most 176.8 %
}
