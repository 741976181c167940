package scan

const plyTypes = "the types are char, uchar, short, ushort, int, uint, float or double, or int8 to float64"

// plyKind returns the type of a name, or 0.
func plyKind(name string) kind {
	switch name {
	case "char", "int8":
		return int8Kind
	case "uchar", "uint8":
		return uint8Kind
	case "short", "int16":
		return int16Kind
	case "ushort", "uint16":
		return uint16Kind
	case "int", "int32":
		return int32Kind
	case "uint", "uint32":
		return uint32Kind
	case "float", "float32":
		return float32Kind
	case "double", "float64":
		return float64Kind
	}
	return 0
}
