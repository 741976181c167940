package rules

import (
	"time"

	"plumbrule/records"
)

// Finding is what one reading of a check was judged to be, or why it could not
// be judged.
type Finding struct {
	Reading   *records.Reading
	Judgement *Judgement // nil when Objection says why
	Code      string     // of the reason an objection would cause
	Objection string
}

// JudgeCheck judges every reading of one check by what was known at the
// instant, whether or not later checks have taken its place as evidence. It
// returns nil for a device or check that the set does not have.
func JudgeCheck(set *records.Set, at time.Time, options Options, device, file string) []Finding {
	if set.Site == nil || set.Site.Zone == nil || set.Devices[device] == nil {
		return nil
	}
	d := newContext(set, at, options).newDevice(device)
	for _, k := range set.Checks[device] {
		if k.File != file {
			continue
		}
		b := d.basis(k)
		out := make([]Finding, len(k.Readings))
		for i := range k.Readings {
			out[i].Reading = &k.Readings[i]
			j, why := d.judge(&b, &k.Readings[i])
			if why.code == "" {
				out[i].Judgement = j
				continue
			}
			out[i].Code = why.code
			out[i].Objection, _ = d.words(why)
		}
		return out
	}
	return nil
}
