package main

import (
	"plumbrule/rules/selftest"
)

// selftestJSON is what selftest prints as JSON.
type selftestJSON struct {
	Passed           bool               `json:"passed"`
	Program          versionJSON        `json:"program"`
	ExecutableSHA256 *string            `json:"executable_sha256"`
	ExecutableReason string             `json:"executable_reason,omitempty"`
	CheckValues      int                `json:"check_values"`
	Agree            int                `json:"agree"`
	Parts            []selftestPartJSON `json:"parts"`
	Values           []checkValueJSON   `json:"values"`
}

type selftestPartJSON struct {
	Part        string `json:"part"`
	About       string `json:"about"`
	CheckValues int    `json:"check_values"`
	Agree       int    `json:"agree"`
}

// checkValueJSON is one check value. Numbers are null where words are compared.
type checkValueJSON struct {
	Part            string   `json:"part"`
	Title           string   `json:"title"`
	Input           string   `json:"input"`
	Publication     string   `json:"publication"`
	Edition         string   `json:"edition"`
	Place           string   `json:"place"`
	Seen            string   `json:"seen"`
	Unit            string   `json:"unit"`
	Published       string   `json:"published"`
	Computed        string   `json:"computed"`
	ComputedNumber  *float64 `json:"computed_number"`
	Difference      *float64 `json:"difference"`
	Tolerance       *float64 `json:"tolerance"`
	ToleranceReason string   `json:"tolerance_reason"`
	Agrees          bool     `json:"agrees"`
	Error           string   `json:"error"`
}

func (t *selftested) json() selftestJSON {
	out := selftestJSON{
		Passed: selftest.Passed(t.results), Program: t.program, ExecutableReason: t.whyNone, CheckValues: len(t.results), Agree: t.agree(),
		Parts: []selftestPartJSON{}, Values: []checkValueJSON{},
	}
	if t.sha256 != "" {
		out.ExecutableSHA256 = &t.sha256
	}
	for _, c := range selftest.Counts(t.results) {
		out.Parts = append(out.Parts, selftestPartJSON{Part: c.Name, About: c.About, CheckValues: c.Figures, Agree: c.Agree})
	}
	for _, r := range t.results {
		v := checkValueJSON{
			Part: r.Group.Part, Title: r.Group.Title, Input: r.Value.Input, Publication: r.Group.Publication, Edition: r.Group.Edition,
			Place: r.Group.Place, Seen: string(r.Group.Seen), Unit: r.Group.Unit, Published: r.Value.Printed, Computed: r.Computed,
			ComputedNumber: r.Number, Difference: r.Difference, ToleranceReason: r.Value.Because, Agrees: r.Agrees,
		}
		if !r.Group.Words {
			v.Tolerance = &r.Value.Tolerance
		}
		if r.Err != nil {
			v.Error = r.Err.Error()
		}
		out.Values = append(out.Values, v)
	}
	return out
}
