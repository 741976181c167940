package trace

import (
	"slices"

	"plumbrule/records"
)

// Used is a gap of a device that a job was measured with.
type Used struct {
	Device string
	Gap    Gap
}

// UsedFor lists the gaps because of which the devices of a job were not to be
// used for it: they are not listed, their records cannot be used, or they were
// not fit on a day of the job for what it measured. The chain of the job has the
// same, and all that the devices rest on. A job that had not begun, or measured
// nothing, has none.
func (r *Records) UsedFor(j *records.Job) []Used {
	if r.day(r.at).Before(j.Begin) {
		return nil
	}
	needs, _, err := needsOf(j, "")
	if err != nil {
		return nil
	}
	b := r.builder("")
	s := b.step(Job, j.File, j.ID)
	for _, id := range j.Devices {
		if d := b.set.Devices[id]; d != nil {
			b.through(s, d, within(d, needs), b.endOf(j.Begin), b.endOf(j.End))
		} else {
			b.unlisted(s, j, id)
		}
	}
	b.sortGaps()
	var out []Used
	for _, g := range b.chain.Gaps() {
		out = append(out, Used{b.chain.Steps[g.Step].Name, g.Gap})
	}
	return out
}

// within lists the needs for which a device has a limit.
func within(d *records.Device, needs []need) []need {
	return slices.DeleteFunc(slices.Clone(needs), func(n need) bool { return d.LimitFor(n.quantity, n.lengthMM) == nil })
}
