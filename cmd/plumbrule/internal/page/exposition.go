package page

import (
	"strconv"
	"strings"
	"time"
)

// form is how metrics are written.
type form string

const (
	openMetrics form = "openmetrics" // OpenMetrics 1.0.0
	plainText   form = "plain"       // the text form 0.0.4 of the Prometheus family
)

// Types of metrics (OpenMetrics 1.0.0, "Metric Types").
const (
	gauge   = "gauge"
	counter = "counter"
	info    = "info"
)

// exposition is a text of metrics in the making.
type exposition struct {
	strings.Builder
	form form
}

// family is one name of metrics.
type family struct {
	out  *exposition
	name string          // of its samples
	seen map[string]bool // labels of the samples so far
	left int             // samples left out
}

// family begins a name. A counter's samples end with _total and an info's with _info; the older form gives the family that name
// as well, and knows no info and no unit.
func (m *exposition) family(name, kind, unit, help string) *family {
	sample := name
	switch kind {
	case counter:
		sample += "_total"
	case info:
		sample += "_info"
	}
	if m.form == plainText {
		name = sample
		if kind == info {
			kind = gauge
		}
	}
	m.WriteString("# HELP " + name + " " + help + "\n# TYPE " + name + " " + kind + "\n")
	if unit != "" && m.form == openMetrics {
		m.WriteString("# UNIT " + name + " " + unit + "\n")
	}
	return &family{out: m, name: sample, seen: map[string]bool{}}
}

// add writes a sample; labels are names followed by values, which may be foreign. A second one with the same labels, as names that
// are cut may have, is left out: it would make the whole text unreadable.
func (f *family) add(value float64, labels ...string) {
	var text strings.Builder
	for i := 0; i+1 < len(labels); i += 2 {
		text.WriteString([]string{"{", ","}[min(i, 1)] + labels[i] + `="` + label(labels[i+1]) + `"`)
	}
	if len(labels) > 0 {
		text.WriteByte('}')
	}
	if len(f.seen) == mostSeries || f.seen[text.String()] {
		f.left++
		return
	}
	f.seen[text.String()] = true
	f.out.WriteString(f.name + text.String() + " " + strconv.FormatFloat(value, 'f', -1, 64) + "\n")
}

// at writes a time; none for one that has not come.
func (f *family) at(t time.Time) {
	if !t.IsZero() {
		f.add(seconds(t))
	}
}

// label escapes a label's value.
func label(text string) string {
	return strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(cut(text, 200))
}
