package calendar

import (
	"archive/zip"
	"bytes"
	_ "embed"
	"io"
	"strconv"
	"time"

	"plumbrule/records/quantity"
)

//go:embed zoneinfo.zip
var zoneinfo []byte

// Zone gives the time zone with an IANA name such as "Europe/Berlin", from
// the database inside the program; neither the machine's own database nor its
// environment is looked at. The names "Local" and "" are refused, because
// they mean another zone on each machine. Each call reads the database anew:
// keep the answer. The error for an unknown name is a [*quantity.Error], with
// the nearest known name in its remedy.
func Zone(name string) (*time.Location, error) {
	archive, err := zip.NewReader(bytes.NewReader(zoneinfo), int64(len(zoneinfo)))
	if err != nil {
		return nil, err
	}
	for _, file := range archive.File {
		if file.Name == name {
			return load(file)
		}
	}
	fault := &quantity.Error{
		Text: name, End: len(name), Found: strconv.Quote(name),
		Expected: "the name of a time zone in the IANA database", Mend: `write the region and the city, for example "Europe/Berlin"`,
	}
	if name == "" {
		fault.Found = "the text is empty"
	} else if near := nearestName(archive, name); near != "" {
		fault.Mend = "write " + strconv.Quote(near)
	}
	return nil, fault
}

func load(file *zip.File) (*time.Location, error) {
	content, err := file.Open()
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(content)
	if err != nil {
		return nil, err
	}
	return time.LoadLocationFromTZData(file.Name, data)
}
