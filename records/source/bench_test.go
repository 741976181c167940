package source

import "testing"

// check is a record as most files are: about 600 bytes, six readings.
const check = `# weekly check of the hand-held scanner
device = "scan-02"
artifact = "bar-3s"
procedure = "bar-weekly"
time = 2026-10-05T08:12:00+02:00
by = "mk"
unit = "mm"

[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"

[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.9990]

[[reading]]
feature = "B"
values = [29.9977, 30.0002, 29.9996]

[[reading]]
feature = "C"
values = [30.0021, 30.0013, 30.0008]

[[reading]]
feature = "A-B"
values = [400.012]
path = "1.4 m"

[[reading]]
feature = "B-C"
values = [400.020]
path = "1.4 m"

[[reading]]
feature = "A-C"
values = [800.031]
path = "2.6 m"
`

func BenchmarkParse(b *testing.B) {
	text := []byte(check)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	var parser Parser
	for b.Loop() {
		if _, fault := parser.Parse(text); fault != nil {
			b.Fatal(fault)
		}
	}
}

// BenchmarkParseAndDecode also decodes every value, as the records' decoder
// does.
func BenchmarkParseAndDecode(b *testing.B) {
	text := []byte(check)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	var parser Parser
	for b.Loop() {
		doc, fault := parser.Parse(text)
		if fault != nil {
			b.Fatal(fault)
		}
		if got := decodeAll(doc.Root()); got != 29 {
			b.Fatalf("%d values", got)
		}
	}
}

func decodeAll(n Node) int {
	decoded := 0
	switch n.Kind() {
	case Table:
		for child := range n.Children() {
			if child.Key() != "" {
				decoded += decodeAll(child)
			}
		}
	case Array:
		for element := range n.Elements() {
			decoded += decodeAll(element)
		}
	case String:
		if _, ok := n.Text(); ok {
			decoded++
		}
	case Integer, Float:
		if _, ok := n.Float(); ok {
			decoded++
		}
	case OffsetDateTime:
		if _, ok := n.Instant(); ok {
			decoded++
		}
	case None, Bool, LocalDateTime, LocalDate, LocalTime:
	}
	return decoded
}

// BenchmarkLibrary is the same text through BurntSushi/toml into generic maps.
func BenchmarkLibrary(b *testing.B) {
	b.SetBytes(int64(len(check)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := decodeWithLibrary(check); err != nil {
			b.Fatal(err)
		}
	}
}
