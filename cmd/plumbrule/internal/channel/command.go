package channel

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// CommandSettings say which program is run for each message.
type CommandSettings struct {
	// Command is the program's whole path and its arguments. There is no shell: nothing in them is expanded.
	Command []string
	// Env is added to the environment, each as NAME=value. The program gets nothing of the watcher's own.
	Env     []string
	Timeout time.Duration
}

// Command runs a program with the message as JSON on its standard input, see [Message.JSON].
//
// Its environment is PATH with the system's folders, LANG=C.UTF-8, PLUMBRULE_MESSAGE with the message's ID (a hash of it if it has
// other signs than letters, digits, - and _) and what the settings add; its folder is the root. Exit status 0 means that
// the message was taken, 75 (EX_TEMPFAIL of sysexits.h) that it should be sent again, any other that it never will be. A program that cannot be
// started, that is ended by a signal or runs out of time has not said anything: that is temporary. When the time is out, and when
// it has ended, all that still runs in its process group is killed. What has left the group, as a child that began a session of
// its own (setsid), is out of reach and goes on; a service manager that keeps a control group ends it with the service.
type Command struct {
	name     string
	settings CommandSettings
}

// NewCommand checks the settings. The program is looked for when there is a message. The error is a [*SettingError].
func NewCommand(name string, settings CommandSettings) (*Command, error) {
	setting := func(key, found, expected, mend string) error {
		return &SettingError{Channel: name, Key: key, Found: found, Expected: expected, Mend: mend}
	}
	if len(settings.Command) == 0 || !filepath.IsAbs(settings.Command[0]) {
		return nil, setting("command", foundAll(settings.Command), "the whole path of a program and its arguments, each by itself", "")
	}
	for _, text := range slices.Concat(settings.Command, settings.Env) {
		if strings.ContainsRune(text, 0) {
			return nil, setting("command or env", found(text), "a text without NUL", "")
		}
	}
	for _, pair := range settings.Env {
		if at := strings.IndexByte(pair, '='); at < 1 {
			return nil, setting("env", "an entry without a name or =", "NAME=value", "")
		}
	}
	var err error
	if settings.Timeout, err = limitOf(name, settings.Timeout, timeLimit); err != nil {
		return nil, err
	}
	return &Command{name: name, settings: settings}, nil
}

// Name returns the channel's name.
func (c *Command) Name() string { return c.name }

// exTempFail is EX_TEMPFAIL of sysexits.h (4.3BSD): try again later.
const exTempFail = 75

// lingering is how long outputs are waited for that a program's own children keep open.
const lingering = time.Second

// Send runs the program once and waits for its end.
func (c *Command) Send(ctx context.Context, m Message) error {
	if err := m.sendable(); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, c.settings.Timeout)
	defer cancel()
	printed := &ends{}
	cmd := exec.CommandContext(ctx, c.settings.Command[0], c.settings.Command[1:]...)
	cmd.Dir = string(filepath.Separator)
	cmd.Env = append([]string{
		"PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C.UTF-8", "PLUMBRULE_MESSAGE=" + m.token(),
	}, c.settings.Env...)
	cmd.Stdin = bytes.NewReader(m.JSON())
	cmd.Stdout, cmd.Stderr = printed, printed
	cmd.WaitDelay = lingering
	inGroup(cmd)
	err := cmd.Run()
	endGroup(cmd)
	return c.outcome(ctx, cmd.ProcessState, err, printed)
}

// outcome says what has become of the message: what the program said by its status counts, whatever became of its outputs
// and of its time afterwards. ended is nil if it was not started.
func (c *Command) outcome(ctx context.Context, ended *os.ProcessState, err error, printed *ends) error {
	out := &Error{Place: "command " + c.settings.Command[0], Err: err}
	switch {
	case ended != nil && ended.ExitCode() == 0:
		return nil
	case ended != nil && ended.ExitCode() == exTempFail:
		out.What, out.Mend = fmt.Sprintf("asks to be run again later: exit status %d", exTempFail), "it will be tried again"
	case ended != nil && ended.ExitCode() > 0:
		out.Refused = true
		out.What, out.Mend = fmt.Sprintf("refused the message: exit status %d", ended.ExitCode()), fmt.Sprintf("look into what it does; exit status %d asks to be run again", exTempFail)
	case errors.Is(ctx.Err(), context.Canceled):
		out.What, out.Mend = "was ended because the watcher stops", "it will be tried again"
	case ctx.Err() != nil:
		out.What, out.Mend = "did not end within "+c.settings.Timeout.String()+" and was killed", "look what it waits for; timeout can be raised"
	case ended == nil:
		out.What, out.Mend = "could not be run: "+line(err.Error(), longestLine), "check command and the program's permissions"
	default:
		out.What, out.Mend = "was ended from outside: "+ended.String(), "it will be tried again"
	}
	if text := printed.String(); text != "" {
		out.What += ", it printed " + text
	}
	return out
}
