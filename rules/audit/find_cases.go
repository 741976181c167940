package audit

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
)

// cases reports cases that are open for long, were closed too early, or ended
// with a release by who had adjusted.
func (f *finder) cases() {
	for _, id := range f.subjects() {
		cases := f.casesOf(id)
		for i := range cases {
			f.aCase(id, &cases[i])
		}
		if len(cases) == 0 {
			f.returned(id)
		}
	}
}

func (f *finder) aCase(id string, k *rules.Case) {
	opened := rules.Source{File: k.Opened.File}
	lacks := strings.Join(k.Lacks, "; ")
	switch days := f.day(k.Opened.Time).DaysUntil(f.day(f.At)); {
	case k.Open && days > caseDays:
		text := fmt.Sprintf("case %s is open for %d days, with %s", k.ID, days, k.Owner)
		if lacks != "" {
			text += ": it lacks " + lacks
		}
		f.add("case-old", id, text, opened)
	case !k.Open && lacks != "":
		f.add("case-lacking", id, fmt.Sprintf("case %s was closed on %s and lacks %s", k.ID, f.day(closedAt(k).Time), lacks), opened, rules.Source{File: closedAt(k).File})
	}
	f.undecided(id, k)
	for _, s := range k.Steps {
		if s.Step == records.CaseReleased && slices.Contains(k.Adjusters, s.By) {
			f.add("released-alone", id, fmt.Sprintf("%s adjusted it and released it in case %s on %s", s.By, k.ID, f.day(s.Time)), rules.Source{File: s.File})
		}
	}
}

// returned reports returns to service, outside of any case, by who had adjusted
// or repaired it since it was withdrawn.
func (f *finder) returned(id string) {
	var worked []*records.Event
	for _, e := range f.known.Events[id] {
		switch e.Kind {
		case records.Withdrawal:
			worked = nil
		case records.Adjustment, records.Repair:
			worked = append(worked, e)
		case records.ReturnToService:
			for _, w := range worked {
				if w.By == e.By && f.within(e.Time) {
					f.add("released-alone", id, fmt.Sprintf("%s did the %s of %s and returned it to service on %s", e.By, w.Kind, f.day(w.Time), f.day(e.Time)),
						rules.Source{File: w.File}, rules.Source{File: e.File})
				}
			}
			worked = nil
		default:
		}
	}
}
