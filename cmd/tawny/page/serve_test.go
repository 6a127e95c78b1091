package page

import (
	"context"
	"encoding/json"
	"log"
	"net/url"
	"path/filepath"
	"testing"
)

// serve starts the page with a fresh book on a free port.
func serve(t testing.TB, change func(*Config)) *Server {
	t.Helper()
	cfg := Config{Book: filepath.Join(t.TempDir(), "book.db"), Log: log.New(testWriter{t}, "", 0)}
	if change != nil {
		change(&cfg)
	}
	s, err := New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Errorf("serving ended with %v", err)
		}
	})
	return s
}

type testWriter struct{ t testing.TB }

func (w testWriter) Write(p []byte) (int, error) { w.t.Logf("%s", p); return len(p), nil }

// doc is a query as the document of a request.
func doc(query string) string {
	q, err := url.ParseQuery(query)
	if err != nil {
		return query
	}
	data, err := json.Marshal(map[string][]string(q))
	if err != nil {
		panic(err) // not so: these are texts
	}
	return string(data)
}
