package routefile_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/routefile"
	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

const good = `title = "test"
unit = "mm"
mpe = "20 µm + 15 µm/m"
chain = ["a", "b"]

[[volume]]
name = "a"
at = [0, "1 cm", 1_0.5]
radius = 200

[[volume]]
name = "b"
at = ["0.3 m", 0, 0]
size = [500, 400, 300]
bridge = true

[[volume]]
name = "c"
at = [300, 400, 0]

[[join]]
from = "a"
to = "b"
length = "0.057 mm"

[[join]]
from = "b"
to = "c"

[[frame]]
name = "bar 1"
volumes = ["a", "b"]
bound = "0.003 mm"

[bar]
bound = "0.057 mm"
longest = "2.5 m"

[[obstacle]]
name = "hub"
shape = "cylinder"
from = [900, 0, 0]
to = [900, 0, 350]
radius = 50

[[obstacle]]
shape = "box"
from = [1000, 1000, 1000]
to = [900, 900, 900]

[[obstacle]]
shape = "ball"
at = [2000, 0, 0]
radius = "5 cm"

[[feature]]
name = "bore"
at = [10, 10, 10]
in = "a"

[[pair]]
from = "bore"
to = "c"
tolerance = "0.057 mm"
`

func TestRead(t *testing.T) {
	f, problems := routefile.Read("x.toml", []byte(good), routefile.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	mpe, err := quantity.ParseMPE("20 µm + 15 µm/m")
	if err != nil {
		t.Fatal(err)
	}
	want := route.Task{
		Volumes: []route.Volume{
			{Name: "a", At: space.Point{0, 10, 10.5}, RadiusMM: 200},
			{Name: "b", At: space.Point{300, 0, 0}, SizeMM: space.Point{500, 400, 300}, Bridge: true},
			{Name: "c", At: space.Point{300, 400, 0}},
		},
		Joins:    []route.Join{{From: "a", To: "b", LengthMM: 0.057}, {From: "b", To: "c", LengthMM: 400}},
		Frames:   []route.Frame{{Name: "bar 1", Volumes: []string{"a", "b"}, BoundUM: 3}},
		Features: []route.Feature{{Name: "bore", At: space.Point{10, 10, 10}, In: "a"}},
		Pairs:    []route.Pair{{From: "bore", To: "c", ToleranceUM: 57}},
		MPE:      mpe,
		Obstacles: []space.Shape{
			space.Cylinder{From: space.Point{900, 0, 0}, To: space.Point{900, 0, 350}, Radius: 50},
			space.Box{Least: space.Point{900, 900, 900}, Most: space.Point{1000, 1000, 1000}},
			space.Ball{Centre: space.Point{2000, 0, 0}, Radius: 50},
		},
		Bar: &route.Bar{BoundUM: 57, LongestMM: 2500},
	}
	if diff := cmp.Diff(want, f.Task, cmp.Comparer(func(a, b quantity.MPE) bool { return a == b })); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"hub", "obstacle 2", "obstacle 3"}, f.Obstacles); diff != "" || f.Title != "test" || len(f.Chain) != 2 {
		t.Errorf("%s %+v", diff, f)
	}
}

// Joins within reach, a part that is covered, and a limit from outside.
func TestReadReachAndPart(t *testing.T) {
	mpe, err := quantity.ParseMPE("9 µm")
	if err != nil {
		t.Fatal(err)
	}
	f, problems := routefile.Read("x.toml", []byte(`
unit = "m"
chain = "around"
part = { from = [0, 0, 0], to = [1.3, 0.5, 0.5], volume = [0.5, 0.5, 0.5], overlap = 0.1 }
reach = "300 mm"
volume = [{ name = "x", at = [0.25, 0.25, 0.55] }]
`), routefile.Options{MPE: mpe})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(f.Task.Volumes) != 4 || f.Task.Volumes[3].At[0] != 1050 || len(f.Task.Joins) != 3 || f.Task.MPE != mpe || f.ChainBy != routefile.Around || f.Task.ReachMM != 300 {
		t.Errorf("%+v", f)
	}
}

