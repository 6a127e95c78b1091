package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tawny/blend/book"
	"tawny/cmd/tawny/job"
	"tawny/colour"
)

// asked posts a job's request and returns its result.
func asked[T any](t testing.TB, s *Server, job, query string) (v T) {
	t.Helper()
	return answered[T](t, s, "/api/job/"+strings.ReplaceAll(job, " ", "/"), doc(query))
}

type recordOf[T any] struct{ Record T }

// A batch is written, weighed from a lot, found again by that lot, and what was
// asked for it brings the blend back.
func TestBookFromThePage(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := serve(t, func(c *Config) { c.Book = path })
	kept := asked[struct{ BlendID, BatchID int64 }](t, s, "book save", strings.TrimPrefix(worn, "?"))
	batch := asked[recordOf[book.Batch]](t, s, "book show", fmt.Sprintf("kind=batch&record=%d", kept.BatchID)).Record
	weights := fmt.Sprintf("batch=%d", kept.BatchID)
	for _, w := range batch.Weights {
		weights += fmt.Sprintf("&weight=%d=%g&lot=%d=L%d", w.Position, w.PlannedG+0.01, w.Position, w.Position)
	}
	done := asked[struct{ Unweighed []string }](t, s, "book weigh", weights)
	if len(done.Unweighed) > 0 {
		t.Errorf("still to weigh: %v", done.Unweighed)
	}
	uses := asked[struct{ Uses []book.Use }](t, s, "book uses", "lot=L1").Uses
	if len(uses) != 1 || uses[0].BatchID != kept.BatchID {
		t.Errorf("lot L1 went into %+v", uses)
	}
	var request struct {
		Job, Skin, Target string
		Part              []string
	}
	if err := json.Unmarshal(batch.Request, &request); err != nil || len(request.Part) != 2 || request.Skin != "tan" || request.Target != "skin:2,4,5" {
		t.Errorf("the batch comes back as %s, %v", batch.Request, err)
	}
	asked[struct{ ID int64 }](t, s, "book add client", "name=Noa")
	skin := asked[struct{ ID int64 }](t, s, "book add skin", "colour=lch:60,18,55&name=Noa+arm&client=Noa")
	b, err := book.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	rec, err := book.Get[book.Skin](context.Background(), b, skin.ID)
	if err != nil || rec.ClientID == 0 || rec.Lab.L < 59.9 || rec.Lab.L > 60.1 {
		t.Errorf("the skin is kept as %+v, %v", rec, err)
	}
}

