package main

import (
	"fmt"
	"os"
	"sync"
	"time"

	"tawny/cmd/tawny/job"
)

// progress shows how far a long job is, on a terminal and after a second, until it
// is stopped.
func progress() (report func(float64), stop func()) {
	if !job.IsTerminal(os.Stderr) {
		return nil, func() {}
	}
	var mu sync.Mutex
	start, last, over := time.Now(), time.Time{}, false
	report = func(share float64) {
		mu.Lock()
		defer mu.Unlock()
		if now := time.Now(); !over && now.Sub(start) > time.Second && now.Sub(last) > 200*time.Millisecond {
			fmt.Fprintf(os.Stderr, "\r%3.0f %% searched", 100*share)
			last = now
		}
	}
	return report, func() {
		mu.Lock()
		defer mu.Unlock()
		if over = true; !last.IsZero() {
			fmt.Fprint(os.Stderr, "\r                \r")
		}
	}
}
