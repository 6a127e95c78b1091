package page

import (
	"context"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"
)

// Every request for work says which tab it is of and carries a number that
// rises. A newer one of the same kind stops the older; an older one that
// arrives late is turned away. A browser that goes away stops its work too,
// since the request's context ends.
const (
	tabHeader  = "X-Tawny-Tab"
	kindHeader = "X-Tawny-Kind"
	turnHeader = "X-Tawny-Turn"
)

// maxTabs bounds what is remembered of tabs; the one longest quiet is dropped.
const maxTabs = 64

type turns struct {
	mu  sync.Mutex
	now map[turnKey]*turn
}

type turnKey struct{ tab, kind string }

type turn struct {
	number int64
	stop   context.CancelFunc
	seen   time.Time
}

// begin enters a request. It returns the context to work under and what to
// call when done, or ok false where a newer request has been.
func (t *turns) begin(r *http.Request) (ctx context.Context, done func(), ok bool) {
	tab, kind := r.Header.Get(tabHeader), r.Header.Get(kindHeader)
	number, err := strconv.ParseInt(r.Header.Get(turnHeader), 10, 64)
	if tab == "" || len(tab)+len(kind) > 128 || err != nil {
		// Not from the page: nothing to compare with.
		return r.Context(), func() {}, true
	}
	key := turnKey{tab, kind}
	t.mu.Lock()
	defer t.mu.Unlock()
	old := t.now[key]
	if old != nil && old.number >= number {
		return nil, nil, false
	}
	if old != nil && old.stop != nil {
		old.stop()
	}
	ctx, stop := context.WithCancel(r.Context())
	mine := &turn{number, stop, time.Now()}
	if t.now == nil {
		t.now = map[turnKey]*turn{}
	}
	if old == nil && len(t.now) >= maxTabs {
		t.forget()
	}
	t.now[key] = mine
	return ctx, func() {
		t.mu.Lock()
		mine.stop = nil
		mine.seen = time.Now()
		t.mu.Unlock()
		stop()
	}, true
}

// forget drops the entry longest quiet.
func (t *turns) forget() {
	oldest := slices.MinFunc(slices.Collect(maps.Keys(t.now)), func(a, b turnKey) int { return t.now[a].seen.Compare(t.now[b].seen) })
	if stop := t.now[oldest].stop; stop != nil {
		stop()
	}
	delete(t.now, oldest)
}
