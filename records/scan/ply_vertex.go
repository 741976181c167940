package scan

import "bytes"

// vertexParser returns what reads the coordinates from the lines of the element.
func (e *plyElement) vertexParser() rowParser {
	axes := [3]int{e.find("x"), e.find("y"), e.find("z")}
	for i := range e.properties {
		if e.properties[i].list {
			return e.listedVertices(axes)
		}
	}
	rows := textRows{columns: len(e.properties), axis: axesOf(axes)}
	return func(line []byte, l *lines, d *digits, out *filler) error {
		var xyz [3]float64
		columns, bad := rows.readBlank(line, &xyz, d)
		switch {
		case bad >= 0:
			words := bytes.FieldsFunc(line, func(c rune) bool { return c == ' ' || c == '\t' }) // as readBlank sees them
			return l.noNumber(words[bad])
		case columns == 0:
			return nil // a blank line
		case columns != rows.columns:
			return e.miscounted(l, columns)
		}
		return out.point(xyz[0], xyz[1], xyz[2])
	}
}

// listedVertices is vertexParser for vertices with lists.
func (e *plyElement) listedVertices(axes [3]int) rowParser {
	words := make([][]byte, max(axes[0], axes[1], axes[2])+1)
	return func(line []byte, l *lines, d *digits, out *filler) error {
		blank, err := e.listed(line, l, words)
		if blank || err != nil {
			return err
		}
		var xyz [3]float64
		for i, at := range axes {
			if xyz[i], err = l.number(words[at], d); err != nil {
				return err
			}
		}
		return out.point(xyz[0], xyz[1], xyz[2])
	}
}
