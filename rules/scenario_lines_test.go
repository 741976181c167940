package rules_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// Lines of a scenario's head, beside comments (#). Times are those of Berlin.
//
//	at TIME                         the instant evaluated
//	hindsight                       with what was entered later
//	errors CODE …                   while loading
//	rm FILE                         of the base
//	edit FILE: OLD -> NEW           in the base
//	check TIME FEATURE:ERRORS[@PATH] … [key=value …]   errors in µm at 20 °C, path in m
//	event SUBJECT TIME KIND [key=value …]
//	job ID BEGIN END QUANTITY:LENGTH[@PATH] …          length and path in m
//	step CASE TIME STEP [by=WHO] [key=value …]
//
// A file named with a + is added to the end of the base's; any other takes the
// place of the base's.
func read(tb testing.TB, archive *txtar.Archive) *scenario {
	tb.Helper()
	s := &scenario{files: base(tb)}
	for _, f := range archive.Files {
		switch name, more := strings.CutSuffix(f.Name, "+"); {
		case f.Name == "want":
			s.want = string(f.Data)
		case more:
			s.files[name] = &fstest.MapFile{Data: append(append([]byte(nil), s.files[name].Data...), f.Data...)}
		default:
			s.files[name] = &fstest.MapFile{Data: f.Data}
		}
	}
	for line := range strings.Lines(string(archive.Comment)) {
		word, rest, _ := strings.Cut(strings.TrimRight(line, "\n"), " ")
		switch word {
		case "", "#":
		case "at":
			s.at = moment(tb, rest)
		case "hindsight":
			s.hindsight = true
		case "errors":
			s.errors = strings.Fields(rest)
		case "rm":
			delete(s.files, rest)
		case "edit":
			s.edit(tb, rest)
		case "check":
			s.check(tb, strings.Fields(rest))
		case "event":
			s.event(tb, fields(rest))
		case "step":
			s.step(tb, fields(rest))
		case "job":
			s.job(tb, strings.Fields(rest))
		default:
			tb.Fatalf("unknown line %q", line)
		}
	}
	return s
}

