package rules

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/rules/chart"
	"plumbrule/rules/conformity"
)

// policy is what the site decided, ready for look-up.
type policy struct {
	effect map[string]Fitness
	rank   map[string]int
}

func newPolicy(site *records.Site) policy {
	p := policy{effect: map[string]Fitness{}, rank: map[string]int{}}
	for i, c := range ReasonCodes() {
		p.effect[c.ID] = c.Effect
		p.rank[c.ID] = i
	}
	for _, f := range site.Fitness {
		if c, ok := reasonCode(f.Code); ok && slices.Contains(c.Allowed, Fitness(f.Effect)) {
			p.effect[f.Code] = Fitness(f.Effect)
		}
	}
	return p
}

// reasonCode finds a code of the catalogue.
func reasonCode(id string) (ReasonCode, bool) {
	for _, c := range ReasonCodes() {
		if c.ID == id {
			return c, true
		}
	}
	return ReasonCode{}, false
}

// Codes documents the diagnostics of [Check].
func Codes() []records.Code {
	return []records.Code{
		{ID: "unknown-policy", Severity: records.Error, Title: "a policy for no known reason", Meaning: "The site's [fitness] table names a reason code that does not exist.", Mend: "plumbrule explain reasons lists the codes"},
		{ID: "policy-not-allowed", Severity: records.Error, Title: "an effect that is not allowed", Meaning: "The site's [fitness] table gives a reason an effect that would hide it or that makes no sense.", Mend: "use one of the effects listed"},
		{ID: "unknown-rule", Severity: records.Error, Title: "no such decision rule", Meaning: "The site or a procedure names a decision rule that does not exist.", Mend: "plumbrule explain rules lists the rules"},
		{ID: "unknown-chart", Severity: records.Error, Title: "no such kind of chart", Meaning: "The site or a procedure names a kind of control chart that does not exist.", Mend: "plumbrule explain charts lists the kinds"},
		{ID: "unknown-profile", Severity: records.Error, Title: "no such test profile", Meaning: "A procedure names a test profile for a feature, and there is none of that name.", Mend: "plumbrule explain profiles lists the profiles"},
		{ID: "test-contradicts", Severity: records.Error, Title: "a test about something else", Meaning: "A procedure names a test profile for a feature that is judged for another quantity, or fits readings in another way than the test does. Readings of the feature are no evidence.", Mend: "name the test that is meant; plumbrule explain profiles lists them"},
		{ID: "unknown-test", Severity: records.Error, Title: "no such run test", Meaning: "The site or a procedure names a run test that does not exist.", Mend: "plumbrule explain tests lists the tests"},
	}
}

// Check reports what is wrong with the settings in records that only this
// package can judge: names of rules, tests, reasons and effects. Positions are
// lines.
func Check(set *records.Set) []records.Diagnostic {
	if set.Site == nil {
		return nil
	}
	var out []records.Diagnostic
	report := func(code, file string, line int, message, mend string) {
		d := records.Diagnostic{Code: code, Severity: records.Error, File: file, Message: message, Mend: mend}
		if line > 0 {
			d.Position = records.Position{Line: uint32(line), Column: 1}
		}
		out = append(out, d)
	}
	for _, f := range set.Site.Fitness {
		c, ok := reasonCode(f.Code)
		switch {
		case !ok:
			report("unknown-policy", set.Site.File, f.Line, fmt.Sprintf("there is no reason %q", f.Code), "plumbrule explain reasons lists the codes")
		case !slices.Contains(c.Allowed, Fitness(f.Effect)):
			report("policy-not-allowed", set.Site.File, f.Line, fmt.Sprintf("%s cannot have the effect %q", f.Code, f.Effect), allowedEffects(c))
		}
	}
	rule := func(file, name string, line int) {
		if name == "" {
			return
		}
		if _, err := conformity.ParseRule(name); err != nil {
			report("unknown-rule", file, line, err.Error(), "plumbrule explain rules lists the rules")
		}
	}
	charts := func(file string, c *records.ChartSettings) {
		if _, err := chart.ParseTests(c.Tests); err != nil {
			report("unknown-test", file, c.TestLine, err.Error(), "plumbrule explain tests lists the tests")
		}
		if c.Kind == "" {
			return
		}
		if _, err := chart.ParseKind(c.Kind); err != nil {
			report("unknown-chart", file, c.KindLine, err.Error(), "plumbrule explain charts lists the kinds")
		}
	}
	rule(set.Site.File, set.Site.Decision.Rule, set.Site.Decision.RuleLine)
	charts(set.Site.File, &set.Site.Chart)
	for _, id := range sortedKeys(set.Procedures) {
		p := set.Procedures[id]
		rule(p.File, p.DecisionRule, p.RuleLine)
		charts(p.File, &p.Chart)
		for i := range p.Features {
			if f := &p.Features[i]; f.Test != "" {
				code, message, mend := testFault(set, p, f)
				if code != "" {
					report(code, p.File, f.TestLine, message, mend)
				}
			}
		}
	}
	return out
}

// testFault says what is wrong with the test a procedure names for a feature,
// as far as the procedure and the artifacts it is written for tell.
func testFault(set *records.Set, p *records.Procedure, f *records.ProcedureFeature) (code, message, mend string) {
	mend = "plumbrule explain profiles lists the profiles"
	doc, err := conformity.ParseProfile(f.Test)
	if fault, ok := errors.AsType[*conformity.InputError](err); ok {
		if fault.Mend != "" {
			mend = fault.Mend
		}
		return "unknown-profile", fmt.Sprintf("there is no test %q; there are %s", f.Test, strings.TrimPrefix(fault.Expected, "one of ")), mend
	}
	mend = "name the test that is meant; " + mend
	if why := contradiction(p, &doc, string(f.Quantity), ""); why != "" {
		return "test-contradicts", why, mend
	}
	for _, id := range sortedKeys(set.Artifacts) {
		a := set.Artifacts[id]
		if a.Kind != p.ArtifactKind || a.Feature(f.Name) == nil {
			continue
		}
		embodied := a.Feature(f.Name)
		if why := contradiction(p, &doc, string(records.JudgedQuantity(p, embodied)), string(embodied.Quantity)); why != "" {
			return "test-contradicts", fmt.Sprintf("%s (feature %q of %s)", why, f.Name, id), mend
		}
	}
	return "", "", ""
}

func allowedEffects(c ReasonCode) string {
	if len(c.Allowed) == 0 {
		return "this reason's effect is fixed: take the line out"
	}
	return fmt.Sprintf("allowed are %v", c.Allowed)
}
