package parallel

import (
	"sync/atomic"
	"testing"
)

// What is kept is made once, however many ask for it at a time, and begins anew where
// more would be kept than may be.
func TestOnceMakesEachOnce(t *testing.T) {
	kept := Once[int, int]{Most: 3}
	var made [4]atomic.Int32
	ask := func(key int) {
		got, err := kept.Get(key, func() (int, error) { made[key].Add(1); return 10 * key, nil })
		if err != nil || got != 10*key {
			t.Errorf("%d is kept as %d, %v", key, got, err)
		}
	}
	For(4, 300, func(i int) { ask(i % 3) })
	for key := range 3 {
		if n := made[key].Load(); n != 1 {
			t.Errorf("%d was made %d times", key, n)
		}
	}
	ask(3)
	ask(0)
	if n := made[0].Load(); n != 2 {
		t.Errorf("0 was made %d times after a fourth was kept", n)
	}
}
