package card

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// canvas collects elements; lengths are millimetres.
type canvas struct{ bytes.Buffer }

func (c *canvas) add(format string, args ...any) { fmt.Fprintf(&c.Buffer, format+"\n", args...) }

// text draws a line of foreign text, whose foot stands at y.
func (c *canvas) text(x, y, size float64, style, text string) {
	c.add(`<text x="%s" y="%s" font-size="%s"%s>%s</text>`, mm(x), mm(y), mm(size), style, safe(text))
}

// safe spells out what a reader could not see and escapes what would be markup.
func safe(text string) string {
	var out strings.Builder
	_ = xml.EscapeText(&out, []byte(show.Text(text))) // a strings.Builder takes everything
	return out.String()
}

// mm writes a length to the hundredth of a millimetre.
func mm(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }

const (
	margin    = 3.5 // of the default card, all below too
	nameSize  = 6.5
	wordSize  = 6
	textSize  = 2.9
	smallSize = 2.1
	lead      = 1.25 // distance of lines over their size
	codeSide  = 25.0

	leastType  = 1.6 // smallest type for what decides: some 4.5 points
	leastSmall = 1.4 // and for the small print
)

const (
	bold = ` font-weight="700"`
	soft = ` fill="#444"`
)

// SVG draws a card on a page of its size. An error is returned for one that does not fit, as a [FitError], or from w.
func SVG(w io.Writer, c Card, s Size) error {
	var body canvas
	if err := body.card(c, s); err != nil {
		return err
	}
	return page(w, s, c.Device+": "+c.Fitness+" on "+c.Day, body.String())
}

