package residuals

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// Widths of a letter in pixels at the common size. A reader's font is unknown: figures are reckoned rather too wide, for
// nothing may meet them; lines of prose are as long as in the widest of the usual fonts.
const (
	letter = 6.3
	prose  = 5.8
)

// extent estimates the width of common text in pixels.
func extent(text string) float64 { return letter * float64(show.Width(text)) }

// plain makes foreign text safe for one line: what a reader could not see or trust is spelled out, runs of blanks become
// one.
func plain(text string) string { return strings.Join(strings.Fields(show.Text(text)), " ") }

// cut shortens text to a width in pixels of common text.
func cut(text string, width float64) string {
	text = plain(text)
	if extent(text) <= width {
		return text
	}
	lines := show.Lines(text, int(width/letter)-1)
	return lines[0] + "…"
}

// wrap breaks text into at most most lines of a width in pixels, and marks what is cut.
func wrap(text string, width float64, most int) []string {
	text = plain(text)
	if text == "" {
		return nil
	}
	lines := show.Lines(text, int(width/prose)-1)
	if len(lines) > most {
		lines = lines[:most]
		lines[most-1] += "…"
	}
	return lines
}

// um prints micrometres beside a standard deviation.
func um(valueUM, sdUM float64) string { return beside(valueUM, sdUM) + " µm" }

// beside prints a figure in micrometres with the digits that show two of a standard deviation's, but at least one decimal:
// noise of 12 µm is common, and its tenths tell two scans apart. Beside a deviation that no scan has (below a nanometre, or
// ten metres and more) it keeps two digits and an exponent, to stay short.
func beside(valueUM, sdUM float64) string {
	switch {
	case valueUM == 0:
		return "0"
	case sdUM != 0 && sdUM < 1e-3, math.Abs(valueUM) >= 1e7:
		return strconv.FormatFloat(valueUM, 'e', 1, 64)
	}
	return show.Fixed(valueUM, max(1, show.Decimals(sdUM)))
}

// words says a distance.
func (d Distance) words() string {
	text := cut(d.From, nameWidth) + "–" + cut(d.To, nameWidth) + "  " + show.LengthMM(d.MM) + " mm"
	if d.UUM > 0 {
		text += ", u = " + show.Fixed(d.UUM, show.Decimals(d.UUM)) + " µm"
	}
	return text
}

// nameWidth is how much of a sphere's name is shown, in pixels.
const nameWidth = 80

func (s *Scene) heading() string {
	if title := plain(s.Title); title != "" {
		return title
	}
	return "Fitted spheres"
}

// description is what a reader who cannot see the drawing is told.
func (s *Scene) description() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Maps of the residuals of %s.", counted(len(s.Spheres), "fitted sphere"))
	for i := range s.Spheres {
		b := &s.Spheres[i]
		if i == mostPanels {
			fmt.Fprintf(&text, " And %s.", counted(len(s.Spheres)-i, "more sphere"))
			break
		}
		kept, rejected := b.count()
		fmt.Fprintf(&text, " %s: diameter %s mm, %s kept, %s rejected, s %s, form %s, coverage %s %%, half-angle %s°",
			cut(b.Name, nameWidth), show.LengthMM(2*b.RadiusMM), counted(kept, "point"), grouped(rejected), um(b.SDUM, b.SDUM), um(b.FormUM, b.SDUM),
			show.Fixed(b.CoveragePercent, 1), show.Fixed(b.HalfAngleDegrees, 1))
		if verdict := cut(b.Verdict, 200); verdict != "" {
			text.WriteString(", " + verdict)
		}
		text.WriteString(".")
	}
	for i, d := range s.Distances {
		if i == mostDistances {
			fmt.Fprintf(&text, " And %s.", counted(len(s.Distances)-i, "more distance"))
			break
		}
		text.WriteString(" " + d.words() + ".")
	}
	if n := len(s.Warnings); n > 0 {
		fmt.Fprintf(&text, " %s.", counted(n, "warning"))
	}
	return text.String()
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return grouped(n) + " " + what + "s"
}

// grouped prints a number with a blank between groups of three digits.
func grouped(n int) string {
	digits := strconv.Itoa(n)
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + " " + digits[at:]
	}
	return digits
}
