package channel

import (
	"strings"
	"testing"
)

func TestEndsOfWhatIsPrinted(t *testing.T) {
	flood := strings.Repeat("and on ", 200_000)
	for _, c := range []struct {
		name  string
		parts []string
		want  string
	}{
		{"nothing", nil, ""},
		{"blanks alone", []string{" \n", "\t"}, ""},
		{"a word", []string{"busy\n"}, `"busy"`},
		{"all that fits", []string{strings.Repeat("a", 100), strings.Repeat("b", 200)}, `"` + strings.Repeat("a", 100) + strings.Repeat("b", 200) + `"`},
		{"in single bytes", strings.Split(strings.Repeat("a", 100)+strings.Repeat("b", 200), ""), `"` + strings.Repeat("a", 100) + strings.Repeat("b", 200) + `"`},
		{"one byte too many", []string{strings.Repeat("a", 100), "x", strings.Repeat("b", 200)}, `"` + strings.Repeat("a", 100) + " … " + strings.Repeat("b", 200) + `"`},
		{"letters cut through", []string{strings.Repeat("a", 99) + "µ" + flood + "ü" + strings.Repeat("b", 199)}, `"` + strings.Repeat("a", 99) + " … " + strings.Repeat("b", 199) + `"`},
	} {
		e := &ends{}
		for _, part := range c.parts {
			if n, err := e.Write([]byte(part)); n != len(part) || err != nil {
				t.Fatal(n, err)
			}
		}
		if got := e.String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	for _, parts := range [][]string{{"the cause\n" + flood + "the end\n"}, {"the cause\n", flood, "the end\n"}, {"the", " cause\n", flood, flood, "the end", "\n"}} {
		e := &ends{}
		for _, part := range parts {
			_, _ = e.Write([]byte(part))
		}
		if got := e.String(); !strings.HasPrefix(got, `"the cause and on `) || !strings.HasSuffix(got, ` and on the end"`) || !strings.Contains(got, " … ") || len(got) > 310 {
			t.Errorf("of a flood: %s", got)
		}
	}
}
