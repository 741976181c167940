package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"testing"

	"plumbrule/rules/chart"
)

// lettered is a text of a drawing with the box it takes at 11 pixels' size, in a font narrower than what is allowed for.
type lettered struct {
	text                     string
	left, right, top, bottom float64
}

func letteredOf(t *testing.T, data []byte) []lettered {
	t.Helper()
	var out []lettered
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		start, isStart := token.(xml.StartElement)
		if !isStart || start.Name.Local != "text" {
			continue
		}
		at := map[string]string{}
		for _, a := range start.Attr {
			at[a.Name.Local] = a.Value
		}
		var text string
		if err := d.DecodeElement(&text, &start); err != nil {
			t.Fatal(err)
		}
		x, errX := strconv.ParseFloat(at["x"], 64)
		y, errY := strconv.ParseFloat(at["y"], 64)
		if err := errors.Join(errX, errY); err != nil {
			t.Fatal(err)
		}
		width := 0.8 * extent(text)
		l := lettered{text: text, left: x, right: x + width, top: y - 8, bottom: y}
		switch at["text-anchor"] {
		case "middle":
			l.left, l.right = x-width/2, x+width/2
		case "end":
			l.left, l.right = x-width, x
		}
		out = append(out, l)
	}
}

// No text of a chart is written over another one, wherever its baseline ends.
func TestNoTextLiesOnAnother(t *testing.T) {
	pictures := kinds(t)
	for baseline := 5; baseline <= 15; baseline++ {
		p := pictures["ewma"]
		errs := make([]float64, len(p.Points))
		for i := range errs {
			errs[i] = float64(i % 3)
		}
		c, err := chart.EWMA(errs, chart.Settings{Weight: 0.3, Baseline: baseline, Minimum: 4})
		if err != nil {
			t.Fatal(err)
		}
		p.Chart, p.Marks = c, nil
		pictures[fmt.Sprint("ewma after ", baseline)] = p
	}
	for name, p := range pictures {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			if err := SVG(&out, p, "c1"); err != nil {
				t.Fatal(err)
			}
			list := letteredOf(t, out.Bytes())
			if len(list) < 10 {
				t.Fatalf("%d texts", len(list))
			}
			for i, a := range list {
				for _, b := range list[:i] {
					if a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom {
						t.Errorf("%q lies on %q", a.text, b.text)
					}
				}
			}
		})
	}
}
