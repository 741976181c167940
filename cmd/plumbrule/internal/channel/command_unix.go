//go:build unix

package channel

import (
	"os"
	"os/exec"
	"syscall"
)

// inGroup makes the program the head of a process group of its own, which is killed as a whole when its time is out.
func inGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error {
		if err := syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL); err != nil {
			return os.ErrProcessDone
		}
		return nil
	}
}

// endGroup kills what the program has left behind in its group.
func endGroup(cmd *exec.Cmd) {
	if cmd.Process != nil {
		_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) // there is mostly nobody left, which is an error here
	}
}
