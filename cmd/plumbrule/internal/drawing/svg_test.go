package drawing

import (
	"bytes"
	"testing"
)

func TestSVGGolden(t *testing.T) {
	for name, p := range map[string]Picture{"flow-rate.svg": flowRate(t), "ball-bar.svg": ballBar(t)} {
		var out bytes.Buffer
		if err := SVG(&out, p, "c1"); err != nil {
			t.Fatal(err)
		}
		golden(t, name, out.Bytes())
	}
}
