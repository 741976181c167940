package records

import (
	"slices"
	"strings"
	"unicode"
)

// about lists what a record that cannot be used may be about: the subject of
// its path, the one its text names, and those whose ids differ from these only
// in case or blanks. Where nothing that is known can be told, it may be about
// everything that records of its kind are about.
func (l *loader) about(file string) []place {
	p := l.peek(file)
	return l.meant(meantPlace(file), p.told, p.parsed)
}

// meant widens what a path says by what the text told.
func (l *loader) meant(p place, told []place, parsed bool) []place {
	var out []place
	add := func(kind, subject string) {
		if o := (place{kind: kind, subject: subject}); !slices.Contains(out, o) {
			out = append(out, o)
		}
	}
	add(p.kind, p.subject)
	for _, t := range told {
		if !ofSubject(t.kind) || l.ids(t.kind).has(t.subject) || l.mayBeLost("devices/"+t.subject+suffix) || l.mayBeLost("artifacts/"+t.subject+suffix) {
			add(t.kind, t.subject)
		}
		for _, twin := range l.ids(t.kind).twins(t.subject) {
			add(t.kind, twin)
		}
	}
	if !ofSubject(p.kind) {
		return out
	}
	for _, twin := range l.ids(p.kind).twins(p.subject) {
		add(p.kind, twin)
	}
	known := slices.ContainsFunc(out, func(o place) bool {
		return o.subject != "" && (o.kind == "check" || l.ids(o.kind).has(o.subject))
	})
	if !known && !parsed {
		for _, id := range l.ids(p.kind).list {
			add(p.kind, id)
		}
	}
	if len(out) > 1 && out[0].subject == "" {
		out = out[1:]
	}
	return out
}

// ofSubject reports whether records of a kind lie in a folder of their subject, or of their case.
func ofSubject(kind string) bool {
	return kind == "check" || kind == "certificate" || kind == "event" || kind == "case"
}

// ids are the ids that records of a kind may be about.
type ids struct {
	list   []string
	folded map[string][]string // by their letters without case and blanks
}

// ids returns what records of a kind may be about, as far as other records
// tell.
func (l *loader) ids(kind string) *ids {
	if known := l.known[kind]; known != nil {
		return known
	}
	known := &ids{list: l.subjects(kind), folded: map[string][]string{}}
	for _, id := range known.list {
		known.folded[fold(id)] = append(known.folded[fold(id)], id)
	}
	l.known[kind] = known
	return known
}

func (k *ids) has(id string) bool {
	_, found := slices.BinarySearch(k.list, id)
	return found
}

// twins returns the ids that differ from a name only in case or blanks.
func (k *ids) twins(name string) []string {
	if name == "" {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(k.folded[fold(name)]), func(id string) bool { return id == name })
}

func fold(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// named lists, for people, what of these places is known.
func (l *loader) named(places []place) string {
	var out []string
	for _, p := range places {
		if p.subject != "" && (p.kind == "device" || l.ids(p.kind).has(p.subject)) && !slices.Contains(out, p.subject) {
			out = append(out, p.subject)
		}
	}
	const most = 5
	if len(out) > most {
		out = append(out[:most], "…")
	}
	return strings.Join(out, ", ")
}
