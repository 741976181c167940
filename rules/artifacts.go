package rules

import (
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// Artifact is the assessment of one artifact: whether reference values may be
// taken from it today, and when its calibration falls due.
type Artifact struct {
	ID          string
	Record      *records.Artifact // nil when its own file cannot be read
	Service     ServiceState
	Calibration Due
	// Objection says why no check made today with it would be evidence; empty
	// when nothing stands against it. Code is that of the reason it would cause.
	Code, Objection string
	Cases           []Case // about it, open and closed, by id
}

// artifactsAssessed assesses every artifact, sorted by id.
func (c *context) artifactsAssessed() []Artifact {
	ids := c.artifactIDs()
	out := make([]Artifact, len(ids))
	for i, id := range ids {
		out[i] = c.artifactAssessed(id)
	}
	return out
}

// artifactIDs lists the artifacts, those whose own file cannot be read included.
func (c *context) artifactIDs() []string {
	ids := map[string]bool{}
	for id := range c.set.Artifacts {
		ids[id] = true
	}
	for _, u := range c.set.Unreadable {
		if u.Kind == "artifact" {
			ids[u.Subject] = true
		}
	}
	return sortedKeys(ids)
}

func (c *context) artifactAssessed(id string) Artifact {
	a := c.artifacts[id]
	out := Artifact{ID: id, Service: InService, Calibration: Due{What: records.OfCalibration}}
	if a == nil {
		out.Service, out.Code, out.Objection = "", "record-unreadable", "its record cannot be read"
		return out
	}
	out.Record = a.record
	for _, e := range a.events {
		switch e.Kind {
		case records.Withdrawal:
			out.Service = Withdrawn
		case records.ReturnToService:
			out.Service = InService
		case records.Retirement:
			out.Service = Retired
		default:
		}
	}
	out.Cases = c.casesOf(id)
	for i := range out.Cases {
		k := &out.Cases[i]
		k.adjusters(a.events)
		k.lacks(out.Service == Retired, func(s *records.CaseStep) string { return unprovenRecalibration(a, k, s.Evidence) })
	}
	c.artifactDue(a, &out.Calibration)
	for _, kind := range []string{"certificate", "event"} {
		for _, u := range c.broken[kind+" "+id] {
			out.Code, out.Objection = "record-unreadable", u.File+" cannot be used"
			return out
		}
	}
	probe := &records.Check{Artifact: id, Time: c.at, Entered: c.at}
	c.reliedOnUntil(a)
	if _, why := c.rely(a, probe); why.code != "" {
		out.Code, out.Objection = why.code, c.artifactObjection(why)
	}
	return out
}

// artifactDue fills in when the artifact's calibration falls due.
func (c *context) artifactDue(a *artifact, out *Due) {
	plan := a.record.Calibration
	out.Sources = []Source{{a.record.File, plan.Line}}
	out.Interval = plan.Interval
	if plan.NotRequired != "" {
		out.State = NotRequired
		return
	}
	in := c.inForceNow(a.accepted)
	if in == nil {
		out.State, out.Date, out.Planned = Missing, a.record.InService, a.record.InService
		return
	}
	out.Last = in.cert.Date
	out.Sources = append(out.Sources, Source{File: in.cert.File})
	p := period{of: records.OfCalibration, began: in.cert.Date.StartIn(c.zone), anchor: in.cert.Date, interval: plan.Interval}
	s := c.schedule(p, a.events, neverFailed)
	out.Interval, out.Planned, out.Date, out.Extension = s.interval, s.planned, s.date, s.extension
	lead := plan.Lead
	if lead.IsZero() {
		lead = c.lead()
	}
	c.state(out, func(day calendar.Date) int { return daysOf(day, lead) })
}

// artifactObjection says in words why no check made today would be evidence.
func (c *context) artifactObjection(why objection) string {
	switch why.code {
	case "artifact-expired":
		return "its calibration of " + why.in.cert.Date.String() + " ran out on " + why.day.String()
	case "artifact-uncertified":
		return "it has no accepted certificate"
	case "artifact-in-doubt":
		return string(why.event.Kind) + " on " + c.day(why.event.Time).String() + ", not calibrated since"
	}
	return "no check made with it would be evidence (" + why.code + ")"
}

// unprovenRecalibration says what keeps the release of an artifact from being
// proven, or nothing: it names an accepted certificate that came after the case
// was opened.
func unprovenRecalibration(a *artifact, k *Case, evidence string) string {
	for i := range a.accepted {
		cert := a.accepted[i].cert
		if withoutSuffix(cert.File) != withoutSuffix(evidence) {
			continue
		}
		if cert.Entered.Before(k.Opened.Time) && withoutSuffix(k.Opened.Finding) != withoutSuffix(cert.File) {
			return "the certificate it names was there before the case was opened"
		}
		return ""
	}
	return "the evidence it names is no accepted certificate of the artifact"
}
