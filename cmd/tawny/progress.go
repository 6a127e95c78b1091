package main

import (
	"fmt"
	"os"
	"time"

	"tawny/cmd/tawny/job"
)

// progress shows how far a long job is, on a terminal and after a second.
func progress() (func(float64), func()) {
	if !job.IsTerminal(os.Stderr) {
		return nil, func() {}
	}
	start, last, shown := time.Now(), time.Time{}, false
	share := make(chan float64, 1)
	done := make(chan struct{})
	finished := make(chan struct{})
	go func() {
		defer close(finished)
		for {
			select {
			case x := <-share:
				if now := time.Now(); now.Sub(start) > time.Second && now.Sub(last) > 200*time.Millisecond {
					fmt.Fprintf(os.Stderr, "\r%3.0f %% searched", 100*x)
					last, shown = now, true
				}
			case <-done:
				if shown {
					fmt.Fprint(os.Stderr, "\r                \r")
				}
				return
			}
		}
	}()
	report := func(x float64) {
		select {
		case share <- x:
		default:
		}
	}
	return report, func() { close(done); <-finished }
}
