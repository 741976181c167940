package message

import (
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

const textWidth = 72

// text lays a message out as plain text. A foreign sentence has lines of its own:
// what turns their reading direction turns nothing else.
func (v *view) text() string {
	var b strings.Builder
	put := func(indent, text string) {
		for _, l := range show.Lines(text, textWidth-len(indent)) {
			b.WriteString(strings.TrimRight(indent+l, " ") + "\n")
		}
	}
	put("", v.Headline)
	for i := range v.Items {
		it := &v.Items[i]
		b.WriteString("\n")
		put("", it.Mark+" "+it.About)
		for _, part := range append([]string{it.Sentence}, it.Facts...) {
			if part != "" {
				put("  ", part)
			}
		}
		if it.Mend != "" {
			put("  ", "To mend it: "+it.Mend)
		}
		for _, s := range it.Sources {
			b.WriteString("  " + s + "\n")
		}
		put("  ", "Alert "+it.ID)
	}
	if v.More != "" {
		b.WriteString("\n")
		put("", v.More)
	}
	b.WriteString("\n-- \n")
	if v.Site != "" {
		put("", v.Site)
	}
	b.WriteString(v.At + "\n")
	if v.Acknowledge != "" {
		b.WriteString("To acknowledge an alert:\n  " + v.Acknowledge + "\n")
	}
	put("", v.Caution)
	return b.String()
}
