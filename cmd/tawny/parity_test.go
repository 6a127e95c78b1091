package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
	"tawny/cmd/tawny/page"
)

// What a job answers does not depend on who asks: every example of the help
// that both faces can run gives the same document by command and
// by page, the book's on two copies of one book.
func TestParity(t *testing.T) {
	if testing.Short() {
		t.Skip("runs every example twice")
	}
	dir := t.TempDir()
	t.Chdir(dir)
	first := filepath.Join(dir, "first.db")
	stock(t, first)
	byCommand, byPage := filepath.Join(dir, "command.db"), filepath.Join(dir, "page.db")
	data, err := os.ReadFile(first)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{byCommand, byPage} {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	ask := visit(t, byPage)
	t.Setenv("TAWNY_BOOK", byCommand)
	ran, exempt, asked := 0, map[string]int{}, map[string]bool{}
	for _, line := range examples() {
		d, words, why := documentOf(line)
		if why != "" {
			exempt[why]++
			t.Logf("exempt, %s: %s", why, line)
			continue
		}
		body, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		if asked[string(body)] && !strings.HasPrefix(d.Job.Name, "book") {
			continue // but for where its files go
		}
		asked[string(body)] = true
		_, want, fault := tawny(t, append(words, "--json")...)
		code, got := ask("/api/job/"+strings.ReplaceAll(d.Job.Name, " ", "/"), string(body))
		ran++
		if want == "" {
			if code != 422 {
				t.Errorf("%s\nthe command fails (%s), the page answers %d", line, fault, code)
			}
			continue
		}
		if code != 200 {
			t.Errorf("%s\nthe page answers %d %s", line, code, got)
			continue
		}
		a, b := plainJSON(t, []byte(want)), plainJSON(t, got)
		if where := differs(a, b, ""); where != "" {
			t.Errorf("%s\n%s", line, where)
		}
	}
	t.Logf("%d examples ran by command and by page, %d are exempt", ran, sum(exempt))
	for why, n := range exempt {
		t.Logf("%4d exempt: %s", n, why)
	}
	if ran < 60 {
		t.Errorf("only %d examples ran", ran)
	}
}

// visit serves a book's page, is let in by its key, and returns what a request sent
// from there answers.
func visit(t *testing.T, book string) (ask func(path, body string) (code int, answer []byte)) {
	t.Helper()
	s, err := page.New(page.Config{Book: book})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	cookies, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	browser := http.Client{Jar: cookies}
	answer := func(r *http.Request) (int, []byte) {
		got, err := browser.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer got.Body.Close()
		data, err := io.ReadAll(got.Body)
		if err != nil {
			t.Fatal(err)
		}
		return got.StatusCode, data
	}
	request := func(method, at, body string) *http.Request {
		r, err := http.NewRequest(method, at, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	key := request("GET", s.OpenURL(), "")
	root := "http://" + key.Host
	_, home := answer(key)
	token := pageToken.FindSubmatch(home)
	if token == nil {
		t.Fatalf("no token in %.200s", home)
	}
	return func(path, body string) (int, []byte) {
		r := request("POST", root+path, body)
		r.Header.Set("Origin", root)
		r.Header.Set("X-Tawny-Token", string(token[1]))
		return answer(r)
	}
}

var pageToken = regexp.MustCompile(`name="tawny-token" content="([^"]+)"`)

func sum(counts map[string]int) (n int) {
	for _, x := range counts {
		n += x
	}
	return n
}

// stock begins a book as the examples of the help speak of one.
func stock(t *testing.T, path string) {
	t.Helper()
	must := func(words ...string) { mustRun(t, append(words, "--book", path)...) }
	for _, lot := range [][2]string{{"G-0117", "pale gold"}, {"G-0245", "pale gold"}, {"B-9", "bronze"}, {"LOT-7", "red oxide"}} {
		must("book", "add", "lot", lot[0], "--powder", lot[1], "--grams", "100")
	}
	must("book", "add", "client", "Dancer Ada (demo)")
	for i := range 12 {
		must("book", "add", "reading", fmt.Sprintf("lab:%.1f,11.3,14.4", 64+0.1*float64(i)), "--client", "Dancer Ada (demo)", "--place", "inner forearm")
	}
	for range 3 {
		must("book", "save", "--skin", "tan", "--part", "pale gold=2", "--part", "bronze=1", "--grams", "100")
	}
	must("book", "mend-record", "2", "--how", "by eye", "--add", "bronze=0.2")
}

// examples are the lines of every job's help.
func examples() (lines []string) {
	seen := map[string]bool{}
	add := func(line string) {
		line = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(line), "./"))
		if strings.HasPrefix(line, "tawny ") && !seen[line] {
			seen[line] = true
			lines = append(lines, line)
		}
	}
	for _, j := range job.Jobs {
		for line := range strings.SplitSeq(j.Example, "\n") {
			for part := range strings.SplitSeq(line, "&&") {
				add(part)
			}
		}
	}
	return lines
}

var word = regexp.MustCompile(`'([^']*)'|(\S+)`)

// documentOf is a command line as the page would ask for it, or why it cannot.
func documentOf(line string) (d *job.Doc, words []string, why string) {
	for _, m := range word.FindAllStringSubmatch(line, -1) {
		words = append(words, m[1]+m[2])
	}
	words = words[1:]
	for n := min(3, len(words)); n > 0 && d == nil; n-- {
		if j := job.Find(strings.Join(words[:n], " ")); j != nil && j.New != nil {
			if j.Local != "" {
				return nil, nil, "for the command line only: " + j.Local
			}
			d, words = job.NewDoc(j), words[n:]
		}
	}
	if d == nil {
		return nil, nil, "no job of its own"
	}
	name := strings.Fields(d.Job.Name)
	var args []*job.Field
	for _, f := range d.Fields {
		if f.Arg {
			args = append(args, f)
		}
	}
	for i := 0; i < len(words); i++ {
		key, flag := strings.CutPrefix(words[i], "--")
		var f *job.Field
		value := words[i]
		switch {
		case flag:
			if f = d.Field(key); f == nil {
				if key == "json" {
					continue
				}
				return nil, nil, "asks for another book or help"
			}
			value = "true"
			if _, yes := f.To.(*bool); !yes {
				i++
				value = words[i]
			}
		case value == ">":
			return nil, nil, "prints what is no document"
		default:
			f = args[0]
			if !f.Rest {
				args = args[1:]
			}
		}
		if f.NamesFile() {
			return nil, nil, "names a file of the disk"
		}
		if f.Name == "csv" {
			return nil, nil, "prints what is no document"
		}
		if f.Local {
			continue // where the command writes its files
		}
		if err := d.Put(f.Name, value); err != nil {
			return nil, nil, "is not understood: " + err.Error()
		}
	}
	for _, f := range d.Fields {
		if text, ok := f.Value().(string); ok && strings.Contains(text, ".csv") {
			return nil, nil, "names a file of the disk"
		}
	}
	words = append(name, words...)
	for i := len(words) - 2; i >= 0; i-- {
		if words[i] == "--out" {
			words = append(words[:i:i], words[i+2:]...)
		}
	}
	var said []string
	for _, w := range words {
		if w != "--json" {
			said = append(said, w)
		}
	}
	if d.Job.Name == "card" || d.Job.Name == "chart" {
		said = append(said, "--out", "drawn")
		if !slices.Contains(said, "--size") {
			said = append(said, "--dpi", "72") // drawn in no time
		}
	}
	return d, said, ""
}

// What may differ: where the book is, when it was written, how many searches
// shared the work.
var stamps = regexp.MustCompile(`\d{4}-\d\d-\d\dT[0-9:.]+(?:Z|[-+]\d\d:\d\d)`)

func plainJSON(t *testing.T, data []byte) any {
	t.Helper()
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatalf("%v in %.200s", err, data)
	}
	return v
}

