package route_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// By hand: eleven volumes in a row, the names with two digits; one in three blocked from the next.
func TestLaid(t *testing.T) {
	size := space.Point{500, 500, 500}
	cells, err := space.Layout{Size: size, Overlap: 100}.Over(space.Point{}, space.Point{4500, 100, 100})
	if err != nil {
		t.Fatal(err)
	}
	volumes, joins := route.Laid(cells, size, []space.Shape{space.Ball{Centre: space.Point{450, 50, 50}, Radius: 20}})
	if len(volumes) != 11 || volumes[0].Name != "01-1-1" || volumes[10].Name != "11-1-1" || volumes[3].SizeMM != size {
		t.Errorf("%+v", volumes)
	}
	if len(joins) != 9 || joins[0] != (route.Join{From: "02-1-1", To: "03-1-1", LengthMM: 400}) {
		t.Errorf("%+v", joins)
	}
	if volumes, joins = route.Laid(cells, size, []space.Shape{space.Ball{Centre: space.Point{250, 50, 50}, Radius: 20}}); len(volumes) != 10 || volumes[0].Name != "02-1-1" || len(joins) != 9 {
		t.Errorf("%+v %+v", volumes, joins)
	}
	volumes, joins = route.Laid(cells, size, nil)
	reached, err := route.Reached(volumes, 400, nil)
	if err != nil || len(reached) != 10 {
		t.Errorf("%v, %v", reached, err)
	}
	if diff := cmp.Diff(reached, joins); diff != "" {
		t.Error(diff)
	}
	if _, err := route.Reached(volumes, -1, nil); err == nil {
		t.Error("a reach below 0: no error")
	}
}
