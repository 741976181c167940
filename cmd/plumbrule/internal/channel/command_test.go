//go:build unix

package channel_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// program writes a program of these lines and returns its path.
func program(t *testing.T, lines ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "program")
	text := "#!/bin/sh\n" + strings.Join(lines, "\n") + "\n"
	if err := os.WriteFile(file, []byte(text), 0o700); err != nil {
		t.Fatal(err)
	}
	return file
}

func newCommand(t *testing.T, settings channel.CommandSettings) *channel.Command {
	t.Helper()
	if settings.Timeout == 0 {
		settings.Timeout = 10 * time.Second
	}
	c, err := channel.NewCommand("pager", settings)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCommand(t *testing.T) {
	t.Setenv("WATCHER_ONLY", "secret")
	into := t.TempDir()
	settings := channel.CommandSettings{
		Command: []string{program(t, `cat >"$INTO/message"`, `printf '%s\n' "$@" >"$INTO/arguments"`, `env | sort >"$INTO/environment"`, `pwd >"$INTO/folder"`), "$HOME; rm -rf *", "", "a b"},
		Env:     []string{"INTO=" + into},
	}
	outcome{}.check(t, send(t, newCommand(t, settings), failedCheck()))
	for name, want := range map[string]string{
		"message":   string(failedCheck().JSON()),
		"arguments": "$HOME; rm -rf *\n\na b\n",
		"environment": "INTO=" + into + "\nLANG=C.UTF-8\nPATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin\n" +
			"PLUMBRULE_MESSAGE=01-7f3a\nPWD=/\n",
		"folder": "/\n",
	} {
		got, err := os.ReadFile(filepath.Join(into, name))
		if err != nil {
			t.Fatal(err)
		}
		// Shells set these by themselves.
		text := strings.NewReplacer("_=/usr/bin/env\n", "", "OLDPWD=/\n", "", "SHLVL=0\n", "", "SHLVL=1\n", "").Replace(string(got))
		if diff := cmp.Diff(want, text); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestCommandEnds(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  outcome
	}{
		{"well", []string{"cat >/dev/null"}, outcome{}},
		{"well, without reading", []string{"exit 0"}, outcome{}},
		{"well, after printing", []string{"echo done"}, outcome{}},
		{"asking to be run again", []string{"echo 'line busy' >&2", "exit 75"}, outcome{true, []string{"command /", `/program asks to be run again later: exit status 75, it printed "line busy"; it will be tried again`}}},
		{"with a no", []string{"printf 'no such\\033[31m\\nnumber' >&2", "exit 1"}, outcome{false, []string{`refused the message: exit status 1, it printed "no such\x1b[31m number"; look into what it does; exit status 75`}}},
		{"with another no", []string{"exit 74"}, outcome{false, []string{"refused the message: exit status 74;"}}},
		{"by a signal", []string{"kill -TERM $$"}, outcome{true, []string{"was ended from outside: signal: terminated"}}},
		{"too late", []string{"echo waiting", "sleep 60"}, outcome{true, []string{`did not end within 700ms and was killed, it printed "waiting"; look what it waits for`}}},
		{"never", []string{"trap '' TERM INT HUP", "while :; do sleep 1; done"}, outcome{true, []string{"did not end within 700ms and was killed"}}},
		{"too late and talking", []string{"while :; do echo and on and on and on; done"}, outcome{true, []string{"did not end within 700ms and was killed, it printed \"and on and on and on and", " … "}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := send(t, newCommand(t, channel.CommandSettings{Command: []string{program(t, c.lines...)}, Timeout: 700 * time.Millisecond}), failedCheck())
			c.want.check(t, err)
			if err != nil && len(err.Error()) > 2000 {
				t.Errorf("an error of %d bytes", len(err.Error()))
			}
		})
	}
}

func TestCommandThatCannotBeRun(t *testing.T) {
	plain := filepath.Join(t.TempDir(), "plain")
	if err := os.WriteFile(plain, []byte("no program"), 0o600); err != nil {
		t.Fatal(err)
	}
	for file, says := range map[string]string{"/none/such": "no such file or directory", plain: "permission denied"} {
		err := send(t, newCommand(t, channel.CommandSettings{Command: []string{file}}), failedCheck())
		outcome{true, []string{"command " + file + " could not be run: ", says, "; check command and the program's permissions"}}.check(t, err)
	}
}

// A message larger than a pipe holds, to a program that does not read it.
func TestCommandThatDoesNotRead(t *testing.T) {
	m := failedCheck()
	m.Text = strings.Repeat("long ", 1<<17)
	outcome{}.check(t, send(t, newCommand(t, channel.CommandSettings{Command: []string{program(t, "exit 0")}}), m))
}

// What a program starts does not outlive it: neither when its time is out nor when it has ended itself.
func TestCommandLeavesNothingRunning(t *testing.T) {
	for name, c := range map[string]struct {
		last string
		want outcome
	}{
		"time is out":            {"sleep 60", outcome{true, []string{"did not end within 1s"}}},
		"ended":                  {"exit 0", outcome{}},
		"ended, and output held": {"exit 75", outcome{true, []string{"exit status 75"}}},
	} {
		t.Run(name, func(t *testing.T) {
			into := t.TempDir()
			child := "sleep 61"
			if !strings.Contains(name, "held") {
				child += " >/dev/null 2>&1"
			}
			command := []string{program(t, child+" &", `echo $! >"$INTO/child"`, c.last)}
			start := time.Now()
			c.want.check(t, send(t, newCommand(t, channel.CommandSettings{Command: command, Env: []string{"INTO=" + into}, Timeout: time.Second}), failedCheck()))
			if took := time.Since(start); took > 5*time.Second {
				t.Errorf("took %s", took)
			}
			text, err := os.ReadFile(filepath.Join(into, "child"))
			if err != nil {
				t.Fatal(err)
			}
			pid, err := strconv.Atoi(strings.TrimSpace(string(text)))
			if err != nil {
				t.Fatal(err)
			}
			for range 100 {
				if !running(pid) {
					return
				}
				time.Sleep(20 * time.Millisecond)
			}
			t.Errorf("process %d still runs", pid)
		})
	}
}

// running reports whether the process is there and no zombie, which nobody in a container may come to bury.
func running(pid int) bool {
	if errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) {
		return false
	}
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	return err != nil || !strings.Contains(string(stat), ") Z ")
}

func TestCommandStopsWithTheWatcher(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(100*time.Millisecond, cancel)
	c := newCommand(t, channel.CommandSettings{Command: []string{program(t, "sleep 60")}})
	outcome{true, []string{"was ended because the watcher stops; it will be tried again"}}.check(t, c.Send(ctx, failedCheck()))
}

func TestCommandSettings(t *testing.T) {
	for _, c := range []struct {
		settings channel.CommandSettings
		want     string
	}{
		{channel.CommandSettings{Command: []string{"/bin/true"}, Env: []string{"A=b=c", "B="}}, ""},
		{channel.CommandSettings{}, `channel "pager": command is missing, expected the whole path of a program`},
		{channel.CommandSettings{Command: []string{"mail -s alert"}}, `command is "mail -s alert", expected the whole path`},
		{channel.CommandSettings{Command: []string{"./page", "mk"}}, `command is "./page" "mk", expected`},
		{channel.CommandSettings{Command: []string{"/bin/true", "a\x00b"}}, `expected a text without NUL`},
		{channel.CommandSettings{Command: []string{"/bin/true"}, Env: []string{"TOKEN"}}, `env is an entry without a name or =, expected NAME=value`},
		{channel.CommandSettings{Command: []string{"/bin/true"}, Env: []string{"=x"}}, `env is`},
		{channel.CommandSettings{Command: []string{"/bin/true"}, Timeout: -1}, `timeout is`},
	} {
		_, err := channel.NewCommand("pager", c.settings)
		checkSetting(t, err, c.want)
	}
}
