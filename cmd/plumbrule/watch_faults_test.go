//go:build linux

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// A disk that is full keeps the watcher from noting and from taking in, not from telling; with room again it goes on, and
// nothing is lost.
func TestFullDisk(t *testing.T) {
	y := newYard(t, "")
	disk := t.TempDir()
	if err := syscall.Mount("plumbrule", disk, "tmpfs", 0, "size=2m"); err != nil {
		t.Skipf("no file system can be mounted here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) })
	root := filepath.Join(disk, "yard")
	if err := os.CopyFS(root, os.DirFS(y.root)); err != nil {
		t.Fatal(err)
	}
	y.root, y.state = root, filepath.Join(disk, "state")
	start := time.Now().Truncate(time.Minute).Add(-48 * time.Hour)
	for n := range 3 {
		y.scanner(fmt.Sprintf("scan-f%d", n))
	}
	cmd := y.watcher()
	y.settled(20*time.Second, cmd, "it is at work", func() bool {
		times, _ := y.receiver.count("raised scan-f0 never-checked")
		return times == 1
	})

	y.failing("scan-f0", start)
	y.drop(1, "scan-1", start) // lies there before the disk is full
	filling := y.fill(disk)
	y.settled(40*time.Second, cmd, "the failure is told although the disk is full", func() bool {
		times, _ := y.receiver.count("raised scan-f0 quantity-failed")
		return times == 1
	})
	<-time.After(2 * time.Second)
	if err := os.Remove(filling); err != nil {
		t.Fatal(err)
	}
	y.settled(90*time.Second, cmd, "with room again all is taken in", func() bool { return y.inboxEmpty() })
	y.failing("scan-f1", start)
	y.settled(30*time.Second, cmd, "and told", func() bool {
		times, _ := y.receiver.count("raised scan-f1 quantity-failed")
		return times == 1
	})
	y.stops(cmd)
	for n := range 2 {
		if times, _ := y.receiver.count(fmt.Sprintf("raised scan-f%d quantity-failed", n)); times != 1 {
			t.Errorf("scan-f%d was told %d times", n, times)
		}
	}
	set := y.loaded()
	if got := len(set.Checks["scan-1"]); got != 2 {
		t.Errorf("%d checks of scan-1, want the one that was there and the one dropped", got)
	}
}

// fill writes until nothing more goes.
func (y *yard) fill(disk string) string {
	y.Helper()
	name := filepath.Join(disk, "filling")
	f, err := os.Create(name)
	if err != nil {
		y.Fatal(err)
	}
	for size := 64 << 10; size > 0; {
		if _, err = f.Write(make([]byte, size)); err != nil {
			size /= 2
		}
	}
	if !errors.Is(err, syscall.ENOSPC) {
		y.Fatalf("the disk is not full: %v", err)
	}
	_ = f.Close() // what it holds is of no use
	return name
}

// restricted makes the watcher one whom permissions bind, which they do not the superuser.
func (y *yard) restricted() {
	y.Helper()
	if os.Geteuid() != 0 {
		return
	}
	const nobody = 65534
	for _, root := range []string{y.root, y.state} {
		for at := filepath.Dir(root); len(at) > len(os.TempDir()); at = filepath.Dir(at) {
			if err := os.Chmod(at, 0o755); err != nil {
				y.Fatal(err)
			}
		}
		err := filepath.WalkDir(root, func(name string, _ fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			return os.Chown(name, nobody, nobody)
		})
		if err != nil {
			y.Fatal(err)
		}
	}
	y.as = &syscall.Credential{Uid: nobody, Gid: nobody}
	// The test's own program lies where only who runs the test may look.
	program, err := os.ReadFile("/proc/self/exe")
	if err != nil {
		y.Fatal(err)
	}
	y.program = filepath.Join(filepath.Dir(y.root), "plumbrule")
	if err := os.WriteFile(y.program, program, 0o755); err != nil { //nolint:gosec // it is to be run by another
		y.Fatal(err)
	}
}

func TestPermissionIsTakenAway(t *testing.T) {
	y := newYard(t, "")
	y.scanner("scan-p0")
	y.restricted()
	cmd := y.watcher()
	told := func(what string) func() bool {
		return func() bool {
			times, _ := y.receiver.count(what)
			return times > 0
		}
	}
	y.settled(30*time.Second, cmd, "it is at work", told("raised scan-p0 never-checked"))
	checks := filepath.Join(y.root, "checks", "scan-1")
	if err := os.Chmod(checks, 0); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Chmod(checks, 0o755) }) //nolint:gosec // as it was
	y.settled(30*time.Second, cmd, "the device is not called fit any more", told("raised scan-1 record-unreadable"))
	if err := os.Chmod(checks, 0o755); err != nil { //nolint:gosec // as it was
		t.Fatal(err)
	}
	y.settled(30*time.Second, cmd, "and it is when its records can be read again", told("cleared scan-1 record-unreadable"))
	y.stops(cmd)
}

func TestReadOnlyTree(t *testing.T) {
	y := newYard(t, "")
	y.scanner("scan-r0")
	start := time.Now().Truncate(time.Minute).Add(-48 * time.Hour)
	y.drop(1, "scan-1", start)
	y.restricted()
	var folders []string
	err := filepath.WalkDir(y.root, func(name string, entry fs.DirEntry, err error) error {
		if err == nil && entry.IsDir() {
			folders = append(folders, name)
			err = os.Chmod(name, 0o555)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	open := func() {
		for _, name := range folders {
			_ = os.Chmod(name, 0o755) //nolint:gosec // as it was
		}
	}
	t.Cleanup(open)
	cmd := y.watcher()
	y.settled(30*time.Second, cmd, "it judges all the same, and says what it cannot take in", func() bool {
		judged, _ := y.receiver.count("raised scan-r0 never-checked")
		trouble, _ := y.receiver.count("raised inbox inbox-trouble")
		return judged == 1 && trouble == 1
	})
	open()
	y.settled(90*time.Second, cmd, "what was dropped is taken in when it can be", y.inboxEmpty)
	y.stops(cmd)
}

// Two watchers of one repository and one state directory: exactly one is at work.
func TestTwoWatchersStartedTogether(t *testing.T) {
	y := newYard(t, "")
	y.scanner("scan-t0")
	both := []*exec.Cmd{y.watcher(), y.watcher()}
	ended := make(chan *exec.Cmd, 2)
	for _, cmd := range both {
		go func() {
			_ = cmd.Wait() // one is refused, the other ended below
			ended <- cmd
		}()
	}
	var refused *exec.Cmd
	select {
	case refused = <-ended:
	case <-time.After(20 * time.Second):
		t.Fatal("both are at work")
	}
	if status := refused.ProcessState.ExitCode(); status != statusUnreadable {
		t.Errorf("the second ended with status %d\n%s", status, refused.Stderr)
	}
	at := both[0]
	if at == refused {
		at = both[1]
	}
	y.settled(20*time.Second, at, "the other tells", func() bool {
		times, _ := y.receiver.count("raised scan-t0 never-checked")
		return times == 1
	})
	if err := at.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	<-ended
	if times, _ := y.receiver.count("raised scan-t0 never-checked"); times != 1 {
		t.Errorf("told %d times", times)
	}
}
