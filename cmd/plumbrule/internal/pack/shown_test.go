package pack

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Names, days and options keep to one line, paths break behind a slash.
func TestShown(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"fit", "fit"},
		{"a < b", "a &lt; b"},
		{"caliper-01 overdue", `<span class="name">caliper-01</span> overdue`},
		{"due by\n2027-02-17", "due by\n" + `<span class="name">2027-02-17</span>`},
		{"ISO/IEC 17025:2017", "ISO/IEC 17025:2017"},
		{"devices/arm-01.toml:15", `devices/<wbr><span class="name">arm-01.toml:15</span>`},
		{"events/arm-01/2026-02-03-adjustment.toml", `events/<wbr><span class="name">arm-01/</span><wbr><span class="long">2026-02-03-adjustment.toml</span>`},
		{"plumbrule audit --rev 0-1", `plumbrule audit <span class="name">--rev</span> <span class="name">0-1</span>`},
		{"<a-b>", `<span class="name">&lt;a-b&gt;</span>`},
		{"\u202ea-b", `<span class="name">\u202ea-b</span>`},
		{" -  \n", ` <span class="name">-</span>  ` + "\n"},
	} {
		if got := string(shown(c.text)); got != c.want {
			t.Errorf("%q is shown as %s, want %s", c.text, got, c.want)
		}
	}
}

// Nothing of a text is lost or becomes markup.
func TestShownIsTheText(t *testing.T) {
	tags := regexp.MustCompile(`<wbr>|<span class="(name|long)">|</span>`)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ab-/ \n<>&\"'é\u202e")), 0, 60, -1).Draw(t, "text")
		bare := tags.ReplaceAllString(string(shown(text)), "")
		if strings.ContainsAny(bare, "<>") {
			t.Fatalf("%q is shown as %s", text, shown(text))
		}
		if got, want := html.UnescapeString(bare), words(text); got != want {
			t.Fatalf("%q is shown as %q, want %q", text, got, want)
		}
	})
}