// Every mistake is told with its place and what would mend it.
func TestProblems(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`title = "test"`, `title = "`, "x.toml:1:9: error: text without a closing"},
		{`title = "test"`, "titel = 4", "x.toml:1:1: error: key \"titel\" is none of the file\n    titel = 4\n    ^\n  mend: did you mean title?\n"},
		{`title = "test"`, "title = 4", "x.toml:1:9: error: title is a whole number, expected text in quotes\n"},
		{`title = "test"`, `title = " "`, "x.toml:1:9: error: title is empty\n"},
		{`unit = "mm"`, `unit = "foot"`, "x.toml:2:8: error: unit is \"foot\", expected a unit of length\n    unit = \"foot\"\n           ^\n  mend: write one of nm, µm, mm, cm, m, km or in\n"},
		{`unit = "mm"`, "", "x.toml:8:7: error: at, x is the bare figure 0, and the file states no unit\n"},
		{`mpe = "20 µm + 15 µm/m"`, "", "x.toml:1:1: error: the file has no mpe, expected one\n"},
		{`mpe = "20 µm + 15 µm/m"`, `mpe = "20 µm + 15"`, "x.toml:3:16: error: mpe: "},
		{`chain = ["a", "b"]`, `chain = "anyhow"`, "x.toml:4:9: error: chain is \"anyhow\", expected a list of volumes, \"nearest\" or \"around\"\n"},
		{`chain = ["a", "b"]`, `chain = ["a", 5]`, "x.toml:4:15: error: "},
		{`chain = ["a", "b"]`, `chain = 5`, "x.toml:4:9: error: chain is a whole number, expected a list of names in square brackets\n"},
		{`chain = ["a", "b"]`, `reach = 0`, "x.toml:4:9: error: reach is 0, expected a length above 0\n"},
		{`chain = ["a", "b"]`, `reach = nan`, "x.toml:4:9: error: reach is nan, expected a finite number\n"},
		{`chain = ["a", "b"]`, `reach = true`, "x.toml:4:9: error: reach is a true or false, expected a length, such as 400 or \"400 mm\"\n"},
		{`chain = ["a", "b"]`, `reach = "2e6 km"`, "x.toml:4:9: error: reach is \"2e6 km\", expected at most 1000 km\n"},
		{`name = "a"`, "", "x.toml:6:1: error: volume has no name, expected one\n"},
		{`at = [0, "1 cm", 1_0.5]`, "at = [0, 1]", "x.toml:8:6: error: at is 2 of them, expected three figures, [x, y, z]\n"},
		{`at = [0, "1 cm", 1_0.5]`, "at = 0", "x.toml:8:6: error: at is a whole number, expected three figures, [x, y, z]\n"},
		{`at = [0, "1 cm", 1_0.5]`, `at = [0, "1 cn", 0]`, "x.toml:8:13: error: at, y: "},
		{`radius = 200`, `radius = -200`, "x.toml:9:10: error: radius is -200, expected a length above 0\n"},
		{`size = [500, 400, 300]`, `size = [500, 0, 300]`, "x.toml:14:8: error: size is [500, 0, 300], expected three lengths above 0\n"},
		{`bridge = true`, `bridge = "yes"`, "x.toml:15:10: error: bridge is a text, expected true or false, without quotes\n"},
		{`length = "0.057 mm"`, `length = -1`, "x.toml:24:10: error: length is -1, expected a length of 0 or more\n"},
		{`length = "0.057 mm"`, `length = nan`, "x.toml:24:10: error: length is nan, expected a finite number\n"},
		{`length = "0.057 mm"`, `length = inf`, "x.toml:24:10: error: length is inf, expected a finite number\n"},
		{`volumes = ["a", "b"]`, `volumes = "a"`, "x.toml:32:11: error: volumes is a text, expected a list of names in square brackets\n"},
		{`[bar]`, `[[bar]]`, "x.toml:35:1: error: bar is a list, expected a table\n"},
		{`shape = "cylinder"`, `shape = "cone"`, "x.toml:41:9: error: shape is \"cone\", expected \"box\", \"ball\" or \"cylinder\"\n"},
		{`shape = "cylinder"`, ``, "x.toml:39:1: error: obstacle has no shape, expected one\n"},
		{`radius = 50`, ``, "x.toml:39:1: error: obstacle has no radius, expected one\n"},
		{`to = [900, 0, 350]`, `to = [900, 0, 0]`, "x.toml:39:1: error: obstacle: a cylinder whose two ends are one place, expected the middles of both ends\n"},
		{`tolerance = "0.057 mm"`, `tolerance = 0`, "x.toml:64:13: error: tolerance is 0, expected a length above 0\n"},
		{`at = [2000, 0, 0]`, `at = [300, 400, 0]`, "x.toml:19:6: error: volume \"c\" has its middle inside obstacle 3, which blocks every line from there\n"},
		{`at = [2000, 0, 0]`, `at = [300, 200, 0]`, "x.toml:26:1: error: join b to c has no length, and obstacle 3 stands on the straight line\n    [[join]]\n    ^\n  mend: state the length of the path around it, length = …\n"},
		{"[bar]\nbound = \"0.057 mm\"", "[part]\nfrom = [0, 0, 0]\nto = [1, 1, 1]\nvolume = [1, 1, 1]\noverlap = 5\n[bar]\nbound = 3", "x.toml:35:1: error: part: an overlap of 5 mm of volumes 1 mm wide along x, expected 0 or more and less than the width\n"},
		{`chain = ["a", "b"]`, "volume = 5", "x.toml:6:3: error: "},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		if text == good {
			t.Fatalf("no %q", c.old)
		}
		f, problems := routefile.Read("x.toml", []byte(text), routefile.Options{})
		if f != nil || len(problems) == 0 || !strings.HasPrefix(problems[0].String(), c.want) {
			t.Errorf("%q\ngot  %q\nwant %q", c.new, problems, c.want)
		}
	}
}