// noa is a book with a client, two readings of her skin without gloss, and a
// lot of a powder.
func noa(t *testing.T) (path string) {
	t.Helper()
	ctx := context.Background()
	path = filepath.Join(t.TempDir(), "book.db")
	b, err := book.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	id, err := book.Add(ctx, b, book.Client{Name: "Noa"})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []float64{58, 60} {
		r := book.Reading{ClientID: id, How: "instrument", Seen: "skin", Place: "arm", Geometry: "de", Lab: colour.Lab{L: l, A: 11, B: 17}}
		if _, err := book.Add(ctx, b, r); err != nil {
			t.Fatal(err)
		}
	}
	powder, err := book.Add(ctx, b, book.Powder{Name: "bronze", Family: "bronze", Source: "modelled"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.AddLot(ctx, book.Lot{PowderID: powder, Lot: "B-9"}, 100); err != nil {
		t.Fatal(err)
	}
	return path
}

// A client's skin is the average of their readings, gloss left out where the
// readings leave it out.
func TestClientsSkin(t *testing.T) {
	s := serve(t, func(c *Config) { c.Book = noa(t) })
	type skin struct{ Skin struct{ Lab colour.Lab } }
	client := asked[skin](t, s, "live", "skin=client:Noa").Skin.Lab
	same := asked[skin](t, s, "live", "skin=lab:59.00,11.00,17.00/de").Skin.Lab
	if d := colour.DeltaE00(client, same); d > 0.01 {
		t.Errorf("the client's skin is ΔE00 %.2f from her readings without gloss: %v, %v", d, client, same)
	}
}

// A batch saved from the page is the client's, is weighed from a lot, carries
// its doubt, is drawn off the stock once weighed, and tells nothing of the
// client once she is forgotten.
func TestSavedFromThePageAsByCommand(t *testing.T) {
	s := serve(t, func(c *Config) { c.Book = noa(t) })
	kept := asked[struct {
		BlendID, BatchID int64
		Client           string
	}](t, s, "book save", "skin=client:Noa&target=skin:1,4,5&part=bronze=3&grams=100")
	if kept.Client != "Noa" {
		t.Errorf("saved for %q", kept.Client)
	}
	blend := asked[recordOf[book.Blend]](t, s, "book show", fmt.Sprintf("kind=blend&record=%d", kept.BlendID)).Record
	if blend.ClientID == 0 || blend.DE00At95 == nil || len(blend.Powders) != 1 || blend.Powders[0].Lot != "B-9" {
		t.Errorf("the blend is kept as %+v", blend)
	}
	asked[any](t, s, "book weigh", fmt.Sprintf("batch=%d&as-planned=true&reading=pH%%3D5.1", kept.BatchID))
	lots := asked[struct{ Lots []book.LotStock }](t, s, "book stock", "").Lots
	if len(lots) != 1 || lots[0].LeftG < 96.9 || lots[0].LeftG > 97.1 {
		t.Errorf("left of the lot: %+v", lots)
	}
	asked[any](t, s, "book forget", "client=Noa&yes=true")
	batch := asked[recordOf[book.Batch]](t, s, "book show", fmt.Sprintf("kind=batch&record=%d", kept.BatchID)).Record
	if batch.ClientID != 0 || strings.Contains(string(batch.Request), "Noa") || strings.Contains(string(batch.Document), "Noa") {
		t.Errorf("after she was forgotten: %s %.200s", batch.Request, batch.Document)
	}
	// What was made of it is still there: sheet, labels, and the same again.
	if !strings.Contains(string(batch.Document), `"value": "5.1"`) {
		t.Errorf("the sheet has lost its readings: %.200s", batch.Document)
	}
	for _, path := range []string{"batch/sheet.pdf?", "batch/sheet.html?", "labels/labels.pdf?sheet=a4&market=eu&per=14&"} {
		if r := call(t, s, "GET", fmt.Sprintf("/file/%sbatch=%d", path, kept.BatchID), "", nil); r.StatusCode != 200 {
			t.Errorf("%s: answered %d %.200s", path, r.StatusCode, text(t, r))
		}
	}
	again := asked[struct {
		BatchID int64
		Powders []struct{ Name, Lot string }
		Result  any
	}](t, s, "book again", fmt.Sprintf("batch=%d", kept.BatchID))
	if again.BatchID != kept.BatchID+1 || len(again.Powders) != 1 || again.Powders[0].Lot != "B-9" || again.Result != nil {
		t.Errorf("made again: %+v", again)
	}
}

// A blend saved by command opens on the page: what was asked for it is a request
// the page can ask again, and the answer is the blend in the book.
func TestSavedByCommandOpensOnThePage(t *testing.T) {
	path := noa(t)
	d := job.NewDoc(job.Find("book save"))
	for field, text := range map[string]string{"skin": "client:Noa", "target": "skin:1,4,5", "load": "4", "max": "2", "only": "bronze,pale gold", "title": "Gala"} {
		if err := d.Put(field, text); err != nil {
			t.Fatal(err)
		}
	}
	env := &job.Env{Files: job.Disk, Now: time.Now, Book: job.Book{File: path}}
	if _, err := d.Do(t.Context(), env); err != nil {
		t.Fatal(err)
	}
	s := serve(t, func(c *Config) { c.Book = path })
	kept := asked[recordOf[book.Blend]](t, s, "book show", "kind=blend&record=1").Record
	again := answered[struct {
		Blends []struct {
			Parts []struct {
				Powder  string
				Percent float64
			}
		}
	}](t, s, "/api/job/match", forJob(t, "match", kept.Request))
	got := again.Blends[0].Parts
	if len(got) != len(kept.Powders) {
		t.Fatalf("opened as %v, kept as %v", got, kept.Powders)
	}
	for i, p := range kept.Powders {
		if got[i].Powder != p.PowderName || math.Abs(got[i].Percent-p.Percent) > 1e-9 {
			t.Errorf("opened as %v, kept as %v", got, kept.Powders)
		}
	}
}

// forJob keeps of a request what a job's document has, as the page's form does.
func forJob(t *testing.T, name string, request json.RawMessage) string {
	t.Helper()
	var all map[string]any
	if err := json.Unmarshal(request, &all); err != nil {
		t.Fatal(err)
	}
	d, kept := job.NewDoc(job.Find(name)), map[string]any{"version": job.Version}
	for key, value := range all {
		if d.Field(key) != nil {
			kept[key] = value
		}
	}
	data, err := json.Marshal(kept)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A damaged book is told in words and left as it is.
func TestDamagedBook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	junk := strings.Repeat("not a book ", 500)
	if err := os.WriteFile(path, []byte(junk), 0o600); err != nil {
		t.Fatal(err)
	}
	s := serve(t, func(c *Config) { c.Book = path })
	for name, query := range map[string]string{"book/list": "", "book/save": strings.TrimPrefix(worn, "?")} {
		r := call(t, s, "POST", "/api/job/"+name, doc(query), nil)
		if got := text(t, r); r.StatusCode != 422 || !strings.Contains(got, "book") {
			t.Errorf("answered %d %s", r.StatusCode, got)
		}
	}
	if now, err := os.ReadFile(path); err != nil || string(now) != junk {
		t.Error("the file was changed")
	}
	if r := call(t, s, "GET", "/", "", nil); r.StatusCode != 200 {
		t.Errorf("the page does not work without its book: %d", r.StatusCode)
	}
}

// The page holds the book from its start: no backup is put in its place while
// the page is open.
func TestPageHoldsTheBook(t *testing.T) {
	path := noa(t)
	ctx := t.Context()
	b, err := book.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := errors.Join(b.Backup(ctx, backup), b.Close()); err != nil {
		t.Fatal(err)
	}
	serve(t, func(c *Config) { c.Book = path })
	if _, err := book.Restore(ctx, backup, path); !errors.Is(err, book.ErrBusy) {
		t.Errorf("restored under the page: %v", err)
	}
}

// A powder added from its jar's label is in the drawer that the page was begun
// with, on the disk and on the page; the drawer need not be there before.
func TestPowderFromItsLabel(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	s := serve(t, func(c *Config) { c.Drawer = path })
	// Until there is one, the built-in drawer is in use.
	answered[any](t, s, "/api/job/match", `{"job":"match","skin":"tan","target":"skin:-4,0,0","max":"1"}`)
	const label = `{"job":"drawer add","name":"rose from the fair","inci":"Mica, Titanium Dioxide, Iron Oxides (CI 77491)","size":"10-60","colour":"rose","grams":"20"}`
	r := call(t, s, "POST", "/api/job/drawer/add", label, nil)
	if got := text(t, r); r.StatusCode != 200 || !strings.Contains(got, `"added"`) {
		t.Fatalf("answered %d %.300s", r.StatusCode, got)
	}
	data, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(data), "rose from the fair") {
		t.Errorf("the drawer holds %q (%v)", data, err)
	}
	if home := text(t, call(t, s, "GET", "/", "", nil)); !strings.Contains(home, `data-powder="rose from the fair"`) {
		t.Error("the page does not offer it")
	}
	if got := text(t, call(t, s, "POST", "/api/job/match", `{"job":"match","skin":"tan","target":"rose","max":"1"}`, nil)); !strings.Contains(got, "rose from the fair") {
		t.Errorf("it is not matched with: %.300s", got)
	}
	// Another drawer cannot be named, and nothing else of the disk read by it.
	for _, other := range []string{`,"drawer":"` + path + `2"`, `,"photo":"` + path + `"`} {
		r := call(t, s, "POST", "/api/job/drawer/add", strings.TrimSuffix(label, "}")+other+"}", nil)
		if r.StatusCode != 422 {
			t.Errorf("%s: answered %d", other, r.StatusCode)
		}
	}
	if _, err := os.Stat(path + "2"); err == nil {
		t.Error("another file was written")
	}
}
