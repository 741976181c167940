package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
)

// files makes a story's scan as PLY and its truth as JSON, by their names.
func (s *story) files(bar reference) (map[string][]byte, error) {
	made := s.make(bar)
	cloud := made.ply()
	truth, err := json.MarshalIndent(made.truth(cloud), "", "  ")
	if err != nil {
		return nil, err
	}
	return map[string][]byte{s.name + ".ply": cloud, s.name + ".truth.json": append(truth, '\n')}, nil
}

// ply writes the points as little-endian single precision numbers. The unit stands in a comment, where no program looks
// for it: the format has no other place.
func (m *scan) ply() []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, "ply\nformat binary_little_endian 1.0\ncomment invented scan of %s, unit %s\nelement vertex %d\n"+
		"property float x\nproperty float y\nproperty float z\nend_header\n", artifact, m.unit, len(m.points))
	data := out.Bytes()
	for _, p := range m.points {
		for _, v := range p.at {
			data = binary.LittleEndian.AppendUint32(data, math.Float32bits(float32(v*m.perMM())))
		}
	}
	return data
}

// truthJSON is what is true of a scan. Lengths are in millimetres and places in the scan's frame, whatever unit its file has;
// errors are what the scan shows minus what is, at the bar's temperature.
type truthJSON struct {
	Scan      string       `json:"scan"`
	Tells     string       `json:"tells"`
	SHA256    string       `json:"sha256"`
	Unit      string       `json:"unit"`
	Points    int          `json:"points"`
	Kinds     map[kind]int `json:"points_by_kind"`
	Artifact  string       `json:"artifact"`
	Number    string       `json:"certificate"`
	Celsius   float64      `json:"artifact_temperature_celsius"`
	PerKelvin float64      `json:"expansion_per_kelvin"`

	Spheres  []sphereJSON `json:"spheres"`
	Distance distanceJSON `json:"distance"`
	Closure  *vectorJSON  `json:"loop_closure,omitempty"`
	Second   *vectorJSON  `json:"second_sheet_on_c,omitempty"`
}

type sphereJSON struct {
	Name        string  `json:"name"`
	CentreMM    vector  `json:"centre_mm"`
	DiameterMM  float64 `json:"diameter_mm"`
	CertifiedMM float64 `json:"certified_diameter_mm"` // at 20 °C
	ErrorUM     float64 `json:"error_um"`
	NoiseUM     float64 `json:"noise_um"`
	HalfAngle   float64 `json:"cap_half_angle_degrees"`
}

type distanceJSON struct {
	From        string  `json:"from"`
	To          string  `json:"to"`
	MM          float64 `json:"distance_mm"`
	CertifiedMM float64 `json:"certified_mm"` // at 20 °C
	WarmMM      float64 `json:"certified_at_temperature_mm"`
	ErrorUM     float64 `json:"error_um"`
	PathM       float64 `json:"path_m"`
}

type vectorJSON struct {
	MM     vector  `json:"vector_mm"`
	Length float64 `json:"length_mm"`
	PathM  float64 `json:"path_m,omitempty"`
}

func (m *scan) truth(cloud []byte) truthJSON {
	digest := sha256.Sum256(cloud)
	warm := m.bar.warm(m.bar.distance, m.celsius)
	distance := m.c.plus(m.a.times(-1)).length()
	out := truthJSON{
		Scan: m.name + ".ply", Tells: m.tells, SHA256: hex.EncodeToString(digest[:]), Unit: m.unit, Points: len(m.points), Kinds: m.counts,
		Artifact: artifact, Number: m.bar.certificate, Celsius: m.celsius, PerKelvin: m.bar.perKelvin,
		Spheres: []sphereJSON{
			{"A", rounded(m.a), round(m.diameterA), m.bar.diameterA, m.sizeAUM, sphereNoiseUM, capDegrees},
			{"C", rounded(m.c), round(m.diameterC), m.bar.diameterC, m.sizeCUM, sphereNoiseUM, capDegrees},
		},
		Distance: distanceJSON{"A", "C", round(distance), m.bar.distance, round(warm), round(1000 * (distance - warm)), m.pathM},
	}
	if m.way == loop {
		v := m.aAgain.plus(m.a.times(-1))
		out.Closure = &vectorJSON{rounded(v), round(v.length()), round(m.againM())}
	}
	if m.secondSheetUM != 0 {
		out.Second = &vectorJSON{MM: rounded(m.second), Length: round(m.second.length())}
	}
	return out
}

// round keeps a tenth of a nanometre: less than anything that is compared, and more than processors differ by.
func round(v float64) float64 { return math.Round(v*1e7) / 1e7 }

func rounded(v vector) vector { return vector{round(v[0]), round(v[1]), round(v[2])} }
