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
var long = doc("skin=light&target=skin:1,4,5&load-max=9&max=4")

// A search sends how far it is, rising, and then the result with what tells
// its blends apart.
func TestSearchStreams(t *testing.T) {
	s := serve(t, nil)
	r := call(t, s, "POST", "/api/job/match", doc("skin=light&target=skin:1,4,5&load-max=9&max=3"), lines)
	sent := bufio.NewScanner(r.Body)
	sent.Buffer(nil, 1<<20)
	last, n := -1.0, 0
	var result struct {
		Request struct{ Job string }
		Blends  []struct {
			LoadPercent float64
			Apart       string
		}
	}
	for sent.Scan() {
		var l struct {
			Progress float64
			Result   json.RawMessage
			Error    string
		}
		if err := json.Unmarshal(sent.Bytes(), &l); err != nil || l.Error != "" {
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
	told := 0
	for _, b := range result.Blends {
		if b.Apart != "" {
			told++
		}
	}
	if n < 2 || told == 0 || result.Request.Job != "match" {
		t.Errorf("%d lines, result %+v", n, result)
	}
}

// A search whose page has gone away ends at once and makes room.
func TestAbandonedSearchEnds(t *testing.T) {
	s := serve(t, nil)
	ctx, leave := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		r, _ := http.NewRequestWithContext(ctx, "POST", s.URL()+"api/job/match", strings.NewReader(long))
		r.Header.Set("Origin", "http://"+host(s))
		r.Header.Set(tokenHeader, s.guard.token)
		r.AddCookie(&http.Cookie{Name: cookieName(host(s)), Value: sessionOf(s)})
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
	for _, f := range s.home.Load().Families {
		for _, p := range f.Powders {
			q += "&without=" + strings.ReplaceAll(p.Name, " ", "+")
		}
	}
	got := text(t, call(t, s, "POST", "/api/job/match", doc(q), nil))
	if !strings.Contains(got, `"error":"`) || strings.Contains(got, `"result"`) {
		t.Errorf("answered %.300s", got)
	}
	t.Log(got)
}

// lines asks for progress, as the page does of a search.
func lines(r *http.Request) { r.Header.Set("Accept", linesType) }