func base(tb testing.TB) fstest.MapFS {
	tb.Helper()
	data, err := os.ReadFile("testdata/base.txtar")
	if err != nil {
		tb.Fatal(err)
	}
	files := fstest.MapFS{}
	for _, f := range txtar.Parse(data).Files {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return files
}

func moment(tb testing.TB, text string) time.Time {
	tb.Helper()
	if out, err := time.Parse(time.RFC3339, text); err == nil {
		return out
	}
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

func (s *scenario) edit(tb testing.TB, rest string) {
	tb.Helper()
	file, change, _ := strings.Cut(rest, ": ")
	before, after, ok := strings.Cut(change, " -> ")
	before = strings.ReplaceAll(before, `\n`, "\n")
	text := ""
	if f := s.files[file]; f != nil {
		text = string(f.Data)
	}
	if !ok || strings.Count(text, before) != 1 {
		tb.Fatalf("%q is not once in %s", before, file)
	}
	s.files[file] = &fstest.MapFile{Data: []byte(strings.Replace(text, before, strings.ReplaceAll(after, `\n`, "\n"), 1))}
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

func (s *scenario) check(tb testing.TB, words []string) {
	tb.Helper()
	at := moment(tb, words[0])
	k := map[string]string{"device": "scan-02", "artifact": "bar-3s", "procedure": "bar-weekly", "entered": words[0], "name": ""}
	reference := map[string]float64{"A": 29.999, "C": 29.999, "A-C": 800.015, "A form": 0}
	var readings, extra strings.Builder
	for _, w := range words[1:] {
		if key, value, ok := strings.Cut(w, "="); ok {
			if _, known := k[key]; known {
				k[key] = value
			} else {
				fmt.Fprintf(&extra, "%s = %q\n", key, strings.ReplaceAll(value, "_", " "))
			}
			continue
		}
		feature, rest, _ := strings.Cut(w, ":")
		feature = strings.ReplaceAll(feature, "_", " ")
		errors, path, hasPath := strings.Cut(rest, "@")
		fmt.Fprintf(&readings, "[[reading]]\nfeature = %q\nvalues = [", feature)
		for i, e := range strings.Split(errors, ",") {
			um, err := strconv.ParseFloat(e, 64)
			if err != nil {
				tb.Fatal(err)
			}
			if i > 0 {
				readings.WriteString(", ")
			}
			readings.WriteString(strconv.FormatFloat(reference[feature]+um/1000, 'f', 6, 64))
		}
		readings.WriteString("]\n")
		if hasPath {
			fmt.Fprintf(&readings, "path = \"%s m\"\n", path)
		}
	}
	if k["name"] == "" {
		k["name"] = strings.TrimSuffix(records.CheckPath(&records.Check{Device: k["device"], Procedure: k["procedure"], Time: at}, at.Location()), ".toml")
	}
	s.files[k["name"]+".toml"] = &fstest.MapFile{Data: fmt.Appendf(nil,
		"device = %q\nartifact = %q\nprocedure = %q\ntime = %s\nentered = %s\nby = \"mk\"\nunit = \"mm\"\n%s[conditions]\nartifact-temperature = \"20 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n%s",
		k["device"], k["artifact"], k["procedure"], at.Format(time.RFC3339), moment(tb, k["entered"]).Format(time.RFC3339), extra.String(), readings.String())}
}

func (s *scenario) event(tb testing.TB, words []string) {
	tb.Helper()
	at, entered, name := moment(tb, words[1]), words[1], ""
	var rest strings.Builder
	for _, w := range words[3:] {
		key, value, _ := strings.Cut(w, "=")
		switch key {
		case "entered":
			entered = value
		case "name":
			name = value
		default:
			fmt.Fprintf(&rest, "%s = %s\n", key, value)
		}
	}
	if name == "" {
		name = fmt.Sprintf("%s-%s", at.Format("2006-01-02"), words[2])
	}
	s.files[fmt.Sprintf("events/%s/%s.toml", words[0], name)] = &fstest.MapFile{Data: fmt.Appendf(nil,
		"subject = %q\nkind = %q\ntime = %s\nentered = %s\nby = \"rs\"\n%s", words[0], words[2], at.Format(time.RFC3339), moment(tb, entered).Format(time.RFC3339), rest.String())}
}

func (s *scenario) step(tb testing.TB, words []string) {
	tb.Helper()
	at, by := moment(tb, words[1]), "rs"
	var rest strings.Builder
	for _, w := range words[3:] {
		key, value, _ := strings.Cut(w, "=")
		if key == "by" {
			by = value
			continue
		}
		fmt.Fprintf(&rest, "%s = %s\n", key, value)
	}
	s.files[fmt.Sprintf("cases/%s/%s-%s.toml", words[0], at.Format("2006-01-02T1504"), words[2])] = &fstest.MapFile{Data: fmt.Appendf(nil,
		"case = %q\nstep = %q\ntime = %s\nentered = %[3]s\nby = %q\n%s", words[0], words[2], at.Format(time.RFC3339), by, rest.String())}
}

func (s *scenario) job(tb testing.TB, words []string) {
	tb.Helper()
	end := words[2]
	var b strings.Builder
	fmt.Fprintf(&b, "title = \"Frame\"\ndevices = [\"scan-02\"]\nbegin = %s\nend = %s\n", words[1], end)
	entered, more := words[1]+"T08:00", ""
	var measured strings.Builder
	for _, w := range words[3:] {
		if key, value, ok := strings.Cut(w, "="); ok {
			switch key {
			case "entered":
				entered = value
			case "checked-before", "checked-after":
				more += fmt.Sprintf("%s = [%q]\n", key, value)
			default:
				more += fmt.Sprintf("%s = %q\n", key, value)
			}
			continue
		}
		q, length, _ := strings.Cut(w, ":")
		length, path, travelled := strings.Cut(length, "@")
		fmt.Fprintf(&measured, "[[measured]]\nquantity = %q\ntolerance = \"0.2 mm\"\nlength = \"%s m\"\n", q, length)
		if travelled {
			fmt.Fprintf(&measured, "path = \"%s m\"\n", path)
		}
	}
	fmt.Fprintf(&b, "entered = %s\nby = \"mk\"\n%s%s", moment(tb, entered).Format(time.RFC3339), more, measured.String())
	s.files[fmt.Sprintf("jobs/%s/%s.toml", end[:4], words[0])] = &fstest.MapFile{Data: []byte(b.String())}
}
