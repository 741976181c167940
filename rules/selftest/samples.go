package selftest

import (
	"fmt"
	"strconv"
	"strings"

	"plumbrule/rules/published"
	"plumbrule/rules/repeatability"
	"plumbrule/rules/sample"
)

func summary(b *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 2)
	if err != nil {
		return 0, err
	}
	s, err := once(b, "summary "+parts[0], func() (sample.Summary, error) {
		values := []float64{10000001, 10000003, 10000002} // NumAcc1
		if parts[0] != "numacc1" {
			var err error
			if values, err = published.Column(parts[0]+".csv", "y"); err != nil {
				return sample.Summary{}, err
			}
		}
		return sample.Summarise(values)
	})
	if err != nil {
		return 0, err
	}
	return pick(parts[1], map[string]float64{"mean": s.Mean, "sd": known(s.SD), "autocorrelation": known(s.Autocorrelation)})
}

// checkStandard summarises what was measured before 1985.
func checkStandard(_ *bench, input string) (float64, error) {
	dates, err := published.Column("mass-check-standard.csv", "date_year")
	if err != nil {
		return 0, err
	}
	values, err := published.Column("mass-check-standard.csv", "y_mg")
	if err != nil {
		return 0, err
	}
	n := 0
	for n < len(dates) && dates[n] < 85 {
		n++
	}
	s, err := sample.Summarise(values[:n])
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{"mean": s.Mean, "sd": known(s.SD)})
}

func grubbs(_ *bench, input string) (float64, error) {
	t, err := sample.Grubbs([]float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}, sample.LargestSide, 0.05)
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{"G": known(t.Statistic), "critical": t.Critical})
}

func rosner(b *bench, input string) (float64, error) {
	search, err := once(b, "rosner", func() (sample.OutlierSearch, error) {
		values, err := published.Column("rosner.csv", "y")
		if err != nil {
			return sample.OutlierSearch{}, err
		}
		return sample.Rosner(values, 10, 0.05)
	})
	if err != nil {
		return 0, err
	}
	if input == "number of outliers" {
		return float64(len(search.Outliers)), nil
	}
	name, step, _ := strings.Cut(input, ", step ")
	i, err := strconv.Atoi(step)
	if err != nil || i < 1 || i > len(search.Steps) {
		return 0, fmt.Errorf("%q names no step", input)
	}
	return pick(name, map[string]float64{"R": known(search.Steps[i-1].Statistic), "critical": search.Steps[i-1].Critical})
}

// crossedStudy reads a figure of a study: file, source and name of the figure.
func crossedStudy(b *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 3)
	if err != nil {
		return 0, err
	}
	file, pooled := strings.CutSuffix(parts[0], " pooled")
	r, err := once(b, "study "+file, func() (*repeatability.Result, error) {
		rows, err := published.Table(file + ".csv")
		if err != nil {
			return nil, err
		}
		var readings []repeatability.Reading
		for _, row := range rows[1:] {
			v, err := strconv.ParseFloat(row[3], 64)
			if err != nil {
				return nil, err
			}
			readings = append(readings, repeatability.Reading{Part: row[0], Operator: row[1], Value: v})
		}
		return repeatability.Study(readings, repeatability.Settings{})
	})
	if err != nil {
		return 0, err
	}
	model := r.Models[0]
	if pooled {
		model = r.Models[1]
	}
	source := repeatability.Source(strings.ReplaceAll(parts[1], " × ", "-"))
	if parts[2] == "variance" {
		return known(model.Component(source).Estimate), nil
	}
	for _, row := range model.Table {
		if row.Source == source {
			return pick(parts[2], map[string]float64{"SS": row.SumOfSquares, "F": known(row.F), "p": known(row.P)})
		}
	}
	return 0, fmt.Errorf("the analysis has no row %q", source)
}
