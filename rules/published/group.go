package published

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"
)

// Seen says how a printed figure came here.
type Seen string

// How a figure came here, the strongest first.
const (
	Read     Seen = "read"     // in the publication, or in a data set that carries it
	Cited    Seen = "cited"    // where another public text cites it
	Recalled Seen = "recalled" // quoted from memory of the publication, and confirmed by an independent program
	Computed Seen = "computed" // by an independent program, from the data or the formula of the publication
	Worked   Seen = "worked"   // by hand, from the definition or the formula of the publication
)

// SeenTexts explains each way, in their order.
func SeenTexts() []struct {
	Seen Seen
	Text string
} {
	return []struct {
		Seen Seen
		Text string
	}{
		{Read, "the figure was read in the publication, or in a data set that carries it"},
		{Cited, "the figure was read where another public text cites the publication"},
		{Recalled, "the figure is quoted from memory of the publication, and was confirmed by an independent program"},
		{Computed, "the publication gives data or formula; an independent program computed the figure from them"},
		{Worked, "the figure follows by hand from the definition or the formula of the publication"},
	}
}

// Group is a number of figures of one source that are formed by one computation.
type Group struct {
	Part        string `toml:"part"`        // the package that computes them, such as rules/chart
	Computation string `toml:"computation"` // the name under which rules/selftest knows how to compute them
	Title       string `toml:"title"`       // what is computed
	Publication string `toml:"publication"`
	Edition     string `toml:"edition"`
	Place       string `toml:"place"` // section, table or page
	Seen        Seen   `toml:"seen"`
	Unit        string `toml:"unit"`  // of all figures; empty for pure numbers and words
	Words       bool   `toml:"words"` // the figures are words, dates or lists that must come out as they stand

	// Tolerance is the largest difference that agrees, where it is not half a unit of the last printed digit; then Because
	// says why.
	Tolerance string `toml:"tolerance"`
	Because   string `toml:"because"`

	// Rows are the input and the printed figure, or those two with a tolerance and its reason.
	Rows [][]string `toml:"values"`

	// Column takes the figures from a column of a data set: the file, the column of what names a row, that of the figure,
	// and what is written before the name of the row.
	Column []string `toml:"column"`

	Values []Value `toml:"-"`
}

// Value is one figure.
type Value struct {
	Input     string // what it was computed from, as words that the computation reads
	Printed   string // as it stands in the source
	Number    float64
	Tolerance float64 // 0 for words and for what must come out exactly
	Because   string  // why the tolerance is not half a unit of the last printed digit; empty where it is
}

// Groups returns all figures, in the order of the files in values and of what stands in them. The values are part of the
// program; an error is a mistake in them, and names its place.
func Groups() ([]Group, error) {
	entries, err := files.ReadDir("values")
	if err != nil {
		return nil, err
	}
	var all []Group
	for _, entry := range entries {
		name := "values/" + entry.Name()
		text, err := files.ReadFile(name)
		if err != nil {
			return nil, err
		}
		var file struct {
			Group []Group `toml:"group"`
		}
		meta, err := toml.Decode(string(text), &file)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if rest := meta.Undecoded(); len(rest) > 0 {
			return nil, fmt.Errorf("%s: %s is no key here", name, rest[0])
		}
		for i := range file.Group {
			g := &file.Group[i]
			if err := g.complete(); err != nil {
				return nil, fmt.Errorf("%s: group %d, %q: %w", name, i+1, g.Computation, err)
			}
			all = append(all, *g)
		}
	}
	return all, nil
}

// Of returns the groups of one computation; none is an error.
func Of(computation string) ([]Group, error) {
	all, err := Groups()
	if err != nil {
		return nil, err
	}
	var out []Group
	for _, g := range all {
		if g.Computation == computation {
			out = append(out, g)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("there are no figures of a computation %q", computation)
	}
	return out, nil
}

// complete turns the rows into values.
func (g *Group) complete() error {
	if len(g.Column) > 0 {
		if err := g.fromColumn(); err != nil {
			return err
		}
	}
	for _, field := range []struct{ name, text string }{
		{"part", g.Part}, {"title", g.Title}, {"publication", g.Publication}, {"edition", g.Edition}, {"place", g.Place}, {"seen", string(g.Seen)},
	} {
		if field.text == "" {
			return fmt.Errorf("no %s is stated", field.name)
		}
	}
	if len(g.Rows) == 0 {
		return fmt.Errorf("there are no values")
	}
	for _, row := range g.Rows {
		v, err := g.value(row)
		if err != nil {
			return fmt.Errorf("%q: %w", row, err)
		}
		g.Values = append(g.Values, v)
	}
	return nil
}

func (g *Group) value(row []string) (Value, error) {
	tolerance, because := g.Tolerance, g.Because
	switch len(row) {
	case 2:
	case 4:
		tolerance, because = row[2], row[3]
	default:
		return Value{}, fmt.Errorf("%d entries, expected input and figure, or those with a tolerance and its reason", len(row))
	}
	v := Value{Input: row[0], Printed: row[1], Because: because}
	if (tolerance == "") != (because == "") {
		return v, fmt.Errorf("a tolerance and its reason are stated together")
	}
	if g.Words {
		return v, nil
	}
	var err error
	if v.Number, err = strconv.ParseFloat(v.Printed, 64); err != nil {
		return v, err
	}
	v.Tolerance = HalfUnit(v.Printed)
	if tolerance != "" {
		v.Tolerance, err = strconv.ParseFloat(tolerance, 64)
	}
	return v, err
}

func (g *Group) fromColumn() error {
	if len(g.Column) != 4 {
		return fmt.Errorf("column has %d entries, expected file, column of the rows' names, column of the figures and what stands before a name", len(g.Column))
	}
	names, err := Texts(g.Column[0], g.Column[1])
	if err != nil {
		return err
	}
	figures, err := Texts(g.Column[0], g.Column[2])
	if err != nil {
		return err
	}
	for i, name := range names {
		g.Rows = append(g.Rows, []string{g.Column[3] + name, figures[i]})
	}
	return nil
}

// HalfUnit returns half a unit of the last digit of a decimal number as it was printed: 0.005 for 2.50 and for 1.25e+00.
func HalfUnit(printed string) float64 {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(printed), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	shift, err := strconv.Atoi(exponent)
	if err != nil {
		shift = 0
	}
	return 0.5 * math.Pow10(shift-len(decimals))
}
