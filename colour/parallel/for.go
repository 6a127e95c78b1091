// Package parallel shares work out over the processors.
package parallel

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// For calls do(0) … do(n−1) from the given number of workers, 0 for one to a
// processor, and returns when all are done. They start in order.
func For(workers, n int, do func(i int)) {
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers = min(workers, n); workers <= 1 {
		for i := range n {
			do(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
}
