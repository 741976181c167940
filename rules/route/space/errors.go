package space

import "errors"

// errPlace is returned for a place that is none.
var errPlace = errors.New("a place that is not three numbers of at most 1e9 mm in size, expected x, y and z")

// ErrReach is returned by [Within] for a reach that is no length.
var ErrReach = errors.New("expected a reach above 0 and up to 1e9 mm")

// ErrManyJoins is returned by [Within] where a reach joins too many volumes to go on.
var ErrManyJoins = errors.New("the reach joins more than 4 million pairs of volumes, expected a reach that joins neighbours only")
