package scan_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"runtime"
	"slices"
	"testing"

	"plumbrule/records/scan"
)

// Wherever a compressed file is cut, nothing is read of it.
func TestPackedFilesCut(t *testing.T) {
	content := packed(t, testdata(t, "malformed/ply-crlf-binary.ply"))
	for n := 2; n < len(content); n++ {
		wantFault(t, content[:n], "a.ply.gz", "gzip stream ends before its trailer")
	}
}

func TestPackedFilesDamaged(t *testing.T) {
	plain := testdata(t, "malformed/ply-crlf-binary.ply")
	content := packed(t, plain)
	want := mustRead(t, content, "a.ply.gz")

	sum := slices.Clone(content)
	sum[len(sum)-8] ^= 1
	wantFault(t, sum, "a.ply.gz", "checksum")
	length := slices.Clone(content)
	length[len(length)-4] ^= 1
	wantFault(t, length, "a.ply.gz", "length")
	damaged := slices.Clone(content)
	damaged[20] ^= 0xff
	if _, err := readBytes(damaged, "a.ply.gz", 1); err == nil {
		t.Error("damaged data were read")
	}
	wantFault(t, append(slices.Clone(content), "rest of another file"...), "a.ply.gz", "no gzip stream")

	members := append(packed(t, plain[:300]), packed(t, plain[300:])...)
	if d := different(want, mustRead(t, members, "a.ply.gz")); d != "" {
		t.Errorf("in two members the file differs in %s", d)
	}
}

// The fault of the content is found, and not an end where the format does not ask for more.
func TestPackedTrailerIsAlwaysRead(t *testing.T) {
	for _, file := range []string{"malformed/stl-binary-solid.stl", "points_ascii_with_lists.ply", "o3d-mesh-binary.ply"} {
		content := packed(t, testdata(t, file))
		wantFault(t, content[:len(content)-1], file+".gz", "gzip stream ends before its trailer")
	}
}

// A kilobyte that unpacks to a thousand times as much takes time, but no memory.
func TestPackedBombs(t *testing.T) {
	const unpacked = 1 << 24
	bomb := func(head string, fill byte) []byte {
		var b bytes.Buffer
		w, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, head)
		block := bytes.Repeat([]byte{fill}, 1<<20)
		for range unpacked / len(block) {
			w.Write(block)
		}
		w.Close()
		return b.Bytes()
	}
	xyz := "property float x\nproperty float y\nproperty float z\nend_header\n"
	tests := []struct {
		name    string
		content []byte
		says    string
	}{
		{"blank.ply", bomb("ply\nformat ascii 1.0\nelement vertex 9223372036854775807\n"+xyz, '\n'), "announced, data for 0"},
		{"line.ply", bomb("ply\nformat ascii 1.0\nelement vertex 9223372036854775807\n"+xyz, '1'), "longer than"},
		{"header.ply", bomb("ply\nformat ascii 1.0\n", '\n'), "header goes on"},
		{"list.ply", bomb("ply\nformat binary_little_endian 1.0\nelement vertex 9223372036854775807\nproperty list uint double n\n"+xyz, 0xff), "the file ends first"},
		{"mesh.stl", bomb(string(make([]byte, 80))+"\xff\xff\xff\xff", 0), "announced, data for"},
		{"mesh.obj", bomb("v 1 2 3\n", '\n'), ""},
	}
	for _, tt := range tests {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := readBytes(tt.content, tt.name, 2)
		runtime.ReadMemStats(&after)
		if taken := after.TotalAlloc - before.TotalAlloc; taken > unpacked/2 {
			t.Errorf("%s: took %d bytes of memory", tt.name, taken)
		}
		if err != nil {
			wantWords(t, tt.name, err.Error(), tt.says)
		}
		if err == nil != (tt.says == "") {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// A file that is cut behind the reader's back gives a fault, not the points that are left.
func TestShrinkingFiles(t *testing.T) {
	for _, file := range []string{"pcl-binary.ply", "vtk-ascii.stl.gz", "o3d-mesh-binary.stl", "o3d-mesh-binary.ply"} {
		content := testdata(t, file)
		file := shrinking{content: content, end: len(content)}
		cloud, err := scan.Open(&file, int64(len(content)), scan.Options{Name: "scan"})
		if err != nil {
			t.Fatal(err)
		}
		file.end -= 100
		if _, err = readCloud(cloud, 2); err == nil {
			t.Error("read")
			continue
		}
		wantWords(t, "shrunk", err.Error(), "the file ends here, but had")
	}
}

type shrinking struct {
	content []byte
	end     int
}

func (s *shrinking) ReadAt(p []byte, offset int64) (int, error) {
	return bytes.NewReader(s.content[:s.end]).ReadAt(p, offset)
}
