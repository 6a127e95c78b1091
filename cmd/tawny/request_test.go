package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A result holds its request, and the request asked again gives the result
// again; what is said on the command line goes before what is in the file.
func TestRequestAskedAgain(t *testing.T) {
	dir := t.TempDir()
	var first struct {
		Request json.RawMessage
		Blends  json.RawMessage
	}
	read := func(out string) json.RawMessage {
		t.Helper()
		if err := json.Unmarshal([]byte(out), &first); err != nil {
			t.Fatal(err)
		}
		return first.Blends
	}
	want := mustRun(t, "match", "--skin", "tan", "--target", "skin:1,4,5", "--load", "4,5", "--max", "2", "--use", "bronze,pale gold", "--json")
	blends := string(read(want))
	file := filepath.Join(dir, "asked.json")
	if err := os.WriteFile(file, first.Request, 0o600); err != nil {
		t.Fatal(err)
	}
	if got := mustRun(t, "match", "--request", file, "--json"); string(read(got)) != blends {
		t.Error("the request asked again gives other blends")
	}
	if got := mustRun(t, "match", "--request", file, "--load", "3", "--json"); string(read(got)) == blends || !strings.Contains(string(first.Request), `"load": 3`) {
		t.Errorf("--load beside --request: %s", first.Request)
	}
	for name, c := range map[string]struct{ job, text, says string }{
		"another job":   {"skin", string(first.Request), "is for tawny match"},
		"a newer one":   {"match", `{"job":"match","version":9}`, "from a newer tawny"},
		"no such field": {"match", `{"version":2,"skin":"tan","shade":"x"}`, "--shade is not understood by match"},
		"out of range":  {"match", `{"version":2,"skin":"tan","target":"skin:1,2,3","load":0}`, "--load is 0; more than 0"},
		"an odd name":   {"match", `{"version":2,"loadPercent":3}`, "--loadPercent is not understood"},
		"no JSON":       {"match", "skin=tan", "the request is not understood at line 1"},
		"cut short":     {"match", "{\n\"skin\":", "asked.json: the request is not understood at line 2"},
		"no object":     {"match", "[]", "a JSON object is accepted"},
		"escapes":       {"match", `{"\u001b[31mzz":"x"}`, `\x1b[31mzz" is not understood by match`},
		"turned words":  {"match", `{"\u202ezz":"x"}`, `\u202ezz" is not understood by match`},
	} {
		if err := os.WriteFile(file, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		if code, _, errs := tawny(t, c.job, "--request", file); code != 2 || !strings.Contains(errs, c.says) {
			t.Errorf("%s: exit %d, %s", name, code, errs)
		}
	}
}
