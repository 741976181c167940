package channel_test

import (
	"bytes"
	"context"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// around are surroundings with one variable, and where lines of the log go.
func around(lines *bytes.Buffer) channel.Surroundings {
	return channel.Surroundings{
		Clock: stopped(exampleTime()),
		Lookup: func(name string) (string, bool) {
			value, ok := map[string]string{"GOOD": "0123456789abcdef", "BLANK": ""}[name]
			return value, ok
		},
		Log:   slog.NewTextHandler(lines, &slog.HandlerOptions{Level: slog.LevelInfo}).WithAttrs([]slog.Attr{slog.String("program", "watch")}),
		Lines: lines,
	}
}

// secretFile writes a file with these permissions.
func secretFile(t *testing.T, text string, perm fs.FileMode) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(name, perm); err != nil {
		t.Fatal(err)
	}
	return name
}

func TestOpenEveryKind(t *testing.T) {
	for _, c := range []records.Channel{
		{Kind: records.LogChannel},
		{Kind: records.LogChannel, Format: "json"},
		{Kind: records.MailChannel, Server: "mail.works.example", From: "watch@works.example", User: "watch", PasswordEnv: "GOOD"},
		{Kind: records.WebhookChannel, URL: "https://hooks.works.example"},
		{Kind: records.WebhookChannel, URL: "https://hooks.works.example", SecretEnv: "GOOD"},
		{Kind: records.CommandChannel, Command: []string{"/bin/true"}},
		{Kind: records.AlertmanagerChannel, URL: "http://127.0.0.1:9093"},
		{Kind: records.AlertmanagerChannel, URL: "http://am.works.example:9093", Unencrypted: true},
	} {
		c.Name = "this"
		got, err := channel.Open(&c, around(&bytes.Buffer{}))
		if err != nil || got == nil || got.Name() != "this" {
			t.Errorf("%+v: %v %v", c, got, err)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	hook := func(c records.Channel) records.Channel {
		c.Kind, c.URL = records.WebhookChannel, "https://hooks.works.example"
		return c
	}
	const good = "0123456789abcdef"
	for _, c := range []struct {
		channel records.Channel
		want    string
	}{
		{records.Channel{Kind: "pigeon"}, `kind is "pigeon", expected one of ["log" "mail"`},
		{records.Channel{Kind: records.LogChannel, Format: "xml"}, `format is "xml"`},
		{records.Channel{Kind: records.MailChannel}, "server"},
		{records.Channel{Kind: records.MailChannel, PasswordEnv: "NONE"}, `password-env is "NONE", a variable without content, expected the name of a variable that holds it; set it where the watcher is started`},
		{records.Channel{Kind: records.CommandChannel, Command: []string{"true"}}, "whole path"},
		{records.Channel{Kind: records.AlertmanagerChannel, URL: "http://am.works.example:9093"}, "https to other machines"},
		{records.Channel{Kind: records.AlertmanagerChannel, URL: "http://127.0.0.1:9093", User: "a", PasswordFile: "/nowhere/at/all"}, "password-file"},
		{hook(records.Channel{SecretEnv: "NONE"}), "secret-env"},
		{hook(records.Channel{SecretEnv: "BLANK"}), "without content"},
		{hook(records.Channel{SecretFile: secretFile(t, good, 0o600)}), ""},
		{hook(records.Channel{SecretFile: secretFile(t, good+"\r\n", 0o440)}), ""},
		{hook(records.Channel{SecretFile: secretFile(t, good, 0o604)}), "others may read or change: -rw----r--, expected a file that holds it and that others cannot read; chmod 600"},
		{hook(records.Channel{SecretFile: secretFile(t, good, 0o620)}), "others may read or change"},
		{hook(records.Channel{SecretFile: secretFile(t, "\n", 0o600)}), "which is empty"},
		{hook(records.Channel{SecretFile: secretFile(t, good+"\nmore", 0o600)}), "more than one line"},
		{hook(records.Channel{SecretFile: secretFile(t, strings.Repeat("x", 4097), 0o600)}), "more than 4096 bytes"},
		{hook(records.Channel{SecretFile: secretFile(t, "short", 0o600)}), "of 5 bytes"},
		{hook(records.Channel{SecretFile: "/nowhere/at/all"}), `secret-file is "/nowhere/at/all", which cannot be read: no such file or directory`},
		{hook(records.Channel{SecretFile: t.TempDir()}), "which is no file"},
		{hook(records.Channel{SecretFile: pipe}), "which is no file"},
	} {
		got, err := channel.Open(&c.channel, around(&bytes.Buffer{}))
		checkSetting(t, err, c.want)
		if (got == nil) != (c.want != "") {
			t.Errorf("%v beside the error %v", got, err)
		}
	}
}

// The secret of the file, without its line's end, is the one that signs.
func TestOpenedWebhookSigns(t *testing.T) {
	h := newHook(t, nil)
	c := records.Channel{Name: "hook", Kind: records.WebhookChannel, URL: h.URL, SecretFile: secretFile(t, "0123456789abcdef\n", 0o400)}
	hook, err := channel.Open(&c, around(&bytes.Buffer{}))
	if err != nil {
		t.Fatal(err)
	}
	outcome{}.check(t, send(t, hook, failedCheck()))
	r := h.all()[0]
	if err := channel.Verify(r.Header, "0123456789abcdef", []byte(r.Body), exampleTime(), 0); err != nil {
		t.Error(err)
	}
}

// The log is written by the program's own handler unless it has a format of its own.
func TestOpenedLog(t *testing.T) {
	for format, want := range map[string]string{"": "program=watch", "text": "level=ERROR", "json": `"level":"ERROR"`} {
		var lines bytes.Buffer
		c := records.Channel{Name: "log", Kind: records.LogChannel, Format: format}
		l, err := channel.Open(&c, around(&lines))
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Send(context.Background(), failedCheck()); err != nil {
			t.Error(err)
		}
		if got := lines.String(); !strings.Contains(got, want) || strings.Contains(got, "program=watch") != (format == "") {
			t.Errorf("%s: %s", format, got)
		}
	}
}
