package scan_test

import (
	"encoding/binary"
	"testing"
)

// FuzzE57 is given what lies in the pages: the checksums are put right, and so is the length, lest nothing else be tried.
func FuzzE57(f *testing.F) {
	posed := draftPoints(20)
	posed.pose = `<pose type="Structure"><rotation type="Structure"><w type="Float">0.6</w><z type="Float">0.8</z></rotation></pose>`
	posed.fields = append(posed.fields, integerField("cartesianInvalidState", 0, 2, make([]uint64, 20)))
	polar := e57DraftScan{records: 2, fields: []e57DraftField{
		doubleField("sphericalRange", 1, 2), singleField("sphericalAzimuth", 1, 2), integerField("sphericalElevation", 1, 1, []uint64{0, 0}),
	}}
	for _, scans := range [][]e57DraftScan{{draftPoints(10)}, {posed, polar}, {draftPoints(0)}} {
		d := e57Draft{scans: scans}
		d.patch = func(logical []byte) { f.Add(append([]byte(nil), logical...)) }
		d.bytes()
	}
	f.Fuzz(func(t *testing.T, logical []byte) {
		for len(logical)%1020 != 0 || len(logical) == 0 {
			logical = append(logical, 0)
		}
		copy(logical, "ASTM-E57")
		binary.LittleEndian.PutUint64(logical[16:], uint64(len(logical)/1020*1024))
		survive(t, paged(logical), "a.e57")
	})
}
