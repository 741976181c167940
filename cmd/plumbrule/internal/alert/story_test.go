package alert

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"plumbrule/records"
)

var update = flag.Bool("update", false, "write what stories tell into testdata, to be read")

// TestStories plays each file of testdata/stories. It begins with what happens
// and why; then come the settings, the story, and all that was sent. A line of
// the story is one of
//
//	at 2026-10-05 08:00              deliver what falls due until then
//	find SUBJECT CODE SEVERITY text  a finding stands; SUBJECT may have a kind and a place, as scan-02/arm/hall, and CODE something it is about, as check-due:bar
//	gone SUBJECT CODE                a finding stands no more
//	acknowledge SUBJECT CODE BY why
//	fail CHANNEL why                 its deliveries fail; refuse CHANNEL why: for good; partly CHANNEL why: for good, for some it is for; works CHANNEL
//	send                             what is due is on its way from here on, with no answer before the next at
//	restart                          the program ends without an answer to what is on its way, and starts anew
//	lose                             the journal is lost
//	clock +24h                       the clock is put forward or back
//	settings NAME                    other settings, from the file of that name
func TestStories(t *testing.T) {
	names, err := filepath.Glob("testdata/stories/*.txtar")
	if err != nil || len(names) == 0 {
		t.Fatal("no stories", err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			comment, files := parted(string(data))
			s := &story{T: t, files: files, dir: t.TempDir(), standing: map[Key]Finding{}, broken: map[string]error{}}
			s.settings = s.read("plumbrule.toml")
			s.start()
			for line := range strings.Lines(files["story"]) {
				s.play(strings.TrimSpace(line))
			}
			if got := s.told.String(); got != files["want"] {
				if !*update {
					t.Errorf("told:\n%s\nwant:\n%s", got, files["want"])
					return
				}
				files["want"] = got
				out := comment
				for _, part := range []string{"plumbrule.toml", "later.toml", "story", "want"} {
					if text, ok := files[part]; ok {
						out += "-- " + part + " --\n" + text
					}
				}
				if err := os.WriteFile(name, []byte(out), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// parted takes an archive of texts apart.
func parted(text string) (comment string, files map[string]string) {
	files = map[string]string{}
	name := ""
	for line := range strings.Lines(text) {
		if head, ok := strings.CutPrefix(line, "-- "); ok {
			name = strings.TrimSuffix(strings.TrimSpace(head), " --")
			files[name] = ""
			continue
		}
		if name == "" {
			comment += line
			continue
		}
		files[name] += line
	}
	return comment, files
}

type story struct {
	*testing.T
	files    map[string]string
	dir      string
	settings Settings
	book     *Book
	now      time.Time
	standing map[Key]Finding
	changed  bool
	broken   map[string]error
	away     bool // deliveries get no answer
	told     strings.Builder
}

func (s *story) Now() time.Time { return s.now }

func (s *story) read(name string) Settings {
	s.Helper()
	text := "format = 1\nname = \"Works\"\ntime-zone = \"Europe/Berlin\"\nunit = \"mm\"\n" + s.files[name]
	set, found := records.Load(fstest.MapFS{records.SiteFile: {Data: []byte(text)}}, records.Options{})
	for _, d := range found {
		if d.Severity == records.Error {
			s.Fatalf("%s\n%s", d, d.Excerpt)
		}
	}
	return SettingsOf(set.Site)
}

func (s *story) start() {
	s.Helper()
	var err error
	if s.book, err = Open(s.dir, s, s.settings); err != nil {
		s.Fatal(err)
	}
	for _, note := range s.book.Notes() {
		fmt.Fprintf(&s.told, "note: %s\n", note)
	}
}

func (s *story) play(line string) {
	s.Helper()
	verb, rest, _ := strings.Cut(line, " ")
	words := strings.Fields(rest)
	if verb != "find" && verb != "gone" {
		s.observe()
	}
	switch verb {
	case "", "#":
	case "at":
		to, err := time.ParseInLocation("2006-01-02 15:04", rest, s.settings.Zone)
		if err != nil {
			s.Fatal(err)
		}
		if s.now.IsZero() {
			s.now = to
		}
		s.away = false
		s.until(to)
	case "find":
		text := strings.SplitN(rest, " ", 4)
		f := Finding{Key: s.key(text[0], text[1]), Severity: text[2]}
		if len(text) > 3 {
			f.Sentence = text[3]
		}
		if what := strings.Split(text[0], "/"); len(what) == 3 {
			f.Kind, f.Place = what[1], what[2]
		}
		s.standing[f.Key], s.changed = f, true
	case "gone":
		key := s.key(words[0], words[1])
		if _, stood := s.standing[key]; !stood {
			s.Fatalf("%v did not stand", key)
		}
		delete(s.standing, key)
		s.changed = true
	case "acknowledge":
		err := s.book.Acknowledge(s.key(words[0], words[1]), words[2], strings.Join(words[3:], " "), s.now)
		if err != nil {
			s.say("acknowledge: " + err.Error())
		}
	case "fail":
		s.broken[words[0]] = errors.New(strings.Join(words[1:], " "))
	case "refuse":
		s.broken[words[0]] = refused(strings.Join(words[1:], " "))
	case "partly":
		s.broken[words[0]] = toSome{refused(strings.Join(words[1:], " "))}
	case "works":
		delete(s.broken, words[0])
	case "send":
		s.away = true
		s.deliver()
	case "restart":
		s.book.Close()
		s.start()
		s.away = false
	case "lose":
		if err := os.Remove(filepath.Join(s.dir, journalName)); err != nil {
			s.Fatal(err)
		}
	case "clock":
		step, err := time.ParseDuration(rest)
		if err != nil {
			s.Fatal(err)
		}
		s.now = s.now.Add(step)
	case "settings":
		s.settings = s.read(rest)
		s.book.Configure(s.settings)
	default:
		s.Fatalf("what is %q?", line)
	}
}

type refused string

func (r refused) Error() string   { return string(r) }
func (r refused) Temporary() bool { return false }

type toSome struct{ refused }

func (toSome) Partial() bool { return true }

func (s *story) key(subject, code string) Key {
	subject, _, _ = strings.Cut(subject, "/")
	code, about, _ := strings.Cut(code, ":")
	return Key{subject, code, about}
}

func (s *story) observe() {
	s.Helper()
	if !s.changed {
		return
	}
	s.changed = false
	var list []Finding
	for _, f := range s.standing {
		list = append(list, f)
	}
	slices.SortFunc(list, func(a, b Finding) int { return strings.Compare(a.Subject+a.Code+a.About, b.Subject+b.Code+b.About) })
	if err := s.book.Observe(s.now, list); err != nil {
		s.Fatal(err)
	}
}

// until delivers what falls due, when it falls due.
func (s *story) until(to time.Time) {
	s.Helper()
	for range 10_000 {
		s.deliver()
		next := s.book.Next()
		if next.IsZero() || next.After(to) {
			s.now = to
			s.deliver()
			return
		}
		if next.Before(s.now) {
			s.Fatalf("at %s the next time is %s", s.now, next)
		}
		s.now = next
	}
	s.Fatal("there is no end of deliveries")
}

func (s *story) deliver() {
	for range 100 {
		list := s.book.Due(s.now)
		if len(list) == 0 {
			return
		}
		for _, d := range list {
			err := s.broken[d.Target.Channel]
			s.say(fmt.Sprintf("%s %s%s", d.Target, d.Kind, answer(d, err, s.away)))
			for _, a := range d.Alerts {
				s.sayAlert(&a)
			}
			if !s.away {
				s.book.Delivered(d, err)
			}
		}
	}
	s.Fatal("there is no end of deliveries")
}

func answer(d Delivery, err error, away bool) string {
	out := ""
	if d.Attempt > 1 {
		out = fmt.Sprintf(", attempt %d", d.Attempt)
	}
	switch {
	case away:
		return out + ", no answer"
	case err != nil:
		return out + ", fails"
	}
	return out
}

func (s *story) say(text string) {
	fmt.Fprintf(&s.told, "%s %s\n", s.now.In(s.settings.Zone).Format("01-02 15:04:05"), text)
}

func (s *story) sayAlert(a *Alert) {
	about := ""
	if a.About != "" {
		about = ":" + a.About
	}
	was := ""
	if a.Told != nil && a.Told.Severity != a.Severity {
		was = ", was " + a.Told.Severity
	}
	fmt.Fprintf(&s.told, "    %s %s%s %s%s: %s (%s)\n", a.Subject, a.Code, about, a.Severity, was, a.Sentence, a.Why)
}
