package scan

// vertexParser returns what reads the coordinates from the lines of the element.
func (e *plyElement) vertexParser() rowParser {
	axes := [3]int{e.find("x"), e.find("y"), e.find("z")}
	for i := range e.properties {
		if e.properties[i].list {
			return e.listedVertices(axes)
		}
	}
	last := max(axes[0], axes[1], axes[2])
	axis := make([]int, last+1) // of each property, or -1
	for i := range axis {
		axis[i] = -1
	}
	for i, at := range axes {
		axis[at] = i
	}
	return func(line []byte, l *lines, d *digits, out *filler) error {
		var xyz [3]float64
		n := 0
		for at := 0; ; n++ {
			for at < len(line) && line[at] <= ' ' {
				at++
			}
			if at == len(line) {
				break
			}
			if n > last || axis[n] < 0 {
				_, at = field(line, at)
				continue
			}
			v, length := readField(line[at:], ' ', d)
			if length == 0 {
				word, _ := field(line, at)
				return l.noNumber(word)
			}
			xyz[axis[n]] = v
			at += length
		}
		if n != len(e.properties) {
			if n == 0 {
				return nil // a blank line
			}
			return e.miscounted(l, n)
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
