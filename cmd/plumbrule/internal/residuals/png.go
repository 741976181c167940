package residuals

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/vector"
)

// dots is the number of dots to a pixel of the page, in each direction: enough for the small figures on paper.
const dots = 2

// PNG draws a scene as [SVG] does, in the light colours and with the letters of the Go fonts, at twice the size. Letters
// these fonts lack (they have Latin, Greek and Cyrillic ones) become boxes. The same scene gives the same bytes on one
// machine; another processor may round the shade of an edge otherwise. Errors are those of SVG.
func PNG(w io.Writer, s *Scene) error {
	if err := s.check(); err != nil {
		return err
	}
	l := s.draw()
	p := &painter{
		on:    image.NewRGBA(image.Rect(0, 0, int(math.Ceil(l.width*dots)), int(math.Ceil(l.height*dots)))),
		inks:  light(),
		looks: map[role]look{},
	}
	for _, k := range looks() {
		p.looks[k.role] = k
	}
	for _, m := range l.marks {
		if err := p.paint(m); err != nil {
			return err
		}
	}
	return png.Encode(w, p.on)
}

// painter paints marks as dots.
type painter struct {
	on    *image.RGBA
	inks  palette
	looks map[role]look
	faces faces
	path  vector.Rasterizer
}

func (p *painter) paint(m mark) error {
	k := p.looks[m.of()]
	switch m := m.(type) {
	case boxes:
		for _, b := range m.at {
			at := image.Rect(whole(b.x), whole(b.y), whole(b.x+b.width), whole(b.y+b.height))
			draw.Draw(p.on, at, p.source(k.fill), image.Point{}, draw.Src)
		}
	case strokes:
		p.strokes(m, k)
	case circle:
		if k.fill != inkNone {
			p.fill(box{m.x - m.r, m.y - m.r, 2 * m.r, 2 * m.r}, k.fill, func(o outline) { o.circle(m.x, m.y, m.r, false) })
		}
		if k.stroke != inkNone {
			out, in := m.r+k.width/2, max(m.r-k.width/2, 0)
			p.fill(box{m.x - out, m.y - out, 2 * out, 2 * out}, k.stroke, func(o outline) {
				o.circle(m.x, m.y, out, false)
				o.circle(m.x, m.y, in, true)
			})
		}
	case label:
		return p.write(m, k)
	}
	return nil
}

// whole turns pixels into whole dots.
func whole(v float64) int { return int(math.Round(v * dots)) }

func (p *painter) source(i ink) image.Image {
	c := p.inks[i]
	return image.NewUniform(color.RGBA{uint8(c >> 16), uint8(c >> 8), uint8(c), 0xff})
}

// strokes paints straight lines with square ends, as SVG does without being told otherwise.
func (p *painter) strokes(m strokes, k look) {
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range m.at {
		left, right = min(left, s.x1, s.x2), max(right, s.x1, s.x2)
		top, bottom = min(top, s.y1, s.y2), max(bottom, s.y1, s.y2)
	}
	half := k.width / 2
	p.fill(box{left - half, top - half, right - left + k.width, bottom - top + k.width}, k.stroke, func(o outline) {
		for _, s := range m.at {
			length := math.Hypot(s.x2-s.x1, s.y2-s.y1)
			if length == 0 {
				continue
			}
			// Across the line. All of them turn the same way round, for areas that meet otherwise would cancel.
			x, y := half*(s.y1-s.y2)/length, half*(s.x2-s.x1)/length
			o.begin(s.x1+x, s.y1+y)
			o.line(s.x1-x, s.y1-y)
			o.line(s.x2-x, s.y2-y)
			o.line(s.x2+x, s.y2+y)
			o.path.ClosePath()
		}
	})
}

// fill paints the outline that trace draws inside an area of the page.
func (p *painter) fill(area box, with ink, trace func(outline)) {
	at := image.Rect(int(math.Floor(area.x*dots)), int(math.Floor(area.y*dots)),
		int(math.Ceil((area.x+area.width)*dots)), int(math.Ceil((area.y+area.height)*dots)))
	if at.Empty() {
		return
	}
	p.path.Reset(at.Dx(), at.Dy())
	trace(outline{&p.path, at.Min})
	p.path.Draw(p.on, at, p.source(with), image.Point{})
}

// outline is drawn in pixels of the page onto a mask that begins at a dot.
type outline struct {
	path   *vector.Rasterizer
	origin image.Point
}

func (o outline) dot(x, y float64) (dx, dy float32) {
	return float32(x*dots - float64(o.origin.X)), float32(y*dots - float64(o.origin.Y))
}

func (o outline) begin(x, y float64) { o.path.MoveTo(o.dot(x, y)) }
func (o outline) line(x, y float64)  { o.path.LineTo(o.dot(x, y)) }

func (o outline) curve(x1, y1, x2, y2, x3, y3 float64) {
	ax, ay := o.dot(x1, y1)
	bx, by := o.dot(x2, y2)
	cx, cy := o.dot(x3, y3)
	o.path.CubeTo(ax, ay, bx, by, cx, cy)
}

// circle draws a circle, or the hole of one when it goes round the other way.
func (o outline) circle(x, y, r float64, back bool) {
	const k = 0.5522847498 // of the radius: where a cubic curve keeps within 0.03 % of a quarter circle
	turn := 1.0
	if back {
		turn = -1
	}
	o.begin(x+r, y)
	o.curve(x+r, y+turn*k*r, x+k*r, y+turn*r, x, y+turn*r)
	o.curve(x-k*r, y+turn*r, x-r, y+turn*k*r, x-r, y)
	o.curve(x-r, y-turn*k*r, x-k*r, y-turn*r, x, y-turn*r)
	o.curve(x+k*r, y-turn*r, x+r, y-turn*k*r, x+r, y)
	o.path.ClosePath()
}
