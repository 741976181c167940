package rules

import (
	"plumbrule/records"
)

// deviceContext is the evaluation of one device in progress.
type deviceContext struct {
	*context
	id     string
	record *records.Device
	view   view

	accepted             []accepted // certificates of the device
	unreviewed, sentBack []*records.Certificate
	subjects             map[subjectKey]*subject
	measured             []measured              // by procedure and feature
	before               map[*records.Limit]bool // proven before the last restart
	extras               []Due                   // asked by signals and events
	inDoubt              []Doubt                 // looked for where there are cases
	unanswered           []records.Quantity      // failed, with no case about it
	unansweredBy         []Source
	supposed             *fault // a reference supposed to be wrong; nil: none

	out Device
}

func (c *context) newDevice(id string) *deviceContext {
	c = c.apart()
	d := &deviceContext{
		context: c, id: id, record: c.set.Devices[id], view: c.viewOf(id),
		subjects: map[subjectKey]*subject{}, before: map[*records.Limit]bool{},
	}
	d.accepted, d.unreviewed, d.sentBack = c.acceptances(&d.view)
	d.out = Device{ID: id, Record: d.record, Fitness: Fit}
	return d
}

// device assesses one device and counts the records left out as later.
func (c *context) device(id string) (Device, int) {
	d := c.newDevice(id)
	d.assess()
	return d.out, d.view.later
}

// assess fills in the assessment. The order matters: each step may look at the
// reasons of those before it.
func (d *deviceContext) assess() {
	if d.record == nil {
		d.unreadable()
		d.out.Cases = d.casesOf(d.id)
		d.finish()
		return
	}
	d.service()
	d.findCases()
	d.evidence()
	d.unreadable()
	d.calibration()
	d.verdicts()
	d.failedThenPassed()
	d.withdrawal()
	d.pasts()
	d.noCase()
	d.reportCases()
	d.charts()
	d.doubts()
	d.firmware()
	d.checks()
	d.unproven()
	d.scopes()
	d.out.Fitness = d.worst()
	d.jobsUnderWay()
	d.finish()
}

// add lists a reason with the effect the site's policy gives it.
func (d *deviceContext) add(code, sentence string, quantities []records.Quantity, sources ...Source) {
	d.out.Reasons = append(d.out.Reasons, Reason{
		Code: code, Effect: d.policy().effect[code], Sentence: sentence, Quantities: quantities, Sources: sources,
	})
}

// worst returns the worst effect of the reasons found so far.
func (d *deviceContext) worst() Fitness {
	f := Fit
	for _, r := range d.out.Reasons {
		f = worse(f, r.Effect)
	}
	return f
}

// finish takes the worst effect for the fitness and puts the reasons in order.
func (d *deviceContext) finish() {
	d.out.Fitness = d.worst()
	d.sortReasons(d.out.Reasons)
}
