package page

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log"
	"maps"
	"math"
	"math/rand"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// What must hold.
const (
	liveLimit    = 150 * time.Millisecond
	pictureLimit = 500 * time.Millisecond
	growthLimit  = 1.5   // of the memory in use, last quarter against second
	memoryLimit  = 400.0 // MB in use at any time
)

var load = flag.Duration("load", 0, "how long to measure the page under open tabs, such as 10m")

// Four open tabs, each with a slider being dragged, on two processors:
//
//	go test ./cmd/tawny/page -run TestLoad -load 10m -timeout 20m -v
//
// A tenth of the time goes to one tab alone, the rest to all four. 95 of 100 flat
// updates come back in under 150 ms, 95 of 100 pictures of the one tab in under
// 500 ms, work that is out of date is stopped, and the memory in use does not
// grow.
func TestLoad(t *testing.T) {
	if *load == 0 {
		t.Skip("measured only where -load says how long")
	}
	runtime.GOMAXPROCS(2)
	for _, phase := range []struct {
		tabs   int
		length time.Duration
	}{{1, *load / 10}, {4, *load * 9 / 10}} {
		if err := underLoad(phase.length, phase.tabs); err != nil {
			t.Error(err)
		}
	}
}

func underLoad(length time.Duration, tabs int) error {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	s, err := New(Config{Log: log.New(os.Stderr, "page: ", 0)})
	if err != nil {
		return err
	}
	served := make(chan error, 1)
	go func() { served <- s.Serve(ctx) }()
	jar, err := cookiejar.New(nil)
	if err != nil {
		return err
	}
	http.DefaultClient.Jar = jar
	token, err := tokenOf(s.OpenURL())
	if err != nil {
		return err
	}
	before := runtime.NumGoroutine()

	drag, done := context.WithTimeout(ctx, length)
	defer done()
	var seen tally
	var wg sync.WaitGroup
	for i := range tabs {
		one := &tab{base: s.URL(), token: token, name: fmt.Sprintf("load-%d", i), dice: rand.New(rand.NewSource(int64(i))), seen: &seen, turns: map[string]int{}}
		wg.Go(func() { one.drag(drag) })
	}
	var inUse []float64 // MB, over time
	wg.Go(func() {
		for sleep(drag, length/40) {
			var m runtime.MemStats
			runtime.GC() // what is held, not what is about to be thrown away
			runtime.ReadMemStats(&m)
			inUse = append(inUse, float64(m.HeapInuse)/(1<<20))
		}
	})
	wg.Wait()
	fmt.Printf("%d tabs for %v on %d processors\n", tabs, length, runtime.GOMAXPROCS(0))
	live := seen.report("flat update", &seen.live)
	picture := seen.report("picture", &seen.picture)
	seen.report("search", &seen.match)
	fmt.Printf("searches cut short by the page %d\n", seen.cut)
	quarter := len(inUse) / 4
	early, late := mean(inUse[quarter:2*quarter]), mean(inUse[3*quarter:])
	fmt.Printf("memory in use %.0f MB early, %.0f MB late, %.0f MB at most\n", early, late, slices.Max(inUse))

	// What the tabs asked for ends with them.
	http.DefaultClient.CloseIdleConnections()
	left := 0
	for range 50 {
		if left = runtime.NumGoroutine() - before; left <= 0 {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	stop()
	if err := <-served; err != nil {
		return err
	}
	switch {
	case len(seen.failed) > 0:
		return fmt.Errorf("%d requests failed, the first with: %s", len(seen.failed), seen.failed[0])
	case live > liveLimit:
		return fmt.Errorf("95 of 100 flat updates came within %v; %v is wanted", live, liveLimit)
	case tabs == 1 && picture > pictureLimit:
		return fmt.Errorf("95 of 100 pictures came within %v; %v is wanted", picture, pictureLimit)
	case tabs > 1 && seen.cut == 0:
		return fmt.Errorf("no search was cut short, though sliders moved on")
	case left > 0:
		return fmt.Errorf("%d goroutines are left over after the tabs closed", left)
	case late > growthLimit*early || slices.Max(inUse) > memoryLimit:
		return fmt.Errorf("memory grew from %.0f to %.0f MB, %.0f MB at most", early, late, slices.Max(inUse))
	}
	return nil
}

var tokenTag = regexp.MustCompile(`name="tawny-token" content="([0-9a-f]+)"`)

func tokenOf(base string) (string, error) {
	r, err := http.Get(base)
	if err != nil {
		return "", err
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return "", err
	}
	m := tokenTag.FindSubmatch(body)
	if m == nil {
		return "", fmt.Errorf("the page has no token")
	}
	return string(m[1]), nil
}

// tally is what all tabs saw.
type tally struct {
	mu                   sync.Mutex
	live, picture, match []time.Duration
	cut                  int
	failed               []string
}

func (t *tally) note(list *[]time.Duration, took time.Duration) {
	t.mu.Lock()
	*list = append(*list, took)
	t.mu.Unlock()
}

func (t *tally) fail(err error) {
	t.mu.Lock()
	t.failed = append(t.failed, err.Error())
	t.mu.Unlock()
}

// report prints a line of times and returns the 95th centile.
func (t *tally) report(name string, list *[]time.Duration) time.Duration {
	if len(*list) == 0 {
		fmt.Printf("%s: none\n", name)
		return math.MaxInt64
	}
	slices.Sort(*list)
	at := func(share float64) time.Duration {
		return (*list)[min(len(*list)-1, int(share*float64(len(*list))))].Round(100 * time.Microsecond)
	}
	fmt.Printf("%-12s %6d, half within %v, 95 of 100 within %v, slowest %v\n", name, len(*list), at(0.5), at(0.95), at(1))
	return at(0.95)
}

// tab does what one page does while a slider is dragged.
type tab struct {
	base, token, name string
	dice              *rand.Rand
	seen              *tally

	mu    sync.Mutex
	turns map[string]int
}

// drag moves the slider every 16 ms for a while, rests, and moves on. Flat
// updates follow one at a time and each brings a picture; a search begins
// 220 ms into the rest and is cut short when she moves on first.
func (t *tab) drag(ctx context.Context) {
	hue, way := 58.0, 0.15
	var skin sync.Map
	skin.Store("now", t.state(hue))
	now := func() url.Values { v, _ := skin.Load("now"); return v.(url.Values) }
	dirty := make(chan struct{}, 1)
	var wg sync.WaitGroup
	wg.Go(func() { t.follow(ctx, now, dirty) })
	for ctx.Err() == nil {
		end := time.Now().Add(time.Duration(500+t.dice.Intn(2500)) * time.Millisecond)
		for time.Now().Before(end) && sleep(ctx, 16*time.Millisecond) {
			if hue += way; hue < 45 || hue > 70 {
				way = -way
			}
			skin.Store("now", t.state(hue))
			select {
			case dirty <- struct{}{}:
			default:
			}
		}
		if !sleep(ctx, 220*time.Millisecond) {
			break
		}
		search, stop := context.WithCancel(ctx)
		over := make(chan struct{})
		go func() {
			defer close(over)
			q := maps.Clone(now())
			q.Del("part") // a search takes no blend
			t.ask(search, "match", "api/job/match", q, &t.seen.match)
		}()
		rest := time.Duration(t.dice.Intn(900)) * time.Millisecond
		select {
		case <-over:
		case <-time.After(rest):
			t.seen.mu.Lock()
			t.seen.cut++
			t.seen.mu.Unlock()
		}
		stop()
		<-over
	}
	wg.Wait()
}

func (t *tab) state(hue float64) url.Values {
	return url.Values{
		"skin": {fmt.Sprintf("lch:60.0,18.0,%.2f", hue)}, "target": {"skin:1,4,5"}, "load": {"4"}, "max": {"4"},
		"part": {"warm gold satin=3.5", "old gold=0.4", "rose gleam=0.1"},
	}
}

// follow sends the newest state, one request at a time.
func (t *tab) follow(ctx context.Context, now func() url.Values, dirty <-chan struct{}) {
	var wg sync.WaitGroup
	defer wg.Wait()
	drawing := make(chan struct{}, 1)
	for {
		select {
		case <-ctx.Done():
			return
		case <-dirty:
		}
		q := now()
		t.ask(ctx, "live", "api/job/live", q, &t.seen.live)
		select {
		case drawing <- struct{}{}:
			wg.Go(func() {
				t.ask(ctx, "picture", "api/picture", with(q, "wide", "822", "high", "160"), &t.seen.picture)
				<-drawing
			})
		default: // one is being drawn; the next update draws again
		}
	}
}

// ask posts one request and notes how long its whole answer took.
func (t *tab) ask(ctx context.Context, kind, path string, q url.Values, list *[]time.Duration) {
	t.mu.Lock()
	t.turns[kind]++
	turn := t.turns[kind]
	t.mu.Unlock()
	start := time.Now()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, t.base+path, bytes.NewReader(posted(q)))
	if err != nil {
		t.seen.fail(err)
		return
	}
	r.Header.Set("Origin", strings.TrimSuffix(t.base, "/"))
	r.Header.Set("X-Tawny-Token", t.token)
	r.Header.Set("X-Tawny-Tab", t.name)
	r.Header.Set("X-Tawny-Kind", kind)
	r.Header.Set("X-Tawny-Turn", fmt.Sprint(turn))
	if kind == "match" {
		r.Header.Set("Accept", "application/x-ndjson")
	}
	resp, err := http.DefaultClient.Do(r)
	if err == nil {
		var body []byte
		body, err = io.ReadAll(resp.Body)
		resp.Body.Close()
		if err == nil && (resp.StatusCode != http.StatusOK || kind == "match" && !strings.Contains(string(body), `"result"`)) {
			err = fmt.Errorf("%s: answered %d %.200s", path, resp.StatusCode, body)
		}
	}
	switch {
	case ctx.Err() != nil: // cut short
	case err != nil:
		t.seen.fail(err)
	default:
		t.seen.note(list, time.Since(start))
	}
}

// posted is a request as the page posts it.
func posted(q url.Values) []byte {
	data, err := json.Marshal(map[string][]string(q))
	if err != nil {
		panic(err) // not so: these are texts
	}
	return data
}

// with is a request with more said.
func with(q url.Values, more ...string) url.Values {
	all := maps.Clone(q)
	for i := 0; i < len(more); i += 2 {
		all.Set(more[i], more[i+1])
	}
	return all
}

// sleep waits, and says whether there is more to do.
func sleep(ctx context.Context, d time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(d):
		return true
	}
}

func mean(list []float64) float64 {
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return sum / float64(len(list))
}
