package scan_test

import "testing"

func FuzzPCD(f *testing.F) {
	for _, data := range []string{"ascii", "binary", "binary_compressed"} {
		d := scene(data)
		f.Add(d.bytes())
		d.pack = func(raw []byte) []byte { return reference(literals(raw[:100]), 20, 100) }
		f.Add(d.bytes())
	}
	f.Fuzz(func(t *testing.T, content []byte) { survive(t, content, "a.pcd") })
}
