package main

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// begun begins something that takes a while. The function returned waits for it.
func begun[T any](work func() (T, error)) func() (T, error) {
	var out T
	var err error
	done := make(chan struct{})
	go func() {
		defer close(done)
		out, err = work()
	}()
	return func() (T, error) {
		<-done
		return out, err
	}
}

// sideBySide does the work for every index below n on all cores. Of errors it returns that of the lowest index, whatever came
// first: indices are begun in their order, and none after an error.
func sideBySide(n int, work func(int) error) error {
	var next atomic.Int64
	var failed atomic.Bool
	var wait sync.WaitGroup
	errs := make([]error, n)
	for range min(runtime.GOMAXPROCS(0), n) {
		wait.Go(func() {
			for !failed.Load() {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if errs[i] = work(i); errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