// page writes head and foot around the elements.
func page(w io.Writer, s Size, title, body string) error {
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="'Liberation Sans', Arial, Helvetica, sans-serif" fill="#000">
<title>%s</title>
%s</svg>
`, mm(s.WidthMM), mm(s.HeightMM), mm(s.WidthMM), mm(s.HeightMM), safe(title), body)
	return err
}

// block is text of one size, broken into lines.
type block struct {
	lines []string
	size  float64
	style string
	above float64 // free space before it
}

func (b block) height() float64 { return b.above + float64(float64(len(b.lines))*b.size*lead) }

// card draws one card with its corner in the origin.
func (v *canvas) card(c Card, s Size) error {
	k := math.Min(s.WidthMM/85.6, s.HeightMM/54)
	edge, small := margin*k, math.Max(leastSmall, smallSize*k)
	rows, err := modules(c.Code())
	if err != nil {
		return fmt.Errorf("%s: the code: %w", c.Device, err)
	}
	side := math.Min(codeSide*k, s.WidthMM*0.36)
	module := side / float64(len(rows))
	if module < leastModuleMM {
		module = leastModuleMM
		side = module * float64(len(rows))
	}
	quiet := quietModules * module
	column := s.WidthMM - edge - quiet - side - math.Max(edge, quiet) // of the text beside the code
	head := nameSize * k
	names, head, ok := name(c.Device, s.WidthMM-2*edge, head)
	top := edge + float64(small*lead) + float64(float64(len(names))*head*1.1)
	foot := small * lead * 2
	switch {
	case !ok:
		return &FitError{c.Device, "the id", "has no room", s}
	case column < 22*k || top+quiet+side+quiet+foot > s.HeightMM-edge:
		return &FitError{c.Device, "the code", "would be too fine to read", s}
	}
	v.add(`<rect x="0.1" y="0.1" width="%s" height="%s" rx="%s" fill="#fff" stroke="#888" stroke-width="0.2"/>`, mm(s.WidthMM-0.2), mm(s.HeightMM-0.2), mm(2.5*k))
	y := edge + small*0.8
	v.text(edge, y, small, soft, firstLine(c.Site, (s.WidthMM-2*edge)/small))
	for _, line := range names {
		y += head * 1.1
		v.text(edge, y, head, bold, line)
	}
	if err := v.column(c, s, k, edge, top, column, s.HeightMM-edge-foot-top); err != nil {
		return err
	}
	v.code(rows, s.WidthMM-math.Max(edge, quiet)-side, top+quiet, module)
	v.foot(c, s, small, edge)
	return nil
}

// name returns the id in one line or two, as large as it can stand there.
func name(id string, width, size float64) (lines []string, at float64, ok bool) {
	for _, count := range []int{1, 2} {
		for at = size; at >= size*0.5; at *= 0.96 {
			if lines = wrap(id, width/at, true); len(lines) <= count {
				return lines, at, true
			}
		}
	}
	return nil, 0, false
}

// column draws what stands beside the code, in type as large as the room allows.
func (v *canvas) column(c Card, s Size, k, x, y, width, height float64) error {
	for f := 1.0; textSize*k*f >= leastType; f -= 0.02 {
		size := textSize * k * f
		shape := wordSize * k * f
		em := width / size
		about := block{size: size, style: soft, above: 0.8 * k * f}
		for _, text := range c.About {
			about.lines = append(about.lines, wrap(text, em, false)...)
		}
		use := block{size: size, style: bold, lines: wrap(c.Use, em, true), above: 1 * k * f}
		due := block{size: size, above: 0.8 * k * f}
		for _, text := range c.Due {
			due.lines = append(due.lines, wrap(text, em, false)...)
		}
		band := shape * 1.45
		if about.height()+band+size*lead+use.height()+due.height() > height {
			continue
		}
		y = v.block(x, y, about)
		y += 0.35 * shape
		v.shape(c.Fitness, x, y, shape)
		v.text(x+shape*1.3, y+shape*0.86, shape, bold, strings.ToUpper(c.Fitness))
		y += shape * 1.1
		y = v.block(x, y, block{lines: []string{"on " + c.Day}, size: size})
		y = v.block(x, y, use)
		v.block(x, y, due)
		return nil
	}
	return &FitError{c.Device, "limits of use and due dates", "have no room", s}
}

func (v *canvas) block(x, y float64, b block) float64 {
	y += b.above
	for _, line := range b.lines {
		v.text(x, y+b.size*0.95, b.size, b.style, line)
		y += b.size * lead
	}
	return y
}

// shape draws the sign of a fitness: a disc with a tick, a triangle, a barred square, a question in a diamond.
func (v *canvas) shape(fitness string, x, y, size float64) {
	at := fmt.Sprintf(`transform="translate(%s %s) scale(%s)"`, mm(x), mm(y), strconv.FormatFloat(size/24, 'f', 4, 64))
	switch fitness {
	case "fit":
		v.add(`<g %s><circle cx="12" cy="12" r="11.5" fill="#17633a"/><path d="M6 12.5l4.3 4.3 7.7-9" fill="none" stroke="#fff" stroke-width="3"/></g>`, at)
	case "limited":
		v.add(`<g %s><path d="M12 1L23.5 22.5H.5z" fill="#f2b632" stroke="#000" stroke-width="1.4"/><path d="M12 8.5v7" stroke="#000" stroke-width="2.6"/><circle cx="12" cy="19" r="1.6"/></g>`, at)
	case "unfit":
		v.add(`<g %s><path d="M1 1h22v22H1z" fill="#a3190f"/><path d="M6.5 6.5l11 11M17.5 6.5l-11 11" stroke="#fff" stroke-width="3"/></g>`, at)
	default:
		v.add(`<g %s><path d="M12 .5L23.5 12 12 23.5.5 12z" fill="#fff" stroke="#000" stroke-width="1.6"/><text x="12" y="17" font-size="14" font-weight="700" text-anchor="middle">?</text></g>`, at)
	}
}

// code draws the modules as one path, runs of dark ones together.
func (v *canvas) code(rows [][]bool, x, y, module float64) {
	var path strings.Builder
	for j, row := range rows {
		for i := 0; i < len(row); i++ {
			if !row[i] {
				continue
			}
			from := i
			for i+1 < len(row) && row[i+1] {
				i++
			}
			fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from, j, i-from+1, i-from+1)
		}
	}
	v.add(`<path transform="translate(%s %s) scale(%s)" shape-rendering="crispEdges" d="%s"/>`, mm(x), mm(y), strconv.FormatFloat(module, 'f', 4, 64), path.String())
}

// foot says from which records the card was made, and that they decide.
func (v *canvas) foot(c Card, s Size, size, edge float64) {
	y := s.HeightMM - edge - size*lead
	commit := NotCommitted
	if c.Commit != "" {
		commit = "commit " + c.Commit[:min(12, len(c.Commit))]
	}
	v.text(edge, y, size, soft, firstLine(fmt.Sprintf("Printed on %s from records %s.", c.Printed, inWords(commit)), (s.WidthMM-2*edge)/size))
	v.text(edge, y+size*lead, size, soft, "It was so on that day: look the device up before use.")
}

func inWords(commit string) string {
	if commit == NotCommitted {
		return "that are not committed"
	}
	return "of " + commit
}

// firstLine cuts text to one line; what only helps to recognise may be cut.
func firstLine(text string, em float64) string {
	lines := wrap(text, em, false)
	if len(lines) > 1 {
		return wrap(text, em-0.7, false)[0] + " …"
	}
	return strings.Join(lines, "")
}
