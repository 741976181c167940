//go:build linux

package main

import (
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// manager is what a service manager sees of a watcher: the words sent to its socket.
type manager struct {
	*testing.T
	socket *net.UnixConn
	seen   []string
}

func newManager(t *testing.T) (m *manager, socket string) {
	t.Helper()
	socket = filepath.Join(t.TempDir(), "notify")
	c, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: socket, Net: "unixgram"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	return &manager{T: t, socket: c}, socket
}

// until waits for a word.
func (m *manager) until(word string) {
	m.Helper()
	if err := m.socket.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
		m.Fatal(err)
	}
	for buffer := make([]byte, 4096); ; {
		n, err := m.socket.Read(buffer)
		if err != nil {
			m.Fatalf("%s was not said, only %q: %v", word, m.seen, err)
		}
		m.seen = append(m.seen, string(buffer[:n]))
		if string(buffer[:n]) == word {
			return
		}
	}
}

func TestServiceManager(t *testing.T) {
	m, socket := newManager(t)
	y := newYard(t, "")
	y.env = append(y.env, "NOTIFY_SOCKET="+socket, "WATCHDOG_USEC=600000")
	cmd := y.watcher()
	m.until("READY=1")
	m.until("WATCHDOG=1")
	m.until("WATCHDOG=1")
	if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	m.until("RELOADING=1")
	m.until("READY=1")
	y.stops(cmd)
	m.until("STOPPING=1")
}

// git runs git in the yard and returns what it printed.
func (y *yard) git(args ...string) string {
	y.Helper()
	cmd := exec.CommandContext(y.Context(), "git", append([]string{"-C", y.root, "-c", "user.name=jt", "-c", "user.email=jt@works.example"}, args...)...)
	cmd.Env = y.env
	text, err := cmd.CombinedOutput()
	if err != nil {
		y.Fatalf("git %s: %v\n%s", strings.Join(args, " "), err, text)
	}
	return string(text)
}

// What was taken in is committed with the operator as author, and nothing is touched while somebody else is preparing a commit.
func TestCommitOfWhatIsTakenIn(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("git is not installed")
	}
	y := newYard(t, "[[person]]\ninitials = \"mk\"\nmail = \"mk@works.example\"\n")
	y.write("plumbrule.toml", strings.Replace(y.read("plumbrule.toml"), "[watch]\n", "[watch]\ncommit = true\n", 1))
	y.env = append(y.env, "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1",
		"GIT_COMMITTER_NAME=plumbrule", "GIT_COMMITTER_EMAIL=plumbrule@works.example")
	y.git("init", "--quiet", "--initial-branch=main")
	y.git("config", "user.name", "plumbrule")
	y.git("config", "user.email", "plumbrule@works.example")
	y.git("add", ".")
	y.git("commit", "--quiet", "-m", "start")
	start := time.Now().Truncate(time.Minute).Add(-48 * time.Hour)

	cmd := y.watcher()
	y.drop(1, "scan-1", start)
	y.settled(20*time.Second, cmd, "the first is committed", func() bool { return strings.Count(y.git("log", "--oneline"), "\n") == 2 })
	if got := y.git("log", "-1", "--format=%an <%ae>|%cn|%s"); !strings.HasPrefix(got, "mk <mk@works.example>|plumbrule|Check of scan-1 taken in: checks/scan-1/") {
		t.Errorf("committed as %q", got)
	}

	y.write("half-done.txt", "somebody is at work\n")
	y.git("add", "half-done.txt")
	y.drop(2, "scan-1", start.Add(time.Hour))
	y.settled(30*time.Second, cmd, "that it waits is told", func() bool {
		times, _ := y.receiver.count("raised inbox commit-failing")
		return times == 1
	})
	if n := strings.Count(y.git("log", "--oneline"), "\n"); n != 2 {
		t.Errorf("%d commits in the middle of another's work", n)
	}
	y.git("commit", "--quiet", "-m", "done")
	y.settled(time.Minute, cmd, "the second is committed when the other has ended", func() bool { return strings.Count(y.git("log", "--oneline"), "\n") == 4 })
	y.stops(cmd)
	if left := y.git("status", "--porcelain", "--", "checks"); left != "" {
		t.Errorf("not committed: %s", left)
	}
}
