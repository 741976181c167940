package drawing

import (
	"strings"
	"testing"

	"plumbrule/rules/chart"
)

func TestSpreadLabels(t *testing.T) {
	labels := []sideLabel{{100, "d"}, {99, "c"}, {10, "a"}, {12, "b"}}
	spread(labels, 13, 0, 100)
	want := []sideLabel{{10, "a"}, {23, "b"}, {87, "c"}, {100, "d"}}
	for i := range want {
		if labels[i] != want[i] {
			t.Errorf("label %d: %v, want %v", i, labels[i], want[i])
		}
	}
}

// A word that would leave the field or hide a point is left out.
func TestWordsStayInTheField(t *testing.T) {
	signals := []chart.Signal{{Test: chart.Trend}, {Test: chart.SameSide}}
	for _, test := range []struct {
		name string
		x, y float64
		want string // part of the element drawn
	}{
		{"above", 150, 50, `x="150.00" y="39.00" text-anchor="middle">trend +1`},
		{"below at the top", 150, 5, `x="150.00" y="24.00" text-anchor="middle"`},
		{"right at the left border", 5, 50, `x="15.00" y="54.00" text-anchor="start"`},
		{"left at the right border", 295, 50, `x="285.00" y="54.00" text-anchor="end"`},
		{"nowhere", 150, -200, ""},
	} {
		w := newWords(panel{width: 300, height: 100})
		var c canvas
		w.signals(&c, test.x, test.y, signals)
		if got := c.String(); !strings.Contains(got, test.want) || (test.want == "") != (got == "") {
			t.Errorf("%s: %s, want %s", test.name, got, test.want)
		}
	}
}
