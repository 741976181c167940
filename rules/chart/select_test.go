package chart

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestParseTestsSelectsByName(t *testing.T) {
	var all []string
	for _, d := range TestDocs() {
		all = append(all, string(d.Test))
	}
	for _, c := range []struct {
		selection []string
		want      Tests
	}{
		{all, Nelson()},
		{nil, Tests{}},
		{[]string{"point-beyond", "same-side 7"}, Tests{PointBeyond: true, SameSide: 7}},
		{[]string{"trend 7", "two-of-three"}, Tests{Trend: 7, TwoOfThree: true}},
	} {
		got, err := ParseTests(c.selection)
		if err != nil {
			t.Errorf("%q: %v", c.selection, err)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%q: (-want +got)\n%s", c.selection, diff)
		}
	}
}

func TestParseTestsRefuses(t *testing.T) {
	for selection, says := range map[string]string{
		"samside": "there is no run test", "same-side x": "length of its run", "point-beyond 3": "length of its run", "same-side 1": "same-side",
	} {
		if _, err := ParseTests([]string{selection}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: got %v, want %q in it", selection, err, says)
		}
	}
}
