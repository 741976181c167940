package scan_test

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"

	"plumbrule/records/scan"
)

// survive reads whatever it is given: no panic, not much memory, nothing that is not finite, and by four workers the same as
// by one, faults included.
func survive(t *testing.T, content []byte, name string) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	one, err := readBytes(content, name, 1)
	runtime.ReadMemStats(&after)
	if taken := after.TotalAlloc - before.TotalAlloc; taken > 32<<20+100*uint64(len(content)) {
		t.Fatalf("%d bytes of memory for %d", taken, len(content))
	}
	four, err4 := readBytes(content, name, 4)
	if err != nil {
		if err4 == nil || err.Error() != err4.Error() {
			t.Fatalf("by one worker %v, by four %v", err, err4)
		}
		if _, fault := errors.AsType[*scan.Error](err); !fault {
			t.Fatalf("%v is no fault of the file", err)
		}
		return
	}
	if err4 != nil {
		t.Fatalf("by one worker read, by four %v", err4)
	}
	if d := different(one, four); d != "" {
		t.Fatalf("one worker and four differ in %s", d)
	}
	if len(one.xyz) == 0 || slices.ContainsFunc(one.xyz, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }) {
		t.Fatalf("%d coordinates, or one that is not finite", len(one.xyz))
	}
}

func FuzzText(f *testing.F) {
	for _, s := range []string{
		"1 2 3\n4 5 6\n", "2\n1 2 3 4\n5 6 7 8\n1\n1 2 3 4\n", "x;y;z\n1;2;3;\n", "// z [mm] y [mm] x [mm]\r1\t2\tnan\r", "\"x\",\"y\",\"z\",\"a b\"\n1,2,3,\"4,5\"\n",
		"1,5 2,5 3,5\n", "\xef\xbb\xbf# x y z\n-1e-3 +.5 1.#INF\n", "number x y z\n1 2 3 4\n", "100,2802,61,1436,30,0370\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, content []byte) { survive(t, content, "a.txt") })
}
