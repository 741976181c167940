package routedrawing

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// mostUnused is how many joins that are not used are drawn.
const mostUnused = 4000

// SVG draws a picture as one SVG element 900 pixels wide, for a page of its own or inside HTML: from above, and below it from
// the side at the same scale. Prefix makes its ids and styles unique on a page: a letter followed by letters, digits, - and _.
// The worst pair is told by diamonds and words, what is used by thickness and dashes, obstacles by hatching. It follows the
// reader's choice of light or dark. An error is returned for a picture that contradicts itself or from w.
func SVG(w io.Writer, p *Picture, prefix string) error {
	if err := p.check(); err != nil {
		return err
	}
	if !regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`).MatchString(prefix) {
		return fmt.Errorf("a prefix of %q; expected a letter, then letters, digits, - and _", prefix)
	}
	var c canvas
	y := 46.0
	for _, text := range p.Sentences {
		for _, line := range wrap(text, 118) {
			c.text(point{border, y}, "said", "start", line)
			y += 18
		}
	}
	views := p.views(y)
	unnamed := 0
	for _, v := range views {
		unnamed = max(unnamed, v.draw(&c, p, prefix))
	}
	y = p.key(&c, prefix, views[len(views)-1].bottom()+24)
	for _, note := range p.notes(unnamed) {
		for _, line := range wrap(note, 140) {
			c.text(point{border, y}, "quiet", "start", line)
			y += rowHeight
		}
	}
	return p.page(w, &c, prefix, y)
}

// draw draws one view.
func (v *view) draw(c *canvas, p *Picture, prefix string) (unnamed int) {
	c.text(point{border, v.origin.y - v.height - room - 4}, "quiet", "start", v.heading)
	v.drawScale(c)
	hatched := ` fill="url(#` + prefix + `-hatch)"`
	for _, s := range p.Solids {
		if corners, middle, radius := v.silhouette(s.Shape); corners == nil {
			c.circle("solid", hatched, middle, radius)
		} else {
			c.area("solid", hatched, corners)
		}
	}
	if len(p.Spots) <= mostListed {
		v.drawExtents(c, p)
	}
	ends := map[Use][][2]point{}
	for _, l := range p.Lines {
		ends[l.Use] = append(ends[l.Use], [2]point{v.at(p.Spots[l.From].At), v.at(p.Spots[l.To].At)})
	}
	if len(ends[Unused]) <= mostUnused {
		c.lines("unused", ends[Unused])
	}
	var worst [][2]point
	for i := 1; i < len(p.Worst); i++ {
		worst = append(worst, [2]point{v.at(p.Spots[p.Worst[i-1]].At), v.at(p.Spots[p.Worst[i]].At)})
	}
	c.lines("worst", worst) // on both sides of what is in use, so that both are seen
	c.lines("between", worst)
	c.lines("used", ends[Used])
	c.lines("tied", ends[Tied])
	if p.Centre != nil {
		c.cross("centre", v.at(p.centre()), 11, 19)
	}
	groups := v.groups(p)
	for _, g := range groups {
		v.drawGroup(c, p, g)
	}
	return v.drawLabels(c, p, groups, ends, worst)
}

// drawExtents draws how large the volumes are.
func (v *view) drawExtents(c *canvas, p *Picture) {
	for _, s := range p.Spots {
		at := v.at(s.At)
		wide, high := s.SizeMM[v.right]*v.scale/2, s.SizeMM[v.up]*v.scale/2
		switch {
		case s.RadiusMM > 0:
			c.circle("extent", "", at, s.RadiusMM*v.scale)
		case wide > 0:
			c.area("extent", "", []point{{at.x - wide, at.y - high}, {at.x + wide, at.y - high}, {at.x + wide, at.y + high}, {at.x - wide, at.y + high}})
		}
	}
}

// centre returns where the centre lies.
func (p *Picture) centre() (at [3]float64) {
	return p.Spots[p.Centre.From].At.Towards(p.Spots[p.Centre.To].At, p.Centre.Share)
}

// drawScale draws a round length in the upper right corner.
func (v *view) drawScale(c *canvas) {
	mm, name := v.measure()
	y := v.origin.y - v.height - room - 8
	right := pageWidth - border
	left := right - float64(mm*v.scale)
	c.lines("scale", [][2]point{{{left, y}, {right, y}}, {{left, y - 4}, {left, y + 4}}, {{right, y - 4}, {right, y + 4}}})
	c.text(point{left - 6, y + 4}, "quiet", "end", name)
}

// page writes head and foot around the drawn elements.
func (p *Picture) page(w io.Writer, body *canvas, prefix string, height float64) error {
	var c canvas
	c.raw(`<svg xmlns="http://www.w3.org/2000/svg" id="`, prefix, `" viewBox="0 0 `, num(pageWidth), ` `, num(height), `" width="`,
		num(pageWidth), `" height="`, num(height), `" style="max-width:100%;height:auto" role="img" aria-labelledby="`, prefix, `-title `, prefix, `-desc">`)
	c.raw(`<title id="`, prefix, `-title">`, escape(p.heading()), `</title>`)
	c.raw(`<desc id="`, prefix, `-desc">`, escape(strings.Join(p.Sentences, " ")), `</desc>`)
	c.raw(`<style>`)
	c.WriteString(style(prefix))
	c.raw(`</style>`)
	c.raw(`<defs><pattern id="`, prefix, `-hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>`)
	c.area("ground", "", []point{{0, 0}, {pageWidth, 0}, {pageWidth, height}, {0, height}})
	c.text(point{border, 26}, "title", "start", cut(p.heading(), 85))
	c.Write(body.Bytes())
	c.raw(`</svg>`)
	_, err := w.Write(c.Bytes())
	return err
}

func (p *Picture) heading() string {
	if title := plain(p.Title); title != "" {
		return title
	}
	return "Measuring volumes and how they are joined"
}
