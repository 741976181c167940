package rules

import (
	"time"

	"plumbrule/records"
)

// Knowledge is what a set of records says by what was known at one instant.
// Which certificates were in force, which jobs and cases were known and what the
// site decided is found out once, so many questions are best asked of one
// Knowledge. It is for any number of goroutines at a time. The set is not to be
// changed.
type Knowledge struct {
	context *context // nil: the site's settings cannot be read, and nothing is known
}

// KnowledgeAt returns what a set says by what was known at an instant.
func KnowledgeAt(set *records.Set, at time.Time, options Options) *Knowledge {
	if !hasSite(set) {
		return &Knowledge{}
	}
	return &Knowledge{newContext(set, at, options)}
}

// device prepares a device; it is nil where nothing can be derived.
func (k *Knowledge) device(id string) *deviceContext {
	if k.context == nil || k.context.set.Devices[id] == nil {
		return nil
	}
	return k.context.newDevice(id)
}

// served prepares a device with what became of it in service.
func (k *Knowledge) served(id string) *deviceContext {
	d := k.device(id)
	if d != nil {
		d.service()
	}
	return d
}
