package message

import (
	_ "embed"
	"html/template"
	"strings"
)

//go:embed mail.html
var page string

// html lays a message out for mail programs. They show it in light or in dark, as
// the reader has it: texts have the program's own colours, and the few colours
// there are stand out from white and from black. What they tell, words tell too.
func (v *view) html() string {
	t := template.Must(template.New("mail").Funcs(template.FuncMap{"colour": colour}).Parse(page))
	var b strings.Builder
	if err := t.Execute(&b, v); err != nil {
		return "" // the plain text says it all
	}
	return b.String()
}

// colour is the colour of the bar beside an alert, with a contrast of at least 3
// to 1 against white and against black (WCAG 2.2, 1.4.11).
func colour(it item) template.CSS {
	if it.Mark == "CLEARED" {
		return "#7a7f87"
	}
	switch it.Severity {
	case "fit":
		return "#3f8f6b"
	case "unknown":
		return "#8a63d2"
	case "limited":
		return "#b7791f"
	}
	return "#d1453b"
}
