package rules

import (
	"fmt"
	"slices"

	"plumbrule/records"
)

// unreadable lists the records of the device, and of what its evidence rests
// on, that cannot be read: it is then not known what they say.
func (d *deviceContext) unreadable() {
	kinds := []string{"device", "certificate", "check", "event"}
	for _, kind := range kinds {
		for _, u := range d.broken[kind+" "+d.id] {
			d.cannotRead(u)
		}
	}
	if d.record == nil {
		return
	}
	var procedures, artifacts []string
	for i := range d.record.Checks {
		procedures = append(procedures, d.record.Checks[i].Procedure)
	}
	for _, k := range latestByProcedure(d.view.checks) {
		procedures = append(procedures, k.Procedure)
		artifacts = append(artifacts, k.Artifact)
	}
	for i := range d.out.Evidence {
		if j := d.out.Evidence[i].Judgement; j != nil {
			artifacts = append(artifacts, j.Check.Artifact)
		}
	}
	for _, id := range distinct(procedures) {
		for _, u := range d.broken["procedure "+id] {
			d.cannotRead(u)
		}
	}
	for _, id := range distinct(artifacts) {
		for _, kind := range []string{"artifact", "certificate", "event"} {
			for _, u := range d.broken[kind+" "+id] {
				d.cannotRead(u)
			}
		}
	}
}

func (d *deviceContext) cannotRead(u records.Unreadable) {
	d.add("record-unreadable", fmt.Sprintf("%s cannot be used: %s", u.File, u.Message), nil, Source{u.File, int(u.Position.Line)})
}

// latestByProcedure returns the last check of each procedure.
func latestByProcedure(checks []*records.Check) []*records.Check {
	var out []*records.Check
	seen := map[string]bool{}
	for _, k := range slices.Backward(checks) {
		if !seen[k.Procedure] {
			seen[k.Procedure] = true
			out = append(out, k)
		}
	}
	return out
}

func distinct(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}
