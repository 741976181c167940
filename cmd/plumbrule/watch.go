package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/watch"
)

type watchFlags struct {
	state, listen           *string
	logFormat               *parsed[string]
	once, check, dry, debug *bool
	strict                  *bool
}

func newWatchCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "watch",
		Short:   "follow the records, take in dropped scans, tell who is concerned, show a page",
		GroupID: groupDaily,
		Long: "Watch notices new results, judges anew what they can affect, and tells those concerned of each change once: by the channels and routes of " +
			"plumbrule.toml, or in its log where there are none. It takes in what is dropped into the folder inbox, and serves a status page on this machine. " +
			"What it has told it keeps in a state directory outside the records. It ends with SIGTERM or SIGINT, and sets itself up anew with SIGHUP and when plumbrule.toml changes.",
		Example: "  plumbrule watch --once --strict\n  plumbrule watch --once --dry-run\n  plumbrule watch --check",
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "it was asked to end; with --once or --check: all that was to be told was told",
			"1", "with --once --strict: an alert stands; with --once or --check: something could not be delivered",
			"3", "the records, the state directory or the page's address cannot be used, or another watcher is at work",
		), "alerts", "status"),
	}
	flags := flagsOf(cmd)
	flags.head("What to do")
	f := watchFlags{
		once:   flags.yes("once", "look once, take in, tell, and end; for cron and for continuous integration"),
		check:  flags.yes("check", "send a test message through every channel, say what came of it, and end"),
		dry:    flags.yes("dry-run", "tell nobody and take nothing in: print what would be sent"),
		strict: flags.yes("strict", "with --once: exit with status 1 if an alert stands"),
	}
	flags.head("Where")
	f.state = flags.state()
	f.listen = flags.text("listen", "`ADDRESS` and port of the status page, or none; instead of what the settings say")
	flags.head("Its log, on standard error")
	f.logFormat = readFlag(flags, "log", "write the log as `FORM`: text or json; text if not given", oneOf("text", "json"))
	f.debug = flags.yes("debug", "log also what matters only when looking for a mistake")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		switch {
		case *f.once && *f.check:
			return misused("--once and --check, expected one of them", "check the channels first, then look once")
		case *f.strict && !*f.once:
			return misused("--strict without --once", "add --once; a watcher that goes on has no end with a status")
		}
		return e.watch(cmd, &f)
	}
	return cmd
}

func (e env) watch(cmd *cobra.Command, f *watchFlags) error {
	r, err := repository.Find(e.Dir)
	if err != nil {
		return unreadable(err.Error(), `name the records with -C, or begin with "plumbrule init"`, err)
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	s := &station{env: e, flags: f, format: formatOf(cmd), repository: r, log: e.logger(e.Stderr, f), clock: wallClock{e.Now}, state: e.stateFolder(*f.state, r.Root)}
	switch {
	case *f.check:
		return s.check()
	case *f.dry:
		return s.dryRun(ctx)
	}
	if within(r.Root, s.state) {
		return misused("--state "+s.state+" lies among the records, expected a folder outside", "leave the flag out, or name another folder")
	}
	lock, err := watch.Take(r.Root, s.state, fmt.Sprintf("process %d, records %s", os.Getpid(), r.Root))
	if errors.Is(err, watch.ErrLocked) {
		return unreadable(err.Error(), "end that one first: one watcher looks after a repository", err)
	}
	if err != nil {
		return unreadable("the state directory cannot be used: "+plainCause(err), "give a folder that can be written to with --state", err)
	}
	defer lock.Release()
	s.lock = lock
	if *f.once {
		return s.once(ctx)
	}
	return s.follow(ctx)
}

// within tells whether a path is that of a folder or lies below it.
func within(folder, path string) bool {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return false
	}
	below, err := filepath.Rel(folder, absolute)
	return err == nil && filepath.IsLocal(below)
}

// logger writes what happens, for a person or a program to read.
func (e env) logger(w io.Writer, f *watchFlags) *slog.Logger {
	options := &slog.HandlerOptions{Level: slog.LevelInfo}
	if *f.debug {
		options.Level = slog.LevelDebug
	}
	if f.logFormat.value == "json" {
		return slog.New(slog.NewJSONHandler(w, options))
	}
	return slog.New(slog.NewTextHandler(w, options))
}

// wallClock is the clock of the program's environment. Waiting is by the system's.
type wallClock struct{ now func() time.Time }

func (c wallClock) Now() time.Time                         { return c.now() }
func (c wallClock) After(d time.Duration) <-chan time.Time { return time.After(d) }

// hangups tells of SIGHUP, which asks for everything to be set up anew, until the context ends.
func hangups(ctx context.Context) <-chan struct{} {
	signals, out := make(chan os.Signal, 1), make(chan struct{}, 1)
	signal.Notify(signals, syscall.SIGHUP)
	go func() {
		defer signal.Stop(signals)
		for {
			select {
			case <-signals:
				select {
				case out <- struct{}{}:
				default: // one is waiting
				}
			case <-ctx.Done():
				return
			}
		}
	}()
	return out
}

// service is the service manager that started the program, if one did.
func (e env) service() (watch.Service, time.Duration) {
	socket, _ := e.LookupEnv("NOTIFY_SOCKET")
	every, _ := e.LookupEnv("WATCHDOG_USEC")
	if of, given := e.LookupEnv("WATCHDOG_PID"); given && of != strconv.Itoa(os.Getpid()) {
		every = ""
	}
	return watch.Service{Socket: socket}, watch.WatchdogEvery(every)
}
