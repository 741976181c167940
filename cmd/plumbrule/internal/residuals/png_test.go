package residuals

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"slices"
	"testing"
)

func decoded(t *testing.T, s *Scene, name string) image.Image {
	t.Helper()
	var out bytes.Buffer
	if err := PNG(&out, s); err != nil {
		t.Fatal(err)
	}
	keep(t, name+".png", out.Bytes())
	picture, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

func rgb(c uint32) color.RGBA { return color.RGBA{uint8(c >> 16), uint8(c >> 8), uint8(c), 0xff} }

func at(p image.Image, x, y float64) color.RGBA {
	return color.RGBAModel.Convert(p.At(int(x*dots), int(y*dots))).(color.RGBA)
}

func TestPNGExtremes(t *testing.T) {
	for name, s := range extremes(t) {
		if *drawTo == "" && !slices.Contains([]string{"bare", "exact", "hostile", "three"}, name) {
			continue // the layout of the others is looked at as SVG, and dots take their time
		}
		t.Run(name, func(t *testing.T) {
			l, p := s.draw(), decoded(t, s, name)
			if b := p.Bounds(); b.Dx() != int(l.width*dots) || b.Dy() != int(l.height*dots) {
				t.Errorf("%v for a page of %v by %v", b, l.width, l.height)
			}
			paper, painted, white := 0, 0, rgb(light()[inkPaper])
			for dot := range slices.Chunk(p.(*image.RGBA).Pix, 4) {
				switch c := (color.RGBA{dot[0], dot[1], dot[2], dot[3]}); {
				case c.A != 0xff:
					t.Fatalf("%v: something shines through", c)
				case c == white:
					paper++
				default:
					painted++
				}
			}
			if painted < 20_000 || paper < painted {
				t.Errorf("%d dots of paper and %d painted", paper, painted)
			}
		})
	}
}

// Dots of the picture are those of the list that the SVG is written from.
func TestPNGShowsTheList(t *testing.T) {
	s := bar(4000)
	l, p := s.draw(), decoded(t, s, "bar")
	all := map[role]look{}
	for _, k := range looks() {
		all[k.role] = k
	}
	letters := 0
	for i, m := range l.marks {
		k := all[m.of()]
		switch m := m.(type) {
		case boxes:
			if len(m.at) != 1 || m.role == ground {
				continue // cells lie beneath circles and crosses
			}
			if got := at(p, m.at[0].x+1, m.at[0].y+1); got != rgb(light()[k.fill]) {
				t.Errorf("mark %d, %s: %v", i, m.role, got)
			}
		case strokes:
			if m.role != rule && m.role != beam {
				continue
			}
			a := m.at[0]
			if got := at(p, a.x1+0.7*(a.x2-a.x1), a.y1+0.7*(a.y2-a.y1)); got != rgb(light()[k.stroke]) {
				t.Errorf("mark %d, %s: %v", i, m.role, got)
			}
		case circle:
			if m.role != ball {
				continue
			}
			for _, c := range []struct {
				r    float64
				want ink
			}{{0.6, k.fill}, {1, k.stroke}, {1.3, inkPaper}} {
				r := c.r * m.r
				if got := at(p, m.x-r*math.Sqrt(0.5), m.y-r*math.Sqrt(0.5)); got != rgb(light()[c.want]) {
					t.Errorf("mark %d, %s at %v of its radius: %v", i, m.role, c.r, got)
				}
			}
		case label:
			dark := false
			for x := m.x - 40; x < m.x+40; x += 0.5 {
				for y := m.y - 8; y < m.y; y += 0.5 {
					dark = dark || at(p, max(x, 0), y).G < 0x90
				}
			}
			if !dark {
				t.Errorf("no letters of %q", m.text)
			}
			letters++
		}
	}
	if letters < 60 {
		t.Errorf("%d labels", letters)
	}
}

// A plus, a minus and a ring: strokes that meet do not cancel each other, and a ring is hollow.
func TestPNGShapes(t *testing.T) {
	p := &painter{on: image.NewRGBA(image.Rect(0, 0, 200, 100)), inks: light()}
	black := look{stroke: inkMedium, width: 4}
	p.strokes(strokes{at: []stroke{{10, 25, 40, 25}, {25, 40, 25, 10}, {40, 25, 10, 25}}}, black)
	if err := p.paint(circle{x: 75, y: 25, r: 20}); err != nil {
		t.Fatal(err)
	}
	if p.on.RGBAAt(150, 10) != (color.RGBA{}) {
		t.Error("a circle without line and filling is seen")
	}
	p.looks = map[role]look{rim: {role: rim, stroke: inkMedium, width: 4}}
	if err := p.paint(circle{role: rim, x: 75, y: 25, r: 20}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		x, y    float64
		painted bool
	}{
		{25, 25, true},
		{12, 25, true},
		{25, 12, true},
		{25, 38, true},
		{25, 26.5, true},
		{25, 42, false},
		{8, 25, false},
		{15, 15, false},
		{15, 28, false},
		{75, 25, false},
		{94.5, 25, true},
		{55.5, 25, true},
		{75, 5.5, true},
		{75, 44.5, true},
		{91, 25, false},
		{98, 25, false},
	} {
		if painted := at(p.on, c.x, c.y).A == 0xff; painted != c.painted {
			t.Errorf("%v, %v: painted is %v", c.x, c.y, painted)
		}
	}
}

func TestPNGTwiceAlike(t *testing.T) {
	var a, b bytes.Buffer
	for _, out := range []*bytes.Buffer{&a, &b} {
		if err := PNG(out, bar(400)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("painted twice, and not alike")
	}
}

func BenchmarkPNG(b *testing.B) {
	s := bar(4000)
	for b.Loop() {
		if err := PNG(io.Discard, s); err != nil {
			b.Fatal(err)
		}
	}
}
