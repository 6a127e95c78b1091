package parallel

import (
	"sync/atomic"
	"testing"
)

// Each is done once, however many workers there are.
func TestForDoesEachOnce(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 7, 1000} {
		for _, n := range []int{0, 1, 2, 500} {
			done := make([]atomic.Int32, n)
			For(workers, n, func(i int) { done[i].Add(1) })
			for i := range done {
				if got := done[i].Load(); got != 1 {
					t.Errorf("%d workers did %d of %d %d times", workers, i, n, got)
				}
			}
		}
	}
}
