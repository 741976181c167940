package published

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
)

//go:embed data values
var files embed.FS

// Data returns a file of data as it was published, such as norris.csv.
func Data(name string) ([]byte, error) { return files.ReadFile("data/" + name) }

// Table returns the rows of a CSV file of data, its header first.
func Table(name string) ([][]string, error) {
	text, err := Data(name)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows, nil
}

// Texts returns a column of a CSV file of data as it stands there.
func Texts(name, column string) ([]string, error) {
	rows, err := Table(name)
	if err != nil {
		return nil, err
	}
	at := slices.Index(rows[0], column)
	if at < 0 || len(rows) == 1 {
		return nil, fmt.Errorf("%s has no column %q with values", name, column)
	}
	var out []string
	for _, row := range rows[1:] {
		out = append(out, row[at])
	}
	return out, nil
}

// Column returns a column of a CSV file of data as numbers.
func Column(name, column string) ([]float64, error) {
	texts, err := Texts(name, column)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(texts))
	for i, text := range texts {
		if out[i], err = strconv.ParseFloat(text, 64); err != nil {
			return nil, fmt.Errorf("%s, %s, line %d: %w", name, column, i+2, err)
		}
	}
	return out, nil
}
