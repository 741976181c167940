package route_test

import (
	"fmt"

	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// Six volumes around a hub: in a chain the last hangs on all others, by the hub it does not.
func ExampleFind() {
	limit, err := quantity.ParseMPE("20 µm + 15 µm/m")
	if err != nil {
		fmt.Println(err)
		return
	}
	task := route.Task{MPE: limit, Volumes: []route.Volume{{Name: "hub", Bridge: true}}}
	for i, at := range []space.Point{{500, 0}, {340, 367}, {-38, 499}, {-392, 311}, {-494, -76}, {-280, -414}} {
		name := fmt.Sprint("blade ", i+1)
		task.Volumes = append(task.Volumes, route.Volume{Name: name, At: at})
		task.Joins = append(task.Joins, route.Join{From: "hub", To: name, LengthMM: 500})
		if i > 0 {
			task.Joins = append(task.Joins, route.Join{From: fmt.Sprint("blade ", i), To: name, LengthMM: 400})
		}
	}
	plan, err := route.Find(task, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	chain, err := plan.Chain(plan.RoundOrder())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("from %s: %.0f mm, %.0f µm\n", plan.Centre.Name, plan.Worst.PathMM, plan.Worst.BoundUM)
	fmt.Printf("in a chain: %.0f mm, %.0f µm\n", chain.Worst.PathMM, chain.Worst.BoundUM)
	// Output:
	// from hub: 1000 mm, 35 µm
	// in a chain: 2000 mm, 50 µm
}
