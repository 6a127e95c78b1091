package search

import (
	"tawny/blend/film"
	"testing"
	"time"
)

// Eight powders whose colours say little about their shares: the search for
// whole steps must still end, well before anyone gives up on it.
func TestRoundingEndsForManyPowders(t *testing.T) {
	p := drawer(t)
	r := forwardCase(t, p, 3).request
	r.LoadLo, r.LoadHi = 4, 4
	var parts []film.Part
	for _, g := range p.Pigments[:8] {
		parts = append(parts, film.Part{Pigment: g, Percent: 0.5})
	}
	done := make(chan error, 1)
	go func() {
		_, err := Round(r, parts, 200, 0.01)
		done <- err
	}()
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("rounding eight powders does not end")
	}
}
