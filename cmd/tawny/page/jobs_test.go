package page

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"
)

// long is a search of about a hundred thousand subsets.
const long = "skin=light&target=skin:1,4,5&load=9&atmost=1&most=4"

// A search sends how far it is, rising, and then the result with what tells
// its blends apart.
func TestSearchStreams(t *testing.T) {
	s := serve(t, nil)
	r := call(t, s, "POST", "/api/match", long, nil)
	lines := bufio.NewScanner(r.Body)
	lines.Buffer(nil, 1<<20)
	last, n := -1.0, 0
	var result struct {
		Blends []struct{ LoadPercent float64 }
		Apart  []string
	}
	for lines.Scan() {
		var l struct {
			Progress float64
			Result   json.RawMessage
			Error    string
		}
		if err := json.Unmarshal(lines.Bytes(), &l); err != nil || l.Error != "" {
			t.Fatalf("line %d: %v %s", n, err, l.Error)
		}
		if l.Progress < last {
			t.Errorf("progress fell from %g to %g", last, l.Progress)
		}
		last = l.Progress
		n++
		if l.Result != nil {
			if err := json.Unmarshal(l.Result, &result); err != nil {
				t.Fatal(err)
			}
		}
	}
	if n < 2 || len(result.Blends) == 0 || len(result.Apart) != len(result.Blends) {
		t.Errorf("%d lines, %d blends, %d words", n, len(result.Blends), len(result.Apart))
	}
}

// A search whose page has gone away ends at once and makes room.
func TestAbandonedSearchEnds(t *testing.T) {
	s := serve(t, nil)
	ctx, leave := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		r, _ := http.NewRequestWithContext(ctx, "POST", s.URL()+"api/match", strings.NewReader(long))
		r.Header.Set("Origin", "http://"+host(s))
		r.Header.Set(tokenHeader, s.guard.token)
		if resp, err := http.DefaultClient.Do(r); err == nil {
			io.Copy(io.Discard, resp.Body)
			resp.Body.Close()
		}
	}()
	for len(s.long) == 0 {
		time.Sleep(time.Millisecond)
	}
	leave()
	<-done
	start := time.Now()
	for len(s.long) > 0 {
		if time.Since(start) > 30*time.Second {
			t.Fatal("the search goes on though nobody waits for it")
		}
		time.Sleep(time.Millisecond)
	}
}

// Wishes that leave nothing are told in words.
func TestNothingFits(t *testing.T) {
	s := serve(t, nil)
	q := "skin=light&target=skin:1,4,5"
	for _, f := range s.home.Families {
		for _, p := range f.Powders {
			q += "&without=" + strings.ReplaceAll(p.Name, " ", "+")
		}
	}
	got := text(t, call(t, s, "POST", "/api/match", q, nil))
	if !strings.Contains(got, `"error":"`) || strings.Contains(got, `"result"`) {
		t.Errorf("answered %.300s", got)
	}
	t.Log(got)
}

// A shade out of reach comes with what would come nearer; at a load of 1 % a
// greater one always does.
func TestReach(t *testing.T) {
	s := serve(t, nil)
	got := text(t, call(t, s, "POST", "/api/reach", "skin=brown&target=skin:8,6,4&load=1&most=2", nil))
	lines := strings.Split(strings.TrimSpace(got), "\n")
	var l struct {
		Result struct {
			Load *struct {
				LoadPercent float64
				DeltaE00    float64
			}
		}
	}
	if err := json.Unmarshal([]byte(lines[len(lines)-1]), &l); err != nil {
		t.Fatalf("%v in %.300s", err, got)
	}
	if l.Result.Load == nil || l.Result.Load.LoadPercent <= 1 {
		t.Errorf("no greater load comes nearer: %.300s", lines[len(lines)-1])
	}
}
