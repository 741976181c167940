package records

// Quantity is a kind of quantity that limits, features and tolerances are
// about. All are lengths.
type Quantity string

// The quantities known. A verdict on one says nothing about another: a size
// check proves nothing about distance.
const (
	Diameter     Quantity = "diameter"
	Form         Quantity = "form"
	Distance     Quantity = "distance"
	Size         Quantity = "length"
	InsideLength Quantity = "inside length"
	Depth        Quantity = "depth"
	Height       Quantity = "height"
)

// Quantities lists every quantity with what it means, in the order shown to
// people.
func Quantities() []struct {
	Name Quantity
	Text string
} {
	return []struct {
		Name Quantity
		Text string
	}{
		{Diameter, "size of a sphere or cylinder, inside one measuring volume"},
		{Form, "range of the radial distances of the points from the fitted sphere; never negative, judged from above only"},
		{Distance, "between two centres; for portable systems usually between measuring volumes"},
		{Size, "between two opposite faces probed from outside (gauge blocks, step gauges)"},
		{InsideLength, "between two opposite faces probed from inside (rings, setting jaws)"},
		{Depth, "from a face to the bottom of a step or hole"},
		{Height, "above the reference plane of a height gauge"},
	}
}

// OneSided reports whether errors of the quantity can only be positive, so
// that its limit is judged from above only.
func (q Quantity) OneSided() bool { return q == Form }
