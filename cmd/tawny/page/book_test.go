package page

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/book"
	"tawny/colour"
)

func getJSON[T any](t testing.TB, s *Server, path string) (v T) {
	t.Helper()
	r := call(t, s, "GET", path, "", nil)
	got := text(t, r)
	if r.StatusCode != 200 {
		t.Fatalf("%s: answered %d %s", path, r.StatusCode, got)
	}
	if err := json.Unmarshal([]byte(got), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// A batch is written, weighed from a lot, found again by that lot, and its
// address brings the blend back.
func TestBookFromThePage(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := serve(t, func(c *Config) { c.Book = path })
	state := strings.TrimPrefix(worn, "?")
	kept := answered[saved](t, s, "/api/book/batch", state)
	again := getJSON[againView](t, s, fmt.Sprintf("/api/book/again?id=%d", kept.ID))
	weights := `[`
	for i, w := range again.Batch.Weights {
		if i > 0 {
			weights += ","
		}
		weights += fmt.Sprintf(`{"position":%d,"grams":%g,"lot":"L%d"}`, w.Position, w.PlannedG+0.01, w.Position)
	}
	answered[saved](t, s, "/api/book/weigh", fmt.Sprintf(`{"id":%d,"weights":%s]}`, kept.ID, weights))
	uses := getJSON[[]book.Use](t, s, "/api/book/lot?lot=L1")
	if len(uses) != 1 || uses[0].BatchID != kept.ID {
		t.Errorf("lot L1 went into %+v", uses)
	}
	v := getJSON[bookView](t, s, "/api/book")
	if len(v.Batches) != 1 || len(v.Blends) != 1 {
		t.Fatalf("the book lists %+v", v)
	}
	q, err := url.ParseQuery(v.Batches[0].State)
	if err != nil || len(q["part"]) != 2 || q.Get("skin") != "tan" {
		t.Errorf("the batch comes back as %q", v.Batches[0].State)
	}
	if q, _ := url.ParseQuery(again.State); len(q["part"]) != 0 || q.Get("target") != "skin:2,4,5" {
		t.Errorf("made again from %q", again.State)
	}

	skin := answered[saved](t, s, "/api/book/skin", "skin=lch:60,18,55&skinname=Noa+arm&client=Noa")
	b, err := book.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	rec, err := b.Skin(context.Background(), skin.ID)
	if err != nil || rec.How != "sliders" || rec.ClientID == 0 || rec.Lab.L < 59.9 || rec.Lab.L > 60.1 {
		t.Errorf("the skin is kept as %+v, %v", rec, err)
	}
}

// A client's readings come back as one skin that the address can carry.
func TestClientsSkin(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "book.db")
	b, err := book.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	id, err := b.AddClient(ctx, book.Client{Name: "Noa"})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []float64{58, 60} {
		if _, err := b.AddReading(ctx, book.Reading{ClientID: id, How: "instrument", Seen: "skin", Place: "arm", Lab: colour.Lab{L: l, A: 11, B: 17}}); err != nil {
			t.Fatal(err)
		}
	}
	s := serve(t, func(c *Config) { c.Book = path })
	v := getJSON[bookView](t, s, "/api/book")
	if len(v.Clients) != 1 || !strings.Contains(v.Clients[0].Says, "mean of 2 readings") {
		t.Fatalf("clients are %+v", v.Clients)
	}
	q, _ := url.ParseQuery(v.Clients[0].State)
	if _, err := parseState(q); err != nil || q.Get("skin") != "lab:59.00,11.00,17.00" {
		t.Errorf("the skin comes back as %q, %v", v.Clients[0].State, err)
	}
}

// A damaged book is told in words and left as it is.
func TestDamagedBook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	junk := strings.Repeat("not a book ", 500)
	if err := os.WriteFile(path, []byte(junk), 0o600); err != nil {
		t.Fatal(err)
	}
	s := serve(t, func(c *Config) { c.Book = path })
	for _, try := range []func() (int, string){
		func() (int, string) { r := call(t, s, "GET", "/api/book", "", nil); return r.StatusCode, text(t, r) },
		func() (int, string) {
			r := call(t, s, "POST", "/api/book/batch", strings.TrimPrefix(worn, "?"), nil)
			return r.StatusCode, text(t, r)
		},
	} {
		if status, got := try(); status != 422 || !strings.Contains(got, "book") {
			t.Errorf("answered %d %s", status, got)
		}
	}
	if now, err := os.ReadFile(path); err != nil || string(now) != junk {
		t.Error("the file was changed")
	}
	if r := call(t, s, "GET", "/", "", nil); r.StatusCode != 200 {
		t.Errorf("the page does not work without its book: %d", r.StatusCode)
	}
}
