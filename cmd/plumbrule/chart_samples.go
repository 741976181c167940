package main

// readings are the numbers below one header of a file, gathered into samples.
type readings struct {
	names   []string // of the samples, in the order in which they first appear; none for single values
	samples [][]float64
}

// readSamples reads the column of values and the one that names the sample of each. Rows of one sample may stand
// anywhere.
func (e env) readSamples(file, column, group string) (readings, error) {
	c, err := e.openColumns(file)
	if err != nil {
		return readings{}, err
	}
	value, err := c.find("--column", column)
	if err != nil {
		return readings{}, err
	}
	name, err := c.find("--group", group)
	if err != nil {
		return readings{}, err
	}
	var out readings
	index := map[string]int{}
	err = c.each(func(row []string) error {
		sample, err := c.text(row, name)
		if err != nil {
			return err
		}
		v, err := c.number(row, value)
		if err != nil {
			return err
		}
		i, known := index[sample]
		if !known {
			i = len(out.names)
			index[sample] = i
			out.names, out.samples = append(out.names, sample), append(out.samples, nil)
		}
		out.samples[i] = append(out.samples[i], v)
		return nil
	})
	if err == nil && len(out.samples) == 0 {
		err = c.empty(value)
	}
	if err != nil {
		return readings{}, err
	}
	return out, nil
}

// single returns the values as samples without names.
func single(values []float64) readings {
	out := readings{samples: make([][]float64, len(values))}
	for i := range values {
		out.samples[i] = values[i : i+1 : i+1]
	}
	return out
}
