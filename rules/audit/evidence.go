package audit

import (
	"slices"

	"plumbrule/records"
	"plumbrule/rules"
)

// tally counts records that show one thing. Its sources are the latest of each
// subject: the others lie beside them.
type tally struct {
	n      int
	latest map[string]rules.Source
}

func (t *tally) count(subject, file string) {
	if t.latest == nil {
		t.latest = map[string]rules.Source{}
	}
	t.n++
	t.latest[subject] = rules.Source{File: file}
}

// says is what a tally shows, or nothing.
func (t *tally) says(noun, text string) []Evidence {
	if t.n == 0 {
		return nil
	}
	var sources []rules.Source
	for _, s := range sortedKeys(t.latest) {
		sources = append(sources, t.latest[s])
	}
	head := counted(t.n, noun)
	if len(t.latest) < t.n {
		head += " for " + counted(len(t.latest), "item")
	}
	return []Evidence{{head + ", " + text, sources}}
}

// events tallies the events of the period that a clause asks about.
func (f *finder) events(text string, is func(*records.Event) bool) []Evidence {
	var t tally
	for _, id := range f.subjects() {
		for _, e := range f.known.Events[id] {
			if is(e) && f.within(e.Time) {
				t.count(id, e.File)
			}
		}
	}
	return t.says("event", text)
}

func kinds(list ...records.EventKind) func(*records.Event) bool {
	return func(e *records.Event) bool { return slices.Contains(list, e.Kind) }
}

// definitions tallies the devices and artifacts of which a clause asks something.
func (f *finder) definitions(text string, device func(*records.Device) bool, artifact func(*records.Artifact) bool) []Evidence {
	var t tally
	for _, id := range f.devices {
		if d := f.Set.Devices[id]; d != nil && device != nil && device(d) {
			t.count(id, d.File)
		}
	}
	for _, id := range f.artifacts {
		if a := f.Set.Artifacts[id]; a != nil && artifact != nil && artifact(a) {
			t.count(id, a.File)
		}
	}
	return t.says("record", text)
}

// accepted tallies the certificates in force at some time of the period: those
// accepted in it, and of each subject the last before it.
func (f *finder) accepted(text string, is func(id string, c *records.Certificate) bool) []Evidence {
	var t tally
	for _, id := range f.subjects() {
		var before *records.Certificate
		for _, a := range f.acceptances(id) {
			switch {
			case a.From.IsZero() || a.From.After(f.At) || !is(id, a.Certificate):
			case a.From.Before(f.From):
				before = a.Certificate
			default:
				t.count(id, a.Certificate.File)
			}
		}
		if before != nil {
			if t.latest[id].File == "" {
				t.count(id, before.File)
			} else {
				t.n++
			}
		}
	}
	return t.says("certificate", text)
}

// steps tallies the steps of cases of the period.
func (f *finder) steps(text string, is func(*records.CaseStep) bool) []Evidence {
	var t tally
	for _, id := range f.subjects() {
		for _, c := range f.casesOf(id) {
			for _, s := range c.Steps {
				if is(s) && f.within(s.Time) {
					t.count(c.ID, s.File)
				}
			}
		}
	}
	return t.says("step", text)
}

// checksWhere tallies the checks of the period.
func (f *finder) checksWhere(text string, is func(*records.Check) bool) []Evidence {
	var t tally
	for _, id := range f.devices {
		for _, k := range f.known.Checks[id] {
			if is(k) && f.within(k.Time) {
				t.count(id, k.File)
			}
		}
	}
	return t.says("check", text)
}
