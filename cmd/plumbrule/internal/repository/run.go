package repository

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"

	"plumbrule/records/history"
)

// Runner runs git in one folder, for package history. What it runs reads true
// objects only, fetches nothing, and starts no program that the repository's own
// settings name.
type Runner struct {
	program string
	dir     string
	index   string // the file of another index; empty: the usual one
}

// Option changes how git is run.
type Option func(*Runner)

// Index has git look at the index in another file, by its absolute path: that is
// where the one is that a hook is to look at.
func Index(file string) Option { return func(g *Runner) { g.index = file } }

// Git returns what runs git in a folder; [ErrNoGit] where git is not installed.
func Git(dir string, options ...Option) (*Runner, error) {
	program, err := exec.LookPath("git")
	if err != nil {
		return nil, ErrNoGit
	}
	g := &Runner{program: program, dir: dir}
	for _, o := range options {
		o(g)
	}
	return g, nil
}

// Start starts one command.
func (g *Runner) Start(ctx context.Context, args ...string) (history.Process, error) {
	ctx, stop := context.WithCancel(ctx)
	fixed := []string{
		"-C", g.dir, "--no-pager", "--no-optional-locks", "--literal-pathspecs", "--no-replace-objects",
		"-c", "core.quotepath=off", "-c", "core.fsmonitor=false", "-c", "core.hooksPath=" + os.DevNull, "-c", "submodule.recurse=false",
		"-c", "log.showSignature=false", "-c", "log.mailmap=false", "-c", "protocol.allow=never",
		// Whoever names a folder that is a bare repository means that one.
		"-c", "safe.bareRepository=all",
		// Signatures are verified by the programs of the system, whatever the repository would have.
		"-c", "gpg.program=gpg", "-c", "gpg.openpgp.program=gpg", "-c", "gpg.x509.program=gpgsm", "-c", "gpg.ssh.program=ssh-keygen",
	}
	p := &process{stop: stop, verb: args[0], command: exec.CommandContext(ctx, g.program, append(fixed, args...)...)}
	p.command.Env = append(environment(os.Environ()), "GIT_NO_REPLACE_OBJECTS=1", "GIT_GRAFT_FILE="+os.DevNull+"/none", "GIT_NO_LAZY_FETCH=1")
	if g.index != "" {
		p.command.Env = append(p.command.Env, "GIT_INDEX_FILE="+g.index)
	}
	p.command.Stderr = &p.complaint
	var err error
	if p.in, err = p.command.StdinPipe(); err != nil {
		stop()
		return nil, err
	}
	if p.out, err = p.command.StdoutPipe(); err != nil {
		stop()
		return nil, err
	}
	if err := p.command.Start(); err != nil {
		stop()
		return nil, err
	}
	return p, nil
}

// process is a git that runs.
type process struct {
	command   *exec.Cmd
	stop      context.CancelFunc
	verb      string
	in        io.WriteCloser
	out       io.ReadCloser
	complaint bytes.Buffer
	finished  bool // all it prints was read
	closed    bool
	result    error
}

func (p *process) Write(b []byte) (int, error) { return p.in.Write(b) }
func (p *process) CloseWrite() error           { return p.in.Close() }

func (p *process) Read(b []byte) (int, error) {
	n, err := p.out.Read(b)
	p.finished = p.finished || errors.Is(err, io.EOF)
	return n, err
}

func (p *process) Close() error {
	if p.closed {
		return p.result
	}
	p.closed = true
	if !p.finished {
		p.stop()
	}
	err := p.command.Wait()
	p.stop()
	if !p.finished {
		return nil // it was made an end of
	}
	p.result = p.refusal(err)
	return p.result
}

// refusal turns the error of a command that ended badly into what git said.
func (p *process) refusal(err error) error {
	var exit *exec.ExitError
	if !errors.As(err, &exit) {
		return err
	}
	said := strings.TrimSpace(p.complaint.String())
	if strings.Contains(said, "not a git repository") {
		return ErrNoGit
	}
	if exit.ExitCode() < 0 {
		return fmt.Errorf("git %s %w: %w", p.verb, history.ErrEnded, err)
	}
	return &history.Refusal{Verb: p.verb, Status: exit.ExitCode(), Said: said}
}