// What the rules refuse is put back to its place.
func TestLocate(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`from = "b"`, `from = "bb"`, "x.toml:27:8: error: join, from: \"bb\", expected the name of a volume\n"},
		{`volumes = ["a", "b"]`, `volumes = ["a", "q"]`, "x.toml:32:17: error: frame, volumes: \"q\", expected the name of a volume\n"},
		{`name = "c"`, `name = "a"`, "x.toml:18:8: error: volume, name: \"a\" is the name of a volume already, expected a name of its own\n"},
		{`from = "bore"`, `from = "bor"`, "x.toml:62:8: error: pair, from: \"bor\", expected the name of a volume or feature\n    from = \"bor\"\n           ^\n  mend: did you mean \"bore\"?\n"},
		{`at = [10, 10, 10]`, `at = [10, 10, 9000]`, "x.toml:58:6: error: feature, at: [10 10 9000] lies outside \"a\", expected a place inside its volume\n"},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		f, problems := routefile.Read("x.toml", []byte(text), routefile.Options{})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		_, err := route.Find(f.Task, 0)
		if p, ok := f.Locate(err); !ok || !strings.HasPrefix(p.String(), c.want) {
			t.Errorf("%q\ngot  %q\nwant %q", c.new, p.String(), c.want)
		}
	}
	f, problems := routefile.Read("x.toml", []byte(`mpe = "3 µm"`), routefile.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	_, err := route.Find(f.Task, 0)
	if p, ok := f.Locate(err); !ok || p.String() != "x.toml: error: volume: 0 in the task, expected two or more\n  mend: list the volumes that are to be joined\n" {
		t.Errorf("%q", p.String())
	}
	if _, ok := f.Locate(nil); ok {
		t.Error("no error was located")
	}
}

// Where no two volumes are joined, that is told before anything else is.
func TestNoJoins(t *testing.T) {
	text := "unit = \"mm\"\nmpe = \"3 µm\"\nvolume = [{ name = \"a\", at = [0, 0, 0] }, { name = \"b\", at = [9, 0, 0] }]\n"
	for _, c := range []struct{ extra, want string }{
		{"", "x.toml: error: no join between any two volumes, expected some\n  mend: add reach = \"…\", or [[join]] tables\n"},
		{"reach = 5\n", "x.toml: error: no join between any two volumes, expected some\n  mend: raise the reach, or add [[join]] tables\n"},
	} {
		_, problems := routefile.Read("x.toml", []byte(text+c.extra), routefile.Options{})
		if len(problems) != 1 || problems[0].String() != c.want {
			t.Errorf("got %q, want %q", problems, c.want)
		}
	}
}

// FuzzRead reads any text: what is refused has a message, and what is read can be planned or is refused with a place.
func FuzzRead(f *testing.F) {
	f.Add(good)
	f.Add("mpe = \"3 µm\"\nunit = \"m\"\nreach = 1\nvolume = [{ name = \"a\", at = [0, 0, 0] }, { name = \"b\", at = [0.5, 0, 0] }]\n")
	f.Add("part = { from = [0, 0, 0], to = [1.3, 0.5, 0.5], volume = [0.5, 0.5, 0.5], overlap = 0.1 }\nunit = \"m\"\nmpe = \"3 µm/m\"")
	f.Fuzz(func(t *testing.T, text string) {
		file, problems := routefile.Read("x.toml", []byte(text), routefile.Options{})
		if (file == nil) != (len(problems) > 0) {
			t.Fatalf("%v, %q", file, problems)
		}
		for _, p := range problems {
			if p.Message == "" || strings.Contains(p.Message, "NaN") {
				t.Fatalf("%q", p)
			}
		}
		if file == nil || len(file.Task.Volumes) > 200 {
			return
		}
		_, err := route.Find(file.Task, 1e5)
		if p, ok := file.Locate(err); ok && p.Message == "" {
			t.Fatalf("%q", p)
		}
	})
}
