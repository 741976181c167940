package main

import (
	"context"
	"fmt"
	"os"
	"runtime/pprof"
	"syscall"
	"time"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records/history"
)

func cpu(who int) float64 {
	var u syscall.Rusage
	syscall.Getrusage(who, &u)
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

func main() {
	dir := os.Args[1]
	if len(os.Args) > 2 {
		f, _ := os.Create(os.Args[2])
		pprof.StartCPUProfile(f)
		defer pprof.StopCPUProfile()
	}
	start := time.Now()
	git, _ := repository.Git(dir)
	ctx := context.Background()
	r, err := history.Open(ctx, git)
	if err != nil {
		panic(err)
	}
	tip, err := r.Commit(ctx, "HEAD")
	if err != nil {
		panic(err)
	}
	l, err := r.Log(ctx, tip)
	if err != nil {
		panic(err)
	}
	if os.Getenv("DUMP") != "" {
		for _, f := range l.Files {
			fmt.Printf("%q %s\n", f.Path, f.Object)
			for i := range f.Changes {
				c := &f.Changes[i]
				fmt.Printf("  %s %q %q %q %q %s %s %v\n", l.Commit(c).Subject, c.Kind, c.Manner, c.Path, c.From, c.Old, c.New, c.Irregular)
			}
		}
		return
	}
	fmt.Printf("%d files wall %.2f own cpu %.2f children cpu %.2f\n", len(l.Files), time.Since(start).Seconds(), cpu(0), cpu(-1))
}
