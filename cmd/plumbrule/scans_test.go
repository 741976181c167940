package main

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// writeScan is the script command "scan FILE [KEY=VALUE]…": it writes an artificial scan of a ball bar as text with x, y
// and z. Keys, lengths in mm: diameter 30, distance 800 (0: one sphere), noise 0.015, half 100 (half-angle of the cap seen,
// degrees), points 2000 a sphere, seed 1, unit 1 (mm in the file's unit), table 2000 points, again 0 (the first sphere is
// scanned again at the end, so far off along the bar).
func writeScan(ts *testscript.TestScript, negated bool, args []string) {
	if negated || len(args) < 1 {
		ts.Fatalf("usage: scan FILE [KEY=VALUE]…")
	}
	k := map[string]float64{
		"diameter": 30, "distance": 800, "noise": 0.015, "half": 100, "points": 2000, "seed": 1, "unit": 1, "table": 2000, "again": 0,
	}
	for _, arg := range args[1:] {
		key, text, _ := strings.Cut(arg, "=")
		value, err := strconv.ParseFloat(text, 64)
		ts.Check(err)
		if _, known := k[key]; !known {
			ts.Fatalf("scan: no key %s", key)
		}
		k[key] = value
	}
	file, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	out := bufio.NewWriter(file)
	random := rand.New(rand.NewPCG(uint64(k["seed"]), 0)) //nolint:gosec // a test's
	put := func(x, y, z float64) {
		fmt.Fprintf(out, "%.7f %.7f %.7f\n", x/k["unit"], y/k["unit"], z/k["unit"])
	}
	ball := func(x float64) {
		low := math.Cos(k["half"] * math.Pi / 180)
		for range int(k["points"]) {
			z, phi := low+(1-low)*random.Float64(), 2*math.Pi*random.Float64()
			d, across := k["diameter"]/2+k["noise"]*random.NormFloat64(), math.Sqrt(1-z*z)
			put(x+d*across*math.Cos(phi), d*across*math.Sin(phi), d*z)
		}
	}
	ball(0)
	for range int(k["table"]) {
		put(k["distance"]*random.Float64(), 100*random.Float64()-50, -40+k["noise"]*random.NormFloat64())
	}
	if k["distance"] > 0 {
		ball(k["distance"])
	}
	if k["again"] != 0 {
		ball(k["again"])
	}
	ts.Check(out.Flush())
	ts.Check(file.Close())
}
