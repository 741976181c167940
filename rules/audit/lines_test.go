package audit_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records/calendar"
)

// shop is a repository in the making, and what an audit looks at.
type shop struct {
	files    fstest.MapFS
	from, at time.Time
	devices  []string
}

// opened is the shop of testdata/base.txtar with the lines and files of an
// archive. Lines, beside comments (#); times are those of Berlin:
//
//	from TIME, at TIME              the period
//	devices ID …                    those looked at
//	rm FILE
//	edit FILE: OLD -> NEW
//	check TIME FEATURE:ERRORS[@PATH] … [key=value …]   errors in µm at 20 °C, path in m
//	event SUBJECT TIME KIND [key=value …]
//	step CASE TIME STEP [key=value …]
//	job ID BEGIN END QUANTITY:LENGTH@PATH [key=value …]   length and path in m
func opened(tb testing.TB, archives ...*txtar.Archive) *shop {
	tb.Helper()
	data, err := os.ReadFile("testdata/base.txtar")
	if err != nil {
		tb.Fatal(err)
	}
	s := &shop{files: fstest.MapFS{}}
	for _, a := range append([]*txtar.Archive{txtar.Parse(data)}, archives...) {
		for _, f := range a.Files {
			name, more := strings.CutSuffix(f.Name, "+")
			if more {
				f.Data = append(append([]byte{}, s.files[name].Data...), f.Data...)
			}
			s.files[name] = &fstest.MapFile{Data: f.Data}
		}
		for line := range strings.Lines(string(a.Comment)) {
			s.line(tb, strings.TrimRight(line, "\n"))
		}
	}
	return s
}

func (s *shop) line(tb testing.TB, line string) {
	tb.Helper()
	word, rest, _ := strings.Cut(line, " ")
	words := fields(rest)
	switch word {
	case "", "#":
	case "from":
		s.from = moment(tb, rest)
	case "at":
		s.at = moment(tb, rest)
	case "devices":
		s.devices = words
	case "rm":
		if s.files[rest] == nil {
			tb.Fatalf("there is no %s", rest)
		}
		delete(s.files, rest)
	case "edit":
		file, change, _ := strings.Cut(rest, ": ")
		before, after, _ := strings.Cut(strings.ReplaceAll(change, `\n`, "\n"), " -> ")
		if s.files[file] == nil || strings.Count(string(s.files[file].Data), before) != 1 {
			tb.Fatalf("%q is not once in %s", before, file)
		}
		s.files[file] = &fstest.MapFile{Data: []byte(strings.Replace(string(s.files[file].Data), before, after, 1))}
	case "check":
		s.check(tb, words)
	case "event":
		k := keys(words[3:])
		at := moment(tb, words[1])
		s.write(fmt.Sprintf("events/%s/%s-%s.toml", words[0], at.Format("2006-01-02"), words[2]), fmt.Sprintf(
			"subject = %q\nkind = %q\ntime = %s\n", words[0], words[2], stamp(at)), at, k, "rs")
	case "step":
		k := keys(words[3:])
		at := moment(tb, words[1])
		s.write(fmt.Sprintf("cases/%s/%s-%s.toml", words[0], at.Format("2006-01-02T1504"), words[2]), fmt.Sprintf(
			"case = %q\nstep = %q\ntime = %s\n", words[0], words[2], stamp(at)), at, k, "rs")
	case "job":
		k := keys(words[4:])
		q, length, _ := strings.Cut(words[3], ":")
		length, path, _ := strings.Cut(length, "@")
		if k["devices"] == "" {
			k["devices"] = `["scan-1"]`
		}
		s.write(fmt.Sprintf("jobs/%s/%s.toml", words[2][:4], words[0]), fmt.Sprintf("title = \"Frame\"\nbegin = %s\nend = %s\n", words[1], words[2]), moment(tb, words[2]+"T18:00"), k, "mk")
		f := s.files[fmt.Sprintf("jobs/%s/%s.toml", words[2][:4], words[0])]
		f.Data = fmt.Appendf(f.Data, "[[measured]]\nquantity = %q\ntolerance = \"0.6 mm\"\nlength = \"%s m\"\npath = \"%s m\"\n", q, length, path)
	default:
		tb.Fatalf("unknown line %q", line)
	}
}

// write writes a record with who entered it when, unless its keys say otherwise.
func (s *shop) write(name, text string, at time.Time, k map[string]string, by string) {
	if k["entered"] == "" {
		k["entered"] = stamp(at)
	}
	if k["by"] == "" {
		k["by"] = strconv.Quote(by)
	}
	for _, key := range []string{
		"entered", "by", "reason", "as-found", "evidence", "version", "location", "of", "interval", "until", "since", "subject", "finding", "owner", "outcome", "jobs",
		"decision", "devices", "quantities", "certificate", "amends",
	} {
		if k[key] != "" && k[key] != "none" {
			text += key + " = " + k[key] + "\n"
		}
	}
	s.files[name] = &fstest.MapFile{Data: []byte(text)}
}

func (s *shop) check(tb testing.TB, words []string) {
	tb.Helper()
	at, k := moment(tb, words[0]), map[string]string{}
	reference := map[string]float64{"A": 29.999, "A-C": 800.015}
	var readings strings.Builder
	for _, w := range words[1:] {
		if key, value, ok := strings.Cut(w, "="); ok {
			k[key] = value
			continue
		}
		feature, rest, _ := strings.Cut(w, ":")
		errors, path, travelled := strings.Cut(rest, "@")
		var values []string
		for e := range strings.SplitSeq(errors, ",") {
			um, err := strconv.ParseFloat(e, 64)
			if err != nil {
				tb.Fatal(err)
			}
			values = append(values, strconv.FormatFloat(reference[feature]+um/1000, 'f', 6, 64))
		}
		fmt.Fprintf(&readings, "[[reading]]\nfeature = %q\nvalues = [%s]\n", feature, strings.Join(values, ", "))
		if travelled {
			fmt.Fprintf(&readings, "path = \"%s m\"\n", path)
		}
	}
	name := fmt.Sprintf("checks/scan-1/%s/%s-bar-weekly.toml", at.Format("2006"), at.Format("2006-01-02T1504"))
	s.write(name, fmt.Sprintf("device = \"scan-1\"\nartifact = \"bar-1\"\nprocedure = \"bar-weekly\"\nrevision = \"2\"\ntime = %s\nunit = \"mm\"\n", stamp(at)), at, k, "mk")
	f := s.files[name]
	if k["temperature"] != "none" {
		f.Data = append(f.Data, "[conditions]\nartifact-temperature = \"20 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n"...)
	}
	f.Data = append(f.Data, readings.String()...)
}

func stamp(t time.Time) string { return t.Format(time.RFC3339) }

func keys(words []string) map[string]string {
	out := map[string]string{}
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		out[key] = value
	}
	return out
}

// fields parts a line at blanks outside quotes and brackets.
func fields(line string) []string {
	quoted, deep := false, 0
	return strings.FieldsFunc(line, func(r rune) bool {
		switch r {
		case '"':
			quoted = !quoted
		case '[':
			deep++
		case ']':
			deep--
		}
		return r == ' ' && !quoted && deep == 0
	})
}

func moment(tb testing.TB, text string) time.Time {
	tb.Helper()
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		tb.Fatal(err)
	}
	out, err := time.ParseInLocation("2006-01-02T15:04", text, zone)
	if err != nil {
		tb.Fatal(err)
	}
	return out
}
