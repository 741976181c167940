package scan

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

const (
	maxE57XML     = 8 << 20   // bytes of a description; files of a hundred scans have less than one megabyte
	maxE57Tag     = 1 << 18   // bytes of a tag or comment, which the library keeps whole with all its attributes
	maxE57Depth   = 64        // elements in one another
	maxE57Text    = 1000      // bytes of an element whose text is a number
	maxE57Streams = 1<<16 - 1 // as many as a data packet can count
)

const mendE57 = "export the scan again, or in another format"

// e57XML walks over the description and keeps what reading the points needs. The format may be extended everywhere, so
// elements that are not known are passed over.
type e57XML struct {
	in      *input
	source  e57Source
	decoder *xml.Decoder
	start   int64 // logical offset of the description
	space   string
	path    []string
	text    []byte
	numeric bool // the element's text is wanted

	entries int // of data3D so far
	scan    e57Scan
	scans   []e57Scan
}

// readE57XML reads the entries of data3D that have points, in their order, from the description of a given length that
// begins where the pages stand.
func (in *input) readE57XML(pages *e57Pages, length int64) ([]e57Scan, error) {
	x := &e57XML{in: in, start: pages.logical, source: e57Source{pages: pages, left: length}}
	x.decoder = xml.NewDecoder(&x.source)
	x.decoder.CharsetReader = x.charset
	for {
		token, err := x.decoder.Token()
		if err != nil {
			return nil, x.broken(err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			err = x.begin(&t)
		case xml.EndElement:
			err = x.end()
		case xml.CharData:
			if x.numeric {
				x.text = append(x.text, t[:min(len(t), maxE57Text+1-len(x.text))]...)
			}
		}
		if err != nil {
			return nil, err
		}
		if _, root := token.(xml.EndElement); root && len(x.path) == 0 {
			return x.scans, nil
		}
	}
}

// broken says what the library found wrong with the description; other errors are the file's or of its reader.
func (x *e57XML) broken(err error) error {
	var fault *Error
	var syntax *xml.SyntaxError
	switch {
	case x.source.err != nil: // and not what the library makes of it
		return x.source.err
	case errors.As(err, &fault):
		return fault
	case errors.Is(err, io.EOF):
		return x.fault("the XML section has no root element")
	case errors.As(err, &syntax):
		return x.fault("the XML section is not well formed: %s", syntax.Msg)
	}
	return x.fault("the XML section is not well formed: %v", err)
}

// charset refuses a description in anything but UTF-8, as the format has it.
func (x *e57XML) charset(label string, _ io.Reader) (io.Reader, error) {
	return nil, x.fault("the XML section is in %.40q, not in UTF-8", label)
}

// fault is one at the tag read last.
func (x *e57XML) fault(format string, args ...any) *Error {
	return x.in.fault(byteAt(e57Physical(x.start+x.decoder.InputOffset())), mendE57, format, args...)
}

func (x *e57XML) begin(t *xml.StartElement) error {
	if len(x.path) == maxE57Depth {
		return x.fault("the XML section has more than %d elements in one another", maxE57Depth)
	}
	name := t.Name.Local
	if len(x.path) == 0 {
		x.space = t.Name.Space
	} else if t.Name.Space != x.space {
		name = "+" + name // an extension's, whatever its name
	}
	x.path = append(x.path, name)
	inside, found := x.inEntry()
	switch {
	case len(x.path) == 1 && name != "e57Root":
		return x.fault("the XML section holds %s where e57Root was expected", name)
	case !found:
		return nil
	case inside == "":
		x.scan = e57Scan{number: x.entries, pose: e57Identity()}
		x.entries++
		return nil
	case inside == "/pose":
		x.scan.posed = true
		return nil
	case inside == "/pose/rotation":
		x.scan.pose.w = 0 // what is not written is 0
		return nil
	case inside == "/points":
		return x.beginPoints(t)
	case strings.HasPrefix(inside, "/points/prototype/"):
		return x.field(name, t)
	case strings.HasPrefix(inside, "/points/codecs/") && strings.HasSuffix(name, "Codec") && name != "bitPackCodec":
		return x.fault("scan %d is packed by %s, only bitPackCodec is known", x.scan.number, name)
	}
	x.numeric = x.scan.pose.member(inside) != nil
	x.text = x.text[:0]
	return nil
}

func (x *e57XML) end() error {
	inside, found := x.inEntry()
	x.path = x.path[:len(x.path)-1]
	switch {
	case !found:
		return nil
	case inside == "" && x.scan.hasPoints:
		if err := x.choose(); err != nil {
			return err
		}
		x.scans = append(x.scans, x.scan)
	case x.numeric:
		x.numeric = false
		return x.number(string(x.text), 0, x.scan.pose.member(inside))
	}
	return nil
}

// inEntry returns the path of the current element below its entry of data3D.
func (x *e57XML) inEntry() (inside string, found bool) {
	inside, found = strings.CutPrefix(strings.Join(x.path, "/"), "e57Root/data3D/vectorChild")
	return inside, found && (inside == "" || inside[0] == '/')
}
