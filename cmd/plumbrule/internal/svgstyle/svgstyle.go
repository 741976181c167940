// Package svgstyle writes the style sheets that stand inside drawings.
package svgstyle

import "strings"

// Rule is a selector, or several with commas between, and the properties of
// what it names.
type Rule [2]string

// Sheet writes the rules, each scoped by the id of the drawing so that several
// drawings fit on one page. The colours of light are those of paper too, and
// those of dark count where the reader prefers it. They are written out,
// because some programs that place SVG on paper know no CSS variables.
func Sheet(id string, shapes, light, dark []Rule) string {
	var b strings.Builder
	add := func(rules []Rule) {
		for _, r := range rules {
			for i, selector := range strings.Split(r[0], ",") {
				if i > 0 {
					b.WriteByte(',')
				}
				b.WriteString("#" + id + " " + selector)
			}
			b.WriteString("{" + r[1] + "}\n")
		}
	}
	add(shapes)
	add(light)
	b.WriteString("@media (prefers-color-scheme:dark){\n")
	add(dark)
	b.WriteString("}\n@media print{\n")
	add(light)
	b.WriteString("}\n")
	return b.String()
}
