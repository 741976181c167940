package residuals

import (
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// faces are the fonts opened so far, one for each size and weight.
type faces map[face]font.Face

type face struct {
	size float64
	bold bool
}

func (f *faces) get(want face) (font.Face, error) {
	if found := (*f)[want]; found != nil {
		return found, nil
	}
	data := goregular.TTF
	if want.bold {
		data = gobold.TTF
	}
	parsed, err := opentype.Parse(data)
	if err != nil {
		return nil, err
	}
	made, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: want.size * dots, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return nil, err
	}
	if *f == nil {
		*f = faces{}
	}
	(*f)[want] = made
	return made, nil
}

// write paints a line of text.
func (p *painter) write(m label, k look) error {
	with, err := p.faces.get(face{k.size, k.bold})
	if err != nil {
		return err
	}
	d := font.Drawer{Dst: p.on, Face: with}
	x := m.x * dots
	switch m.anchor {
	case atMiddle:
		x -= float64(d.MeasureString(m.text)) / 64 / 2
	case atEnd:
		x -= float64(d.MeasureString(m.text)) / 64
	case atStart:
	}
	at := func(dx, dy float64) fixed.Point26_6 {
		return fixed.Point26_6{X: fixed.Int26_6(math.Round((x + dx) * 64)), Y: fixed.Int26_6(math.Round((m.y*dots + dy) * 64))}
	}
	if k.halo {
		// SVG draws a line of three pixels around the letters; the letters moved all round by half of it look the same.
		d.Src = p.source(inkPaper)
		for i := range 16 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 8)
			d.Dot = at(1.5*dots*cos, 1.5*dots*sin)
			d.DrawString(m.text)
		}
	}
	d.Src, d.Dot = p.source(k.fill), at(0, 0)
	d.DrawString(m.text)
	return nil
}
