package scan_test

import "testing"

// Figures by Open3D 0.16.1, except those of the file with doubles, which it reads as zeros: they are the coordinates that
// the file was made from.
func TestPCDFiles(t *testing.T) {
	singles := [2][3]float64{
		{-27.8035831451416, -117.35404205322266, 387.9453125},
		{230.30841064453125, 141.12351989746094, 433.91387939453125},
	}
	decimals := [2][3]float64{{-27.803583, -117.354044, 387.945309}, {230.308406, 141.123521, 433.913877}}
	for _, f := range []pointFile{
		{
			file: "o3d-ascii.pcd.gz", format: "PCD, ascii", declared: 2900, points: 2900,
			first: [3]float64{7.754876, -19.28543, 408.318229}, last: [3]float64{156.427634, 95.928554, 387.981947},
			box: decimals, step: 1e-6,
		},
		{
			file: "pcl-binary.pcd.gz", format: "PCD, binary", declared: 4000, points: 4000, single: true, // filled up by 3871 zeros
			first: [3]float64{-325.610595703125, -102.0261001586914, -30.163881301879883},
			last:  [3]float64{-139.40748596191406, 78.76817321777344, -98.3460693359375},
			box:   [2][3]float64{{-452.6394958496094, -192.0790557861328, -177.16690063476562}, {-23.186328887939453, 218.06289672851562, 32.414188385009766}},
			step:  0x1p-15,
		},
		{
			file: "pcl-binary-double-normals-colours.pcd.gz", format: "PCD, binary", declared: 2900, points: 2900,
			first: [3]float64{7.754876, -19.28543, 408.318229}, last: [3]float64{156.427634, 95.928554, 387.981947},
			box: decimals,
		},
		{
			file: "o3d-compressed-normals-colours.pcd", format: "PCD, compressed binary", declared: 2900, points: 2900, single: true,
			first: [3]float64{7.754876136779785, -19.285430908203125, 408.3182373046875},
			last:  [3]float64{156.42762756347656, 95.92855072021484, 387.98193359375},
			box:   singles, step: 0x1p-15,
		},
	} {
		t.Run(f.file, func(t *testing.T) { f.check(t) })
	}
}
