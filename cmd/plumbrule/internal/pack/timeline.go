package pack

import (
	"fmt"
	"html"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records/calendar"
)

// Timeline shows states over a period, one row a device.
type Timeline struct {
	From, To calendar.Date // first and last day
	Rows     []Row
}

// Row is what one device went through.
type Row struct {
	Name  string
	Bands []Band
}

// Band is a state from one day to another, both included.
type Band struct {
	From, To calendar.Date
	Kind     BandKind
	Words    string
}

// BandKind is how a band is drawn: its height and pattern tell it, and its
// colour repeats it.
type BandKind int

// The kinds of bands, the quietest first.
const (
	Out     BandKind = iota // not in service, or nothing is required
	Good                    // low
	Watched                 // half as high: limited, or due soon
	Unsure                  // full height, hatched
	Bad                     // full height
)

func (k BandKind) class() string { return [...]string{"faint", "good", "caution", "unsure", "bad"}[k] }

// The measures of a time line, in pixels.
const (
	lineWidth, lineLeft, lineRight = 960, 118, 10
	lineTop, rowHeight, bandHeight = 24, 19, 13
)

// SVG draws the time line as an element that stands in the page and takes its
// colours from the page's style. Legend says what the kinds of bands mean here,
// in their order; an empty text leaves one out.
func (t *Timeline) SVG(label string, legend [5]string) []byte {
	var b strings.Builder
	days := max(t.From.DaysUntil(t.To)+1, 1)
	x := func(d calendar.Date) float64 {
		return lineLeft + float64(t.From.DaysUntil(d))*(lineWidth-lineLeft-lineRight)/float64(days)
	}
	bottom := lineTop + len(t.Rows)*rowHeight
	fmt.Fprintf(&b, `<svg class="line" viewBox="0 0 %d %d" width="%d" height="%d" role="img" aria-label="%s">`+"\n", lineWidth, bottom+26, lineWidth, bottom+26, letters(label))
	t.months(&b, x, bottom, days)
	for i, r := range t.Rows {
		y := lineTop + i*rowHeight
		fmt.Fprintf(&b, `<text x="0" y="%d">%s</text>`+"\n", y+bandHeight, letters(short(r.Name)))
		for _, band := range r.Bands {
			end := band.To.AddDays(1)
			drawBand(&b, x(band.From), x(end)-x(band.From), float64(y)+2, band.Kind, fmt.Sprintf("%s, %s to %s: %s", r.Name, band.From, band.To, band.Words))
		}
		fmt.Fprintf(&b, `<path class="rule" d="M%d %dH%d"/>`+"\n", lineLeft, y+bandHeight+3, lineWidth-lineRight)
	}
	at := float64(lineLeft)
	for kind, words := range legend {
		if words == "" {
			continue
		}
		drawBand(&b, at, 22, float64(bottom)+8, BandKind(kind), "")
		fmt.Fprintf(&b, `<text class="quiet" x="%g" y="%d">%s</text>`+"\n", at+28, bottom+19, letters(words))
		at += 28 + 7.2*float64(show.Width(words)) + 16
	}
	b.WriteString("</svg>")
	return []byte(b.String())
}

// months rules the first of each month, or of each quarter or year where the
// period is long.
func (t *Timeline) months(b *strings.Builder, x func(calendar.Date) float64, bottom, days int) {
	step := 1
	switch {
	case days > 5*366:
		step = 12
	case days > 800:
		step = 3
	}
	last := -100.0
	for d := t.From; !d.After(t.To); d = d.AddDays(1) {
		text := d.String()
		var year, month, day int
		if n, err := fmt.Sscanf(text, "%d-%d-%d", &year, &month, &day); n != 3 || err != nil || day != 1 || (month-1)%step != 0 {
			continue
		}
		at := x(d)
		fmt.Fprintf(b, `<path class="rule" d="M%.1f %dV%d"/>`, at, lineTop-4, bottom)
		if at-last >= 58 && at < lineWidth-lineRight-30 {
			fmt.Fprintf(b, `<text class="quiet" x="%.1f" y="13">%s</text>`, at, text[:7])
			last = at
		}
		b.WriteByte('\n')
	}
}

func drawBand(b *strings.Builder, x, width, y float64, kind BandKind, title string) {
	height := [...]float64{2, 5, 9, bandHeight, bandHeight}[kind]
	y += bandHeight - height
	fmt.Fprintf(b, `<g><rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%g"/>`, kind.class(), x, y, max(width, 1), height)
	if kind == Unsure {
		b.WriteString(`<path class="hatch" d="`)
		for at := x + 3; at < x+width-1; at += 6 {
			fmt.Fprintf(b, "M%.1f %.1fv%g", at, y, height)
		}
		b.WriteString(`"/>`)
	}
	if title != "" {
		fmt.Fprintf(b, "<title>%s</title>", letters(title))
	}
	b.WriteString("</g>\n")
}

func short(name string) string {
	n := 0
	for i := range name {
		if n++; n > 16 {
			return name[:i] + "…"
		}
	}
	return name
}

func letters(text string) string { return html.EscapeString(show.Text(text)) }
