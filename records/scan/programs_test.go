package scan_test

import (
	"math"
	"strings"
	"testing"
)

// What general-purpose programs wrote, as general-purpose libraries read it: points, first and last one, and box by Open3D
// 0.16.1 and VTK 9.1.0, of OBJ by numpy. Of STL the last is the last corner of the last facet. Files in single precision are
// met to 1e-6 of the largest coordinate, text to half its last digit, as those libraries widen or round them.
func TestFilesOfPrograms(t *testing.T) {
	tests := []struct {
		file        string
		format      string
		points      int
		facets      int64
		first, last [3]float64
		box         [2][3]float64
		tolerance   float64
		step        float64 // 1.2e-7 · 2^8 = 3.05e-5 for single precision between 256 and 512
	}{
		{
			"pcl-binary.ply", "PLY, binary little-endian", 4000, 0, // a camera follows the vertices
			[3]float64{-325.610595703125, -102.0261001586914, -30.163881301879883},
			[3]float64{-139.40748596191406, 78.76817321777344, -98.3460693359375},
			[2][3]float64{{-452.6394958496094, -192.0790557861328, -177.16690063476562}, {-23.186328887939453, 218.06289672851562, 32.414188385009766}},
			0, 0x1p-15,
		},
		{
			"vtk-big.ply", "PLY, binary big-endian", 4000, 0, // element face 0
			[3]float64{-325.610595703125, -102.0261001586914, -30.163881301879883},
			[3]float64{-139.40748596191406, 78.76817321777344, -98.3460693359375},
			[2][3]float64{{-452.6394958496094, -192.0790557861328, -177.16690063476562}, {-23.186328887939453, 218.06289672851562, 32.414188385009766}},
			0, 0x1p-15,
		},
		{
			"pcl-binary-obj-info.ply", "PLY, binary little-endian", 2900, 0, // obj_info, normals and colours
			[3]float64{7.754876136779785, -19.285430908203125, 408.3182373046875},
			[3]float64{156.42762756347656, 95.92855072021484, 387.98193359375},
			[2][3]float64{{-27.8035831451416, -117.35404205322266, 387.9453125}, {230.30841064453125, 141.12351989746094, 433.91387939453125}},
			0, 0x1p-15,
		},
		{
			"o3d-mesh-binary.ply", "PLY, binary little-endian", 732, 1456, // doubles, normals, facets
			[3]float64{12.25, -33.5, 425},
			[3]float64{194.2109486868898, 55.1106768310222, 404.31142234944804},
			[2][3]float64{{-2.75, -48.5, 395}, {205.9568206435081, 70.85341032175405, 433.9353410321754}},
			0, 0,
		},
		{
			"assimp-ascii.ply.gz", "PLY, ASCII", 2482, 4400,
			[3]float64{-106.757683, 111.29792, -74.8440628},
			[3]float64{-280.029083, 19.0926113, -75.931076},
			[2][3]float64{{-453.068726, -214.582108, -179.909042}, {-17.8875942, 233.277237, -9.03579521}},
			0, 1e-6, // nine significant digits
		},
		{
			"points_ascii_with_lists.ply", "PLY, ASCII", 5, 0, // lists in a second element
			[3]float64{-0.06325, 0.0359793, 0.0420873},
			[3]float64{-0.0635, 0.0367289, 0.0424662},
			[2][3]float64{{-0.0645, 0.0359793, 0.0404362}, {-0.06275, 0.0367289, 0.0425949}},
			0, 1e-7, // six significant digits
		},
		{
			"o3d-mesh-binary.stl", "STL, binary", 732, 1456,
			[3]float64{12.25, -33.5, 425},
			[3]float64{197.46507263183594, 55.85340881347656, 405.4208068847656},
			[2][3]float64{{-2.75, -48.5, 395}, {205.95681762695312, 70.85340881347656, 433.9353332519531}},
			0, 0x1p-15,
		},
		{
			"vtk-ascii.stl.gz", "STL, ASCII", 2482, 4400,
			[3]float64{-106.75768280029297, 111.29792022705078, -74.84406280517578},
			[3]float64{-281.5354309082031, 16.02264404296875, -76.17220306396484},
			[2][3]float64{{-453.0687255859375, -214.5821075439453, -179.90904235839844}, {-17.88759422302246, 233.27723693847656, -9.035795211791992}},
			5e-14, 0, // seventeen significant digits
		},
		{
			"pcl-mesh.obj.gz", "OBJ", 732, 1456,
			[3]float64{12.25, -33.5, 425},
			[3]float64{194.21, 55.111, 404.31},
			[2][3]float64{{-2.75, -48.5, 395}, {205.96, 70.853, 433.94}},
			0, 0.01, // five significant digits
		},
	}
	for _, tt := range tests {
		t.Run(tt.file, func(t *testing.T) {
			content := testdata(t, tt.file)
			r := mustRead(t, content, tt.file)
			if strings.HasSuffix(tt.file, ".gz") != r.head.Compressed || r.head.Format != tt.format {
				t.Errorf("head %+v, want %s", r.head, tt.format)
			}
			if len(r.xyz) != 3*tt.points || r.tally.Facets != tt.facets || r.head.Declared >= 0 && r.head.Declared != int64(tt.points) {
				t.Errorf("%d points, %d facets, want %d and %d; head %+v", len(r.xyz)/3, r.tally.Facets, tt.points, tt.facets, r.head)
			}
			near := func(what string, got, want [3]float64) {
				for axis := range got {
					if math.Abs(got[axis]-want[axis]) > tt.tolerance {
						t.Errorf("%s: %v, want %v", what, got, want)
						return
					}
				}
			}
			near("first", r.point(0), tt.first)
			last := tt.points - 1
			for strings.HasPrefix(tt.format, "STL") && last > 0 && math.Abs(r.point(last)[0]-tt.last[0]) > tt.tolerance {
				last-- // the corner's vertex may have appeared before
			}
			near("last", r.point(last), tt.last)
			box := r.box()
			near("smallest", box[0], tt.box[0])
			near("largest", box[1], tt.box[1])
			if math.Abs(r.tally.Step-tt.step) > 1e-9*tt.step || len(r.tally.Warnings) > 0 || r.head.Mesh != (tt.facets > 0) {
				t.Errorf("step %g, want %g; %+v %v", r.tally.Step, tt.step, r.head, r.tally.Warnings)
			}
			other, name := packed(t, content), tt.file+".gz"
			if r.head.Compressed {
				other, name = unpacked(t, content), strings.TrimSuffix(tt.file, ".gz")
			}
			s := mustRead(t, other, name)
			s.head.Compressed = r.head.Compressed
			if d := different(r, s); d != "" {
				t.Errorf("packed and not, the file differs in %s", d)
			}
		})
	}
}
