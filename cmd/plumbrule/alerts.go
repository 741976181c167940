package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

func newAlertsCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "alerts",
		Short:   "list what the watcher has raised, or acknowledge it",
		GroupID: groupDaily,
		Long: "Alerts lists what stands: reasons against the use of a device that the watcher has noticed, whether somebody has acknowledged them, and " +
			"since when. \"plumbrule alerts acknowledge\" ends reminders. An alert is cleared by itself when its reason is gone. It reads what the watcher has noted, and judges nothing itself.",
		Example: "  plumbrule alerts\n  plumbrule alerts --cleared --format json",
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "the alerts were listed",
			"1", "with --strict: one stands that nobody has acknowledged",
			"3", "what the watcher has noted cannot be read",
		), "watch", "status"),
	}
	flags := flagsOf(cmd)
	state := flags.state()
	cleared := flags.yes("cleared", "list also what was cleared of late")
	strict := flags.strict()
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		b, err := e.notebook(*state)
		if err != nil {
			return err
		}
		list, notes, err := alert.Read(b.state)
		if err != nil {
			return unreadable(fmt.Sprintf("what the watcher has noted cannot be read: %s", plainCause(err)), "mend the permissions of "+b.state, err)
		}
		if !watch.Known(b.state) {
			return nobody(b.state)
		}
		for _, note := range notes {
			fmt.Fprintf(e.Stderr, "plumbrule: note: %s\n", note)
		}
		a := b.chosen(list, *cleared)
		if err := e.print(formatOf(cmd), a.answer()); err != nil {
			return err
		}
		return attention(*strict, a.raised() > 0)
	}
	cmd.AddCommand(newAcknowledgeCommand(e))
	return cmd
}

func newAcknowledgeCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "acknowledge ALERT",
		Short: "record who has taken note of an alert, and why no more need be said",
		Long: "Acknowledge ends reminders and escalation of one alert, named by its id or the beginning of it, or of everything that stands about a device " +
			"named. The alert itself stands until its reason is gone; one that becomes graver is raised again. A watcher at work takes it over within seconds.",
		Example:     "  plumbrule alerts acknowledge scan-02 --by mk --why 'bar is being re-measured'",
		Annotations: seeAlso(statuses("0", "it is acknowledged", "1", "no such alert stands, or somebody else was first"), "alerts"),
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused(fmt.Sprintf("%s named, expected one", counted(len(args), "alert")), `"plumbrule alerts" lists the ids`)
			}
			return nil
		},
	}
	flags := flagsOf(cmd)
	by := flags.text("by", "`INITIALS` of who acknowledges")
	why := flags.text("why", "the `REASON`, such as what is being done")
	state := flags.state()
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		switch {
		case *by == "":
			return misused("it is not said who acknowledges", "give --by and the initials")
		case *why == "":
			return misused("it is not said why", "give --why and a reason, such as what is being done about it")
		}
		b, err := e.notebook(*state)
		if err != nil {
			return err
		}
		list, _, err := alert.Read(b.state)
		if err != nil {
			return unreadable(fmt.Sprintf("what the watcher has noted cannot be read: %s", plainCause(err)), "mend the permissions of "+b.state, err)
		}
		if !watch.Known(b.state) {
			return nobody(b.state)
		}
		key, found := alert.Find(list, args[0])
		if !found {
			key = alert.Key{Subject: args[0]}
		}
		if err := e.acknowledge(b, alert.Request{Key: key, By: *by, Why: *why, At: e.Now()}); err != nil {
			return err
		}
		what := key.Subject
		if key.Code != "" {
			what += ": " + key.Code
		}
		_, err = fmt.Fprintf(e.Stdout, "acknowledged by %s: %s\n", *by, what)
		return err
	}
	return cmd
}

// nobody says that nothing is known, which is another thing than that nothing stands.
func nobody(state string) error {
	return unreadable("no watcher has noted anything in "+state+", so nothing is known of alerts",
		"name the folder that the watcher uses with --state, such as /var/lib/plumbrule for a service; or look once with \"plumbrule watch --once\"", nil)
}

// state adds the flag that says where the watcher keeps what it has told.
func (f *flagSet) state() *string {
	return f.text("state", "`DIR` in which the watcher keeps what it has told, if not $STATE_DIRECTORY or one of the user's own")
}

// notebook is where the watcher of a repository keeps what it has told.
type notebook struct {
	root, state string
	site        *records.Site
	at          time.Time
}

func (e env) notebook(flag string) (*notebook, error) {
	r, err := repository.Find(e.Dir)
	if err != nil {
		return nil, unreadable(err.Error(), `name the records with -C, or begin with "plumbrule init"`, err)
	}
	site, _ := records.ReadSite(r.FS())
	return &notebook{root: r.Root, state: e.stateFolder(flag, r.Root), site: site, at: e.Now()}, nil
}

// acknowledge does so itself where no watcher is at work, and otherwise asks the one that is.
func (e env) acknowledge(b *notebook, r alert.Request) error {
	refuse := func(err error) error { return &failure{status: statusAttention, what: err.Error(), cause: err} }
	lock, err := watch.Take("", b.state, "plumbrule alerts acknowledge")
	if errors.Is(err, watch.ErrLocked) {
		return e.ask(b, r, refuse)
	}
	if err != nil {
		return unreadable(fmt.Sprintf("the watcher's notes cannot be written: %s", plainCause(err)), "mend the permissions of "+b.state, err)
	}
	defer lock.Release()
	book, err := alert.Open(b.state, wallClock{e.Now}, alert.SettingsOf(b.site))
	if err != nil {
		return unreadable(fmt.Sprintf("the watcher's notes cannot be read: %s", plainCause(err)), "mend the permissions of "+b.state, err)
	}
	defer book.Close() //nolint:errcheck // what matters was written, or is an error already
	if err := book.Acknowledge(r.Key, r.By, r.Why, r.At); err != nil {
		return refuse(err)
	}
	return nil
}

// How long the watcher is given to take over what it is asked.
const (
	answerTime = 15 * time.Second
	asking     = 100 * time.Millisecond
)

// ask leaves the request with the watcher at work, and waits until it is answered.
func (e env) ask(b *notebook, r alert.Request, refuse func(error) error) error {
	if err := alert.Leave(b.state, r); err != nil {
		return unreadable(fmt.Sprintf("the watcher cannot be asked: %s", plainCause(err)), "mend the permissions of "+b.state, err)
	}
	for waited := time.Duration(0); waited < answerTime; waited += asking {
		<-time.After(asking)
		if left, err := alert.Left(b.state, r); err == nil && left {
			continue
		}
		list, _, err := alert.Read(b.state)
		if err == nil && slices.ContainsFunc(list, func(a alert.Alert) bool {
			return r.Covers(a.Key) && a.Acknowledged != nil && a.Acknowledged.By == r.By
		}) {
			return nil
		}
		return refuse(fmt.Errorf("the watcher did not acknowledge it: no such alert stands (%s), or somebody else was first; its log says which",
			strings.TrimSpace(r.Subject+" "+r.Code)))
	}
	return refuse(errors.New("the watcher has not answered; the request stays, and is done as soon as it does"))
}
