package route_test

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"testing"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// FuzzFind makes tasks of any bytes: a plan holds figures and no NaN, and what is refused is refused with a reason.
func FuzzFind(f *testing.F) {
	f.Add([]byte{6, 5, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, 400.0, "20 µm + 15 µm/m")
	f.Add([]byte{3, 9, 255, 1, 0, 0, 0, 0, 0, 0, 0, 0, 77}, math.NaN(), "min(1 µm + 5 nm/mm, 4 µm)")
	f.Add([]byte{20, 60, 3, 2}, 1e-300, "30 µm")
	f.Fuzz(func(t *testing.T, data []byte, unit float64, text string) {
		next := func() int {
			if len(data) == 0 {
				return 0
			}
			b := data[0]
			data = data[1:]
			return int(b)
		}
		number := func() float64 {
			if len(data) < 9 || next()%8 > 0 {
				return float64(next()) * unit
			}
			v := math.Float64frombits(binary.LittleEndian.Uint64(data))
			data = data[8:]
			return v
		}
		task := route.Task{MPE: limitOrNone(text)}
		n := 1 + next()%24
		name := func() string { return fmt.Sprint(next() % (n + 1)) }
		for i := range n {
			task.Volumes = append(task.Volumes, route.Volume{Name: fmt.Sprint(i), At: space.Point{number(), number(), number()}, RadiusMM: number(), Bridge: next()%4 == 3})
		}
		for range next() % 60 {
			task.Joins = append(task.Joins, route.Join{From: name(), To: name(), LengthMM: number()})
		}
		for i := range next() % 3 {
			task.Frames = append(task.Frames, route.Frame{Name: fmt.Sprint("f", i), Volumes: []string{name(), name(), name()}[next()%2:], BoundUM: number()})
		}
		for i := range next() % 3 {
			task.Features = append(task.Features, route.Feature{Name: fmt.Sprint("p", i), At: space.Point{number(), number(), number()}})
		}
		for range next() % 6 {
			task.Pairs = append(task.Pairs, route.Pair{From: name(), To: fmt.Sprint("p", next()%2), ToleranceUM: number()})
		}
		p, err := route.Find(task, 1e6)
		if err != nil {
			var refused *route.InputError
			var apart *route.ApartError
			if !errors.As(err, &refused) && !errors.As(err, &apart) || err.Error() == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		for _, w := range append(p.Pairs, p.Worst) {
			for _, v := range []float64{w.PathMM, w.BoundUM, p.Proof.LeastBoundUM, p.Proof.LeastShare} {
				if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
					t.Fatalf("%+v %+v", w, p.Proof)
				}
			}
			if w.Share.Value != nil && !(*w.Share.Value >= 0) {
				t.Fatalf("%+v", w)
			}
		}
		if chain, err := p.Chain(p.NearestOrder("")); err == nil && (math.IsNaN(chain.Worst.BoundUM) || math.IsInf(chain.Worst.BoundUM, 0)) {
			t.Fatalf("%+v", chain)
		}
		if _, err := p.Advise(1e6); err != nil {
			t.Fatal(err)
		}
	})
}
