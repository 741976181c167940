package records

import (
	"encoding/hex"
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// scale is the key of a device's material scale: an expansion, or "none".
func scale[T any](name, doc string, at func(*T) *Scale) key[T] {
	return key[T]{
		name: name, form: scaleForm, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if s, ok := d.text(n, name); !ok || s == noScale {
				return
			}
			if v, ok := readQuantity(d, n, name, scaleForm, quantity.ParseExpansion); ok {
				*at(into) = Scale{Material: true, Expansion: v}
			}
		},
		write: func(w *writer, name string, from *T) {
			if s := *at(from); s.Material {
				w.text(name, s.Expansion.String())
				return
			}
			w.text(name, noScale)
		},
	}
}

const noScale = "none"

// readings is the key of the indicated values.
func readings(name, doc string) key[Reading] {
	return key[Reading]{
		name: name, form: "list of numbers", doc: doc,
		read: func(d *decoder, n source.Node, into *Reading) {
			list := &into.Values
			if n.Kind() == source.Array {
				*list = make([]float64, 0, n.Len())
			}
			d.eachElement(n, name, func(e source.Node) {
				v, ok := d.number(e, name)
				if !ok {
					return
				}
				if math.Abs(v) > maximumReading {
					d.report("out-of-range", e.ValueOffset(), fmt.Sprintf("%s has the value %s, beyond any length", name, e.Source()), "look at the decimal point")
					return
				}
				*list = append(*list, v)
			})
		},
		write: func(w *writer, name string, from *Reading) {
			var parts []string
			for i, v := range from.Values {
				parts = append(parts, typed(from.Typed, i, v))
			}
			w.raw(name, "["+strings.Join(parts, ", ")+"]")
		},
	}
}

// typed returns a value as it was typed, where that is a number as TOML writes
// them and the same value, or else its shortest form.
func typed(texts []string, i int, v float64) string {
	if i < len(texts) && plainDecimal(texts[i]) {
		if same, err := strconv.ParseFloat(texts[i], 64); err == nil && same == v {
			return texts[i]
		}
	}
	return formatNumber(v)
}

// plainDecimal reports whether a text is digits, a point and digits, with a
// sign at most: a number in TOML as well.
func plainDecimal(s string) bool {
	whole, fraction, point := strings.Cut(strings.TrimLeft(s, "+-"), ".")
	digits := func(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
	return point && digits(whole) && digits(fraction) && (whole == "0" || whole[0] != '0') && len(s)-len(whole)-len(fraction) <= 2
}

// maximumReading bounds what can be a reading in any unit: 10 km in µm.
const maximumReading = 1e10

// Temperatures a shop or a site can have; outside, a unit or a sign is wrong.
const (
	lowestCelsius  = -40
	highestCelsius = 70
)

// artifactTemperature is the key of the artifact's temperature.
func artifactTemperature[T any](name, doc string, at func(*T) *quantity.Temperature, stated func(*T) *bool) key[T] {
	const form = `temperature, "21.4 °C"`
	return key[T]{
		name: name, form: form, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			v, ok := readQuantity(d, n, name, form, quantity.ParseTemperature)
			if !ok {
				return
			}
			if c := v.Celsius(); c < lowestCelsius || c > highestCelsius {
				d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s, expected %d °C to %d °C", name, v, lowestCelsius, highestCelsius), "look at sign and unit")
				return
			}
			*at(into), *stated(into) = v, true
		},
		write: func(w *writer, name string, from *T) {
			if *stated(from) {
				w.text(name, at(from).String())
			}
		},
	}
}

// positiveLength parses a length above zero.
func positiveLength(s string) (quantity.Length, error) {
	l, err := quantity.ParseLength(s)
	if err == nil && l.Micrometres() <= 0 {
		return l, outOfRange("a length above zero")
	}
	return l, err
}

// outOfRange is the error of a quantity that was read and cannot be; it says
// what was expected.
type outOfRange string

func (o outOfRange) Error() string { return string(o) }

// errorLength is the key of an error of indication, which may be zero or
// negative and is therefore always written.
func errorLength[T any](name, doc string, at func(*T) *quantity.Length) key[T] {
	k := inText(name, `length with sign, "-3.2 µm"`, doc, quantity.ParseLength, at)
	k.write = func(w *writer, name string, from *T) { w.text(name, at(from).String()) }
	return k
}

// digest is the key of a SHA-256.
func digest[T any](name, doc string, at func(*T) *string) key[T] {
	k := text(name, doc, at)
	k.form = "64 hexadecimal digits"
	k.read = func(d *decoder, n source.Node, into *T) {
		s, ok := d.text(n, name)
		if !ok {
			return
		}
		if b, err := hex.DecodeString(s); err != nil || len(b) != 32 {
			d.report("bad-digest", n.ValueOffset(), fmt.Sprintf("%s is %q, expected 64 hexadecimal digits", name, s), "")
			return
		}
		*at(into) = strings.ToLower(s)
	}
	return k
}

// size is the key of a number of bytes.
func size[T any](name, doc string, at func(*T) *int64) key[T] {
	return key[T]{
		name: name, form: "number of bytes", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := d.integer(n, name, 0, math.MaxInt64); ok {
				*at(into) = v
			}
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); v != 0 {
				w.raw(name, fmt.Sprint(v))
			}
		},
	}
}

// detail lifts a key of ReadingDetail to Reading, where the detail is made
// only when something is noted.
func detail(k key[ReadingDetail]) key[Reading] {
	return key[Reading]{
		name: k.name, form: k.form, doc: k.doc,
		read: func(d *decoder, n source.Node, into *Reading) {
			if into.Detail == nil {
				into.Detail = new(ReadingDetail)
			}
			k.read(d, n, into.Detail)
		},
		write: func(w *writer, name string, from *Reading) {
			if from.Detail != nil {
				k.write(w, name, from.Detail)
			}
		},
	}
}

// fitnessTable is the site's table of reason codes with their effects. Which
// codes and effects there are is known to package rules, which checks them.
func fitnessTable() key[Site] {
	const name = "fitness"
	return key[Site]{
		name: name, form: "[fitness]", doc: "effect of a reason on fitness where it is not the default: code = \"effect\" (explain reasons lists them)",
		sub: func() []KeyDoc { return nil },
		read: func(d *decoder, n source.Node, into *Site) {
			if !d.isTable(n, name) {
				return
			}
			for e := range n.Children() {
				if s, ok := d.text(e, e.Key()); ok {
					into.Fitness = append(into.Fitness, FitnessPolicy{Code: d.keep(e.Key()), Effect: s, Line: d.line(e.KeyOffset())})
				}
			}
		},
		write: func(w *writer, name string, from *Site) {
			if len(from.Fitness) == 0 {
				return
			}
			w.header(name)
			for _, p := range from.Fitness {
				w.text(formatKey(p.Code), p.Effect)
			}
		},
	}
}