func differs(a, b any, at string) string {
	switch x := a.(type) {
	case map[string]any:
		y, ok := b.(map[string]any)
		if !ok {
			break
		}
		for key := range x {
			switch key {
			case "request", "search", "kktResidual", "book", "backups", "newestBackup", "Request", "Document", "document":
				continue
			}
			if where := differs(x[key], y[key], at+"."+key); where != "" {
				return where
			}
		}
		if len(x) != len(y) {
			return fmt.Sprintf("%s: %d keys and %d", at, len(x), len(y))
		}
		return ""
	case []any:
		y, ok := b.([]any)
		if !ok || len(x) != len(y) {
			break
		}
		for i := range x {
			if where := differs(x[i], y[i], fmt.Sprintf("%s[%d]", at, i)); where != "" {
				return where
			}
		}
		return ""
	case float64:
		if y, ok := b.(float64); ok && math.Abs(x-y) <= 1e-6*(1+math.Abs(x)) {
			return ""
		}
	case string:
		if y, ok := b.(string); ok && stamps.ReplaceAllString(x, "T") == stamps.ReplaceAllString(y, "T") {
			return ""
		}
	default:
		if reflect.DeepEqual(a, b) {
			return ""
		}
	}
	return fmt.Sprintf("%s: by command %.200v, by page %.200v", at, a, b)
}
