package tracedrawing

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Where the text of a box begins behind its signs.
const (
	headStart = 112.0 // the name, behind sign and kind
	gapStart  = 18.0  // the words of a gap, behind its diamond
)

// SVG draws a picture as one SVG element 900 pixels wide, for a page of its own or inside HTML. Prefix makes its ids and styles
// unique on a page: a letter followed by letters, digits, - and _. A link that holds is a full line, one with a gap is dashed
// and broken; a gap is a diamond with its number and words. It follows the reader's choice of light or dark. An error is
// returned for a picture that contradicts itself or from w.
func SVG(w io.Writer, p *Picture, prefix string) error {
	if err := p.check(); err != nil {
		return err
	}
	if !regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`).MatchString(prefix) {
		return fmt.Errorf("a prefix of %q; expected a letter, then letters, digits, - and _", prefix)
	}
	var c canvas
	y := border + 20
	for _, text := range lines(p.heading(), pageWidth-2*border, 17*bold) {
		c.text(point{border, y}, "title", "start", text)
		y += 22
	}
	for _, said := range p.Sentences {
		for _, text := range lines(said, pageWidth-2*border, 12) {
			c.text(point{border, y}, "said", "start", text)
			y += 17
		}
	}
	boxes, bottom := p.boxes(y + 4)
	links(&c, boxes)
	for i := range boxes {
		p.draw(&c, &boxes[i])
	}
	return p.page(w, &c, prefix, p.key(&c, bottom+10))
}

// links draws a trunk down from each box that rests on others, and from it to each of these a full or a broken line.
func links(c *canvas, boxes []box) {
	last := make([]float64, len(boxes)) // where the trunk of a box ends
	for i := range boxes {
		b := &boxes[i]
		if b.parent < 0 || b.left <= boxes[b.parent].left {
			continue // the first, or one with no room further in
		}
		x, y := boxes[b.parent].left+trunk, b.top+inside+headRow/2
		last[b.parent] = y
		stub(c, b.broken, x, b.left, y)
	}
	for i := range boxes {
		if b := &boxes[i]; last[i] > 0 {
			c.line("link", point{b.left + trunk, b.top + b.height}, point{b.left + trunk, last[i]})
		}
	}
}

// stub draws the line from a trunk to a box.
func stub(c *canvas, broken bool, from, to, y float64) {
	if !broken {
		c.line("link", point{from, y}, point{to, y})
		return
	}
	c.line("broken", point{from, y}, point{to, y})
	middle := (from + to) / 2
	c.line("ground-line", point{middle - 3, y}, point{middle + 3, y})
	for _, dx := range []float64{-3, 3} {
		c.line("cut", point{middle + dx - 2.5, y + 6}, point{middle + dx + 2.5, y - 6})
	}
}

// draw draws one box.
func (p *Picture) draw(c *canvas, b *box) {
	s := &p.Steps[b.step]
	class := "box"
	switch {
	case b.again:
		class = "again"
	case b.broken:
		class = "box gapped"
	}
	right := pageWidth - border
	c.box(class, b.left, b.top, right-b.left, b.height)
	y := b.top + inside + 9
	s.Kind.sign(c, point{b.left + inside + 8, y - 4})
	c.text(point{b.left + inside + 24, y}, "kind", "start", string(s.Kind))
	for _, text := range b.head {
		c.text(point{b.left + inside + headStart, y}, "name", "start", text)
		y += headRow
	}
	y -= 2
	for _, l := range b.lines {
		x := b.left + inside
		if l.class == "word" {
			x += gapStart
		}
		if l.gap {
			c.diamond("gap", point{b.left + inside + 7, y - 4}, 6)
		}
		c.text(point{x, y}, l.class, "start", l.text)
		if l.right != "" {
			c.text(point{right - inside, y}, "figure", "end", l.right)
		}
		y += row
	}
}

// key explains the signs and returns the place below it.
func (p *Picture) key(c *canvas, y float64) float64 {
	x := border
	stub(c, false, x, x+26, y)
	c.text(point{x + 34, y + 4}, "", "start", "rests on, no gap found in the step")
	x += 290
	if !p.holds() {
		stub(c, true, x, x+26, y)
		c.text(point{x + 34, y + 4}, "", "start", "rests on, and the step has a gap")
		x += 290
		c.diamond("gap", point{x + 7, y}, 6)
		c.text(point{x + 20, y + 4}, "", "start", "gap, with its number")
	}
	return y + 20
}

// page writes head and foot around the drawn elements.
func (p *Picture) page(w io.Writer, body *canvas, prefix string, height float64) error {
	var c canvas
	c.raw(`<svg xmlns="http://www.w3.org/2000/svg" id="`, prefix, `" viewBox="0 0 `, num(pageWidth), ` `, num(height), `" width="`,
		num(pageWidth), `" height="`, num(height), `" style="max-width:100%;height:auto" role="img" aria-labelledby="`, prefix, `-title `, prefix, `-desc">`)
	c.raw(`<title id="`, prefix, `-title">`, escape(p.heading()), `</title>`)
	c.raw(`<desc id="`, prefix, `-desc">`, escape(p.description()), `</desc>`)
	c.raw(`<style>`)
	c.WriteString(style(prefix))
	c.raw(`</style>`)
	c.area("ground", point{0, 0}, point{pageWidth, 0}, point{pageWidth, height}, point{0, height})
	c.Write(body.Bytes())
	c.raw(`</svg>`)
	_, err := w.Write(c.Bytes())
	return err
}

func (p *Picture) heading() string {
	if strings.TrimSpace(p.Title) != "" {
		return p.Title
	}
	return "Chain of traceability"
}

// description tells those who do not see the drawing what is in it: the steps in their order, and every gap.
func (p *Picture) description() string {
	var steps []string
	for _, s := range p.Steps {
		parts := []string{fmt.Sprintf("%s %s", s.Kind, s.Name)}
		for _, g := range s.Gaps {
			parts = append(parts, fmt.Sprintf("gap %d: %s", g.Number, g.Words))
		}
		steps = append(steps, strings.Join(parts, ", "))
	}
	return strings.TrimSpace(strings.Join(p.Sentences, " ") + " " + strings.Join(steps, "; "))
}
