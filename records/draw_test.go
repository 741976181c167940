package records

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// drawer draws parts of records. Keys that may be absent are so half the time.
type drawer struct{ *rapid.T }

func (d drawer) maybe() bool { return rapid.Bool().Draw(d.T, "stated") }

// hostile are characters that writers of TOML get wrong.
func hostile() []rune {
	return []rune{
		'"', '\\', '\'', '\n', '\r', '\t', '\b', '\f', 0, 0x1b, 0x1f, 0x7f, 0x80, 0x85, 0x9f, '#', '=', '[', ']', '{', ',', '.', ' ',
		0x00ad, 0x200b, 0x200e, 0x200f, 0x202e, 0x2028, 0x2029, 0x2066, 0x2069, 0xfeff, 0xfffd, 0xffff, 0xe000, 0x1f600, 0xe0001, 0x10ffff, 'µ', '°', 'ß', 'א', '計',
	}
}

func (d drawer) text() string {
	runes := rapid.OneOf(rapid.SampledFrom(hostile()), rapid.Rune(), rapid.RuneFrom([]rune("abcXYZ09 ")))
	lengths := [][2]int{{1, 12}, {1, 200}}
	if rapid.IntRange(0, 50).Draw(d.T, "long") == 0 {
		return strings.Repeat(string(rapid.SampledFrom(hostile()).Draw(d.T, "rune")), 5000) + "x"
	}
	l := rapid.SampledFrom(lengths).Draw(d.T, "length")
	return rapid.StringOfN(runes, l[0], l[1], -1).Filter(func(s string) bool { return strings.TrimSpace(s) != "" }).Draw(d.T, "text")
}

func (d drawer) maybeText() string {
	if d.maybe() {
		return d.text()
	}
	return ""
}

func (d drawer) id() string {
	return rapid.StringMatching(`[a-zA-Z0-9]([a-zA-Z0-9._-]{0,20}[a-zA-Z0-9])?`).Draw(d.T, "id")
}

func (d drawer) date() calendar.Date {
	return calendar.Date{Year: 1900, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 109_000).Draw(d.T, "day"))
}

func (d drawer) maybeDate() calendar.Date {
	if d.maybe() {
		return d.date()
	}
	return calendar.Date{}
}

func (d drawer) instant() time.Time {
	seconds := rapid.Int64Range(-600_000_000, 5_600_000_000).Draw(d.T, "seconds")
	nano := rapid.SampledFrom([]int64{0, 0, 1, 120_000_000, 999_999_999}).Draw(d.T, "nano")
	offset := rapid.IntRange(-1439, 1439).Draw(d.T, "offset") * 60
	if rapid.IntRange(0, 9).Draw(d.T, "old zone") == 0 {
		offset += 30
	}
	return time.Unix(seconds, nano).In(time.FixedZone("", offset))
}

func (d drawer) number() float64 {
	v := rapid.OneOf(rapid.Float64Range(-maximumReading, maximumReading), rapid.Float64Range(0, 1000),
		rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 1.5e-7, 29.99901234, 5e-324, 123456789.125, -1e10, 1e10, 1e-300, 800})).Draw(d.T, "number")
	return v
}

// parsed draws a quantity from its text: a figure and what stands behind it.
func parsed[Q any](d drawer, parse func(string) (Q, error), low, high float64, forms ...string) Q {
	figure := math.Round(rapid.Float64Range(low, high).Draw(d.T, "figure")*1e4) / 1e4
	text := fmt.Sprintf(rapid.SampledFrom(forms).Draw(d.T, "form"), figure)
	q, err := parse(text)
	if err != nil {
		d.Fatalf("%q: %v", text, err)
	}
	return q
}

func (d drawer) length() quantity.Length {
	return parsed(d, quantity.ParseLength, 0.001, 5000, "%v mm", "%v µm", "%v m", "%.4f mm", "%v in")
}

func (d drawer) maybeLength() quantity.Length {
	if d.maybe() {
		return d.length()
	}
	return quantity.Length{}
}

func (d drawer) lengthUncertainty() quantity.LengthUncertainty {
	return parsed(d, quantity.ParseLengthUncertainty, 0.001, 100, "%v µm (k = 2)", "±%v µm (rectangular)", "u = %v µm", "%v µm (k = 2.13)")
}

func (d drawer) interval() quantity.Interval {
	return quantity.Interval{Months: rapid.IntRange(0, 100).Draw(d.T, "months"), Days: rapid.IntRange(1, 300).Draw(d.T, "days")}
}

func (d drawer) expansion() quantity.Expansion {
	return parsed(d, quantity.ParseExpansion, 0, 30, "%ve-6/K", "%v µm/(m·K)")
}

func (d drawer) words(all []Quantity) []Quantity {
	return rapid.SliceOfNDistinct(rapid.SampledFrom(all), 0, len(all), rapid.ID).Draw(d.T, "quantities")
}

func (d drawer) quantity() Quantity { return rapid.SampledFrom(quantityNames()).Draw(d.T, "quantity") }

func (d drawer) plan() CalibrationPlan {
	return CalibrationPlan{NotRequired: d.maybeText(), Interval: d.interval(), Lead: d.interval()}
}

// several draws a list of at least so many parts.
func several[E any](d drawer, atLeast int, draw func() E) []E {
	var out []E
	for range rapid.IntRange(atLeast, 3).Draw(d.T, "count") {
		out = append(out, draw())
	}
	return out
}

func (d drawer) chart() ChartSettings {
	return ChartSettings{
		Baseline: rapid.SampledFrom([]int{0, 2, 20, 1000}).Draw(d.T, "baseline"),
		Minimum:  rapid.SampledFrom([]int{0, 2, 8}).Draw(d.T, "minimum"),
		Tests:    several(d, 0, d.text),
	}
}

func (d drawer) attachment() *Attachment {
	if !d.maybe() {
		return nil
	}
	return &Attachment{File: d.text(), SHA256: rapid.StringMatching(`[0-9a-f]{64}`).Draw(d.T, "digest"), Size: rapid.Int64Range(0, math.MaxInt64).Draw(d.T, "size")}
}

// TestDrawnTextIsHostile guards the generator: it must reach the characters
// that matter.
func TestDrawnTextIsHostile(t *testing.T) {
	seen := map[rune]bool{}
	text := rapid.Custom(func(t *rapid.T) string { return drawer{t}.text() })
	for i := range 300 {
		for _, r := range text.Example(i) {
			seen[r] = true
		}
	}
	for _, r := range hostile() {
		if !seen[r] {
			t.Errorf("U+%04X never drawn", r)
		}
	}
}
