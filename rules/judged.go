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
	return KnowledgeAt(set, at, options).JudgeCheck(device, file)
}

// JudgeCheck is [JudgeCheck] by what was known.
func (k *Knowledge) JudgeCheck(device, file string) []Finding {
	d := k.device(device)
	if d == nil {
		return nil
	}
	for _, check := range d.set.Checks[device] {
		if check.File != file {
			continue
		}
		b := d.basis(check)
		out := make([]Finding, len(check.Readings))
		for i := range check.Readings {
			out[i].Reading = &check.Readings[i]
			j, why := d.judge(&b, &check.Readings[i])
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
