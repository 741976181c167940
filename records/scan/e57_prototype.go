package scan

import (
	"encoding/xml"
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// varying is the width of text.
const varying = -1

// e57Coding is how the values of a field are stored.
type e57Coding struct {
	name   string
	stream int // among those of the packets
	width  int // bits of a value; 0: it is constant
	float  bool

	// Of integers: value = (stored + minimum)·scale + offset, and stored is at most span.
	minimum       int64
	span          uint64
	scale, offset float64
}

// beginPoints reads what the element points says of its binary section.
func (x *e57XML) beginPoints(t *xml.StartElement) error {
	s := &x.scan
	if s.hasPoints {
		return x.fault("scan %d has two elements points", s.number)
	}
	s.hasPoints = true
	if kind := attribute(t, "type"); kind != "CompressedVector" {
		return x.fault("the points of scan %d are of type %.40q, not CompressedVector", s.number, kind)
	}
	var err error
	if s.records, err = strconv.ParseInt(attribute(t, "recordCount"), 10, 64); err != nil || s.records < 0 {
		return x.fault("the recordCount of scan %d is %.40q, which is no number of points", s.number, attribute(t, "recordCount"))
	}
	offset, err := strconv.ParseInt(attribute(t, "fileOffset"), 10, 64)
	if err != nil || offset < 0 || offset%e57Page >= e57Payload {
		return x.fault("the fileOffset of scan %d is %.40q, which is no place in the content of a page", s.number, attribute(t, "fileOffset"))
	}
	s.section = e57Logical(offset)
	return nil
}

// field reads the definition of a field, or passes over one that only groups others.
func (x *e57XML) field(name string, t *xml.StartElement) error {
	s := &x.scan
	c := e57Coding{name: name, stream: len(s.widths)}
	var err error
	switch kind := attribute(t, "type"); kind {
	case "Structure", "Vector":
		return nil
	case "Float":
		err = x.floatCoding(&c, t)
	case "Integer":
		c.scale = 1
		err = x.integerCoding(&c, t)
	case "ScaledInteger":
		err = x.number(attribute(t, "scale"), 1, &c.scale)
		if err == nil {
			err = x.number(attribute(t, "offset"), 0, &c.offset)
		}
		if err == nil && c.scale == 0 {
			err = x.fault("the scale of %s is 0", name)
		}
		if err == nil {
			err = x.integerCoding(&c, t)
		}
	case "String":
		c.width = varying
	default:
		return x.fault("the field %.40q is of type %.40q, which is none of Integer, ScaledInteger, Float and String", name, kind)
	}
	if err != nil {
		return err
	}
	if len(s.widths) == maxE57Streams {
		return x.fault("scan %d has more than %d fields", s.number, maxE57Streams)
	}
	s.widths = append(s.widths, int8(c.width))
	return x.offer(c)
}

func (x *e57XML) floatCoding(c *e57Coding, t *xml.StartElement) error {
	c.float, c.width = true, 64
	switch precision := attribute(t, "precision"); precision {
	case "", "double":
	case "single":
		c.width = 32
	default:
		return x.fault("the precision of %.40q is %.40q, neither single nor double", c.name, precision)
	}
	return nil
}

func (x *e57XML) integerCoding(c *e57Coding, t *xml.StartElement) error {
	limit := func(key string, absent int64) (int64, error) {
		text := attribute(t, key)
		if text == "" {
			return absent, nil
		}
		v, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			return 0, x.fault("the %s of %.40q is %.40q, which is no integer of 64 bits", key, c.name, text)
		}
		return v, nil
	}
	var err error
	if c.minimum, err = limit("minimum", math.MinInt64); err != nil {
		return err
	}
	maximum, err := limit("maximum", math.MaxInt64)
	if err != nil {
		return err
	}
	if maximum < c.minimum {
		return x.fault("the maximum of %.40q, %d, is below its minimum, %d", c.name, maximum, c.minimum)
	}
	c.span = uint64(maximum) - uint64(c.minimum)
	c.width = bits.Len64(c.span)
	return nil
}

// number reads a number with its decimal point; an empty text stands for what the format takes where nothing is written.
func (x *e57XML) number(text string, absent float64, v *float64) error {
	text = strings.TrimSpace(text)
	if text == "" {
		*v = absent
		return nil
	}
	f, ok := parseFloat([]byte(text))
	if !ok || math.IsNaN(f) || math.IsInf(f, 0) || len(text) > maxE57Text {
		return x.fault("%.40q was found where a finite number was expected", text)
	}
	*v = f
	return nil
}

// attribute returns the value of an attribute without a namespace, "" if there is none.
func attribute(t *xml.StartElement, name string) string {
	for i := range t.Attr {
		if t.Attr[i].Name.Space == "" && t.Attr[i].Name.Local == name {
			return strings.TrimSpace(t.Attr[i].Value)
		}
	}
	return ""
}
