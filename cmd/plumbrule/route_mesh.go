package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"sync"

	"plumbrule/rules/route/space"
)

// mostMeshPoints bounds what of a mesh is looked at; beyond, one point in so many.
const mostMeshPoints = 2_000_000

// meshPoints reads the points of a part's surface in millimetres. The file is named from the folder of the route's own file.
func (e env) meshPoints(ctx context.Context, route, mesh, unit string) ([]space.Point, error) {
	if unit != "" && millimetresIn(unit) == 0 {
		return nil, fmt.Errorf("mesh-unit is %q, expected one of %s", unit, strings.Join(scanUnits(), ", "))
	}
	name := mesh
	if !filepath.IsAbs(name) && route != "-" {
		name = filepath.Join(filepath.Dir(route), mesh)
	}
	file, err := e.openScan(name, unit)
	if err != nil {
		return nil, err
	}
	defer file.close()
	defer file.meter.end()
	if file.unit == "" {
		return nil, fmt.Errorf("%s does not say its unit, expected mesh-unit beside mesh", mesh)
	}
	stride := int(file.Estimate()/mostMeshPoints) + 1
	var mutex sync.Mutex
	var points []space.Point
	err = file.Blocks(ctx, func(_ int, xyz, _ []float64) error {
		mutex.Lock()
		defer mutex.Unlock()
		for i := 0; i+2 < len(xyz); i += 3 * stride { // which volumes hold a point does not depend on the order of the blocks
			points = append(points, space.Point{xyz[i] * file.mm, xyz[i+1] * file.mm, xyz[i+2] * file.mm})
		}
		return nil
	})
	return points, err
}
