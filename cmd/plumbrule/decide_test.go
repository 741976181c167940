package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// command runs one command line in this process, in a directory, with a fixed clock and no terminal.
func command(tb testing.TB, dir string, args ...string) (status int, stdout, stderr string) {
	tb.Helper()
	var out, err bytes.Buffer
	state := tb.TempDir() // what a watcher has told must not outlive the test
	status = run(context.Background(), env{
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &err, Dir: dir,
		Now:       func() time.Time { return time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC) },
		LookupEnv: func(name string) (string, bool) { return state, name == "XDG_STATE_HOME" },
	}, args)
	return status, out.String(), err.String()
}

// inJSON runs a command line with --format json and decodes what it prints.
func inJSON(tb testing.TB, args ...string) map[string]any {
	tb.Helper()
	status, stdout, stderr := command(tb, ".", append(args, "--format", "json")...)
	if status != 0 {
		tb.Fatalf("status %d: %s", status, stderr)
	}
	var out map[string]any
	if err := json.Unmarshal([]byte(stdout), &out); err != nil {
		tb.Fatalf("%v in %s", err, stdout)
	}
	return out
}

// MPE 65 µm, U 10 µm, k = 2. Verdicts follow the zones of ILAC-G8:09/2019, 4.2.1 to 4.2.3 with w = U, and of the default
// rule of ISO 14253-1:2017; probabilities are Φ((65 − |E|)/5), from a table of the normal law, printed to six decimals.
func TestDecidePublishedZones(t *testing.T) {
	const cp, cf = "conditional-pass", "conditional-fail"
	for _, c := range []struct {
		error, simple, guardU, fourValued, iso string
		probability                            float64
	}{
		{"40 µm", "pass", "pass", "pass", "pass", 0.9999997},
		{"53 µm", "pass", "pass", "pass", "pass", 0.991802},
		{"55 µm", "pass", "pass", "pass", "pass", 0.977250},
		{"56.5 µm", "pass", "fail", cp, "pass", 0.955435},
		{"57 µm", "pass", "fail", cp, "inconclusive", 0.945201},
		{"-58 µm", "pass", "fail", cp, "inconclusive", 0.919243},
		{"65 µm", "pass", "fail", cp, "inconclusive", 0.500000},
		{"66 µm", "fail", "fail", cf, "inconclusive", 0.420740},
		{"73 µm", "fail", "fail", cf, "inconclusive", 0.054799},
		{"74 µm", "fail", "fail", cf, "fail", 0.035930},
		{"76 µm", "fail", "fail", "fail", "fail", 0.013903},
	} {
		for rule, want := range map[string]string{"simple": c.simple, "guard-u": c.guardU, "four-valued": c.fourValued, "iso-14253-1": c.iso} {
			t.Run(fmt.Sprintf("%s %s", c.error, rule), func(t *testing.T) {
				got := inJSON(t, "decide", "--error", c.error, "--mpe", "65 µm", "--expanded", "10 µm", "--k", "2", "--rule", rule)
				if got["verdict"] != want {
					t.Errorf("verdict %v, want %s", got["verdict"], want)
				}
				if p := got["conformance_probability"].(float64); math.Abs(p-c.probability) > 0.51e-6 {
					t.Errorf("probability %v, want %v", p, c.probability)
				}
				if got["ratio"] != 6.5 {
					t.Errorf("ratio %v, want 6.5", got["ratio"])
				}
			})
		}
	}
}

// r·(1 + α(T − 20)) = 800.015·(1 + 11.5e-6·1.4) mm is 800.027 880 mm (ISO 1 refers lengths to 20 °C): the reading
// 800.0310 mm is 3.120 µm more. The steel scale of the second case is that of an uncompensated device, 3 m at 35 °C.
func TestDecideFromReading(t *testing.T) {
	for _, c := range []struct {
		args           []string
		errorUM, shift float64
	}{
		{[]string{"--reading", "800.0310 mm", "--reference", "800.0150 mm", "--alpha", "11.5e-6/K", "--temperature", "21.4 °C"}, 3.120, 12.880},
		{[]string{"--reading", "3 m", "--reference", "3 m", "--alpha", "23.1e-6/K", "--alpha-device", "11.5e-6/K", "--temperature", "35 °C"}, -522.000, 522.000},
	} {
		got := inJSON(t, append([]string{"decide", "--mpe", "65 µm"}, c.args...)...)
		if e := got["error_um"].(float64); math.Abs(e-c.errorUM) > 0.0005 {
			t.Errorf("%v: error %v, want %v", c.args, e, c.errorUM)
		}
		if s := got["thermal_shift_um"].(float64); math.Abs(s-c.shift) > 0.0005 {
			t.Errorf("%v: shift %v, want %v", c.args, s, c.shift)
		}
	}
}

// A script may rely on every field being there.
func TestDecideFields(t *testing.T) {
	got := inJSON(t, "decide", "--error", "-58 µm", "--mpe", "65 µm")
	for _, name := range []string{
		"verdict", "rule", "rule_source", "error_um", "mpe_um", "one_sided", "expanded_um", "coverage_factor", "ratio",
		"acceptance_limit_um", "rejection_limit_um", "conformance_probability", "reasons", "notes",
	} {
		if _, ok := got[name]; !ok {
			t.Errorf("no %s", name)
		}
	}
	if _, ok := got["thermal_shift_um"]; ok {
		t.Error("a thermal shift without a reading")
	}
	for name, value := range got {
		_, explained := got["reasons"].(map[string]any)[name]
		if (value == nil) != explained {
			t.Errorf("%s is %v, with a reason: %v", name, value, explained)
		}
	}
}
