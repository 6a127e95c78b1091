package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tawny/colour"
)

// tawny runs a command line as a shell would.
func tawny(t testing.TB, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, &o, &e)
	return code, o.String(), e.String()
}

func mustRun(t testing.TB, args ...string) string {
	t.Helper()
	code, out, errs := tawny(t, args...)
	if code != 0 {
		t.Fatalf("tawny %s: exit %d: %s", strings.Join(args, " "), code, errs)
	}
	return out
}

// flat is a text on one line, wherever it was folded.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// flatOf runs commands on one book, and returns what each says on one line.
func flatOf(t testing.TB, file string) func(args ...string) string {
	return func(args ...string) string {
		t.Helper()
		return flat(mustRun(t, append(args, "--book", file)...))
	}
}

// The README's first command: the card, the sheet and the data are written and
// agree with each other.
func TestMatchDemoDelivers(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	out := mustRun(t, "match", "--demo", "--out", dir)
	if !strings.Contains(out, "Wrote ") || !strings.Contains(out, "demo: invented") {
		t.Errorf("screen: %s", out)
	}
	f, err := os.Open(filepath.Join(dir, "card.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if img, err := png.Decode(f); err != nil || img.Bounds().Dx() < 600 {
		t.Errorf("card: %v", err)
	}
	var m struct {
		Blends []struct {
			Parts []struct {
				Powder         string
				Percent, Share float64
			}
			Lab      colour.Lab
			DeltaE00 float64
		}
		Target struct{ Lab colour.Lab }
		Skin   struct{ Lab colour.Lab }
	}
	data, err := os.ReadFile(filepath.Join(dir, "match.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	if len(m.Blends) == 0 {
		t.Fatal("no blends")
	}
	sheet, err := os.ReadFile(filepath.Join(dir, "sheet.txt"))
	if err != nil {
		t.Fatal(err)
	}
	load := 0.0
	for _, p := range m.Blends[0].Parts {
		load += p.Percent
		if !strings.Contains(string(sheet), p.Powder) {
			t.Errorf("the sheet does not name %s", p.Powder)
		}
	}
	if math.Abs(load-4) > 1e-9 {
		t.Errorf("parts sum to %.12g %%, the demo's load is 4", load)
	}
	if d := colour.DeltaE00(m.Blends[0].Lab, m.Target.Lab); math.Abs(d-m.Blends[0].DeltaE00) > 1e-9 {
		t.Errorf("deltaE00 %g, its own colours are %g apart", m.Blends[0].DeltaE00, d)
	}
}

// The keys the commands promise in their JSON.
func TestJSONKeys(t *testing.T) {
	for _, c := range []struct {
		args []string
		keys []string
	}{
		{[]string{"skin", "--skin", "lab:64.1,11.3,14.4", "--json"}, []string{"lab", "ita", "class", "undertone", "wavelengths", "reflectance"}},
		{[]string{"flake", "--coat", "rutile:75", "--json"}, []string{"lab", "lch", "reflectance"}},
		{[]string{"flake", "--coat", "rutile:60", "--coat", "hematite:8", "--substrate-nm", "300", "--spread-nm", "60", "--binder", "1.45", "--json"}, []string{"lab", "lch", "reflectance"}},
		{[]string{"match", "--demo", "--json"}, []string{"skin", "target", "blends"}},
		{[]string{"compare", "--demo", "--json"}, []string{"warm", "cool"}},
		{[]string{"range", "--demo", "--on", "Maris", "--on", "Oda", "--json"}, []string{"powders", "shades", "withinDeltaE00"}},
		{[]string{"base", "check", "Everyday lotion", "--json"}, []string{"name", "ingredients", "findings"}},
		{[]string{"batch", "--demo", "--json"}, []string{"weighings", "steps", "totalG"}},
		{[]string{"drawer", "--json"}, []string{"powders"}},
	} {
		var got map[string]any
		if err := json.Unmarshal([]byte(mustRun(t, c.args...)), &got); err != nil {
			t.Errorf("%v: %v", c.args, err)
		}
		for _, k := range c.keys {
			if _, ok := got[k]; !ok {
				t.Errorf("tawny %s: no %q", strings.Join(c.args, " "), k)
			}
		}
	}
}

// A skin's JSON carries a reflectance that has the colour read, to 1e-6.
func TestSkinReflectanceHasTheColour(t *testing.T) {
	var v struct{ Reflectance []float64 }
	if err := json.Unmarshal([]byte(mustRun(t, "skin", "--skin", "lab:64.1,11.3,14.4", "--json")), &v); err != nil {
		t.Fatal(err)
	}
	var s colour.Spectrum
	copy(s[:], v.Reflectance)
	if d := colour.DeltaE76(colour.D65.Lab(&s), colour.Lab{L: 64.1, A: 11.3, B: 14.4}); d > 1e-6 {
		t.Errorf("reflectance is %g off the reading", d)
	}
}

// Requests that make no sense: one line, exit code 2, nothing written.
func TestNonsenseIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), "plain")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	dup := filepath.Join(t.TempDir(), "dup.csv")
	if err := os.WriteFile(dup, []byte("wavelength,reflectance\n400,0.2\n400,0.3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"match --skin tan --target skin:1,1,1 --use nosuch",
		"match --skin lab:164,11,14 --target skin:1,1,1",
		"match --skin lab:NaN,11,14 --target skin:1,1,1",
		"match --skin tan --target skin:1,1,NaN",
		"match --skin tan --target skin:1,1",
		"match --skin tan --target skin:90,1,1",
		"match --skin tan",
		"match --target skin:1,1,1",
		"match --skin tan --target skin:1,1,1 --load -1",
		"match --skin tan --target skin:1,1,1 --load 101",
		"match --skin tan --target skin:1,1,1 --load NaN",
		"match --skin tan --target skin:1,1,1 --load 0",
		"match --skin tan --target skin:1,1,1 --load 3 --load-max 4",
		"match --skin tan --target skin:1,1,1 --load-min 3",
		"match --skin tan --target skin:1,1,1 --max 9",
		"match --skin tan --target skin:1,1,1 --apply thick",
		"match --skin tan --target skin:1,1,1 --illuminant D66",
		"match --skin tan --target skin:1,1,1 --observer 3",
		"match --skin tan --target skin:1,1,1 --area nose",
		"match --skin tan --target skin:1,1,1 --base nosuch",
		"match --skin tan --target skin:1,1,1 --drawer " + t.TempDir(),
		"match --skin tan --target skin:1,1,1 --drawer " + file,
		"match --skin tan --target skin:1,1,1 --drawer /no/such/file.csv",
		"match --skin tan --target skin:1,1,1 --see 46=1",
		"match --skin tan --target skin:1,1,1 --at-most gold",
		"match --skin " + dup + " --target skin:1,1,1",
		"match --skin " + t.TempDir() + " --target skin:1,1,1",
		"match --skin tan --target skin:1,1,1 --nosuch",
		"match extra",
		"compare --skin tan --target skin:1,1,1 --turn 0",
		"card --skin tan --part nosuch=1",
		"card --skin tan --part bronze=200",
		"batch --skin tan --part bronze=2 --balance 0.3",
		"batch --skin tan --part bronze=2 --part bronze=1",
		"batch --skin tan --part bronze=2 --grams NaN",
		"batch --skin tan --part bronze=2 --grams -5",
		"batch --skin tan --part bronze=2 --containers 3",
		"flake --coat rutil:75",
		"flake --coat rutile:-5",
		"flake --coat rutile:75 --angle 90",
		"skin --skin #12",
		"drawer show nosuch",
		"range --on tan --target skin:1,1,1",
		"range --target skin:1,1,1",
		"range --on tan --on light --target skin:1,1,1 --within 0",
		"base show nosuch",
		"base check",
		"base nosuch",
		"card --skin tan --part bronze=1 --kind nosuch",
		"card --skin tan --part bronze=1 --tile a4",
		"card --skin tan --part bronze=1 --dpi 5",
		"chart --skin tan --part bronze=1 --kind nosuch",
		"batch --skin tan --part bronze=1 --format pdf5",
		"batch --skin tan --part bronze=1 --scent rose",
		"batch --skin tan --part bronze=1 --margin 30",
		"nosuch",
	} {
		dir := filepath.Join(t.TempDir(), "out")
		args := strings.Fields(line)
		if args[0] == "match" || args[0] == "card" || args[0] == "batch" || args[0] == "compare" || args[0] == "range" || args[0] == "chart" {
			args = append(args, "--out", dir)
		}
		code, out, errs := tawny(t, args...)
		if code != exitInput {
			t.Errorf("tawny %s: exit %d, want %d (%s)", line, code, exitInput, strings.TrimSpace(errs))
		}
		if strings.Count(errs, "\n") != 1 || out != "" {
			t.Errorf("tawny %s: wants one line on standard error, got %q and %q", line, errs, out)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("tawny %s: left a folder behind", line)
		}
	}
}

// A folder that cannot be written to is refused before any work.
func TestUnwritableOut(t *testing.T) {
	file := filepath.Join(t.TempDir(), "plain")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "below"), "/proc/nowhere"} {
		if code, _, errs := tawny(t, "match", "--demo", "--out", dir); code != exitInput {
			t.Errorf("--out %s: exit %d, %s", dir, code, errs)
		}
	}
}

func TestInterruptStopsCleanly(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, args := range [][]string{
		{"match", "--demo"},
		{"card", "--skin", "tan", "--part", "bronze=2"},
		{"card", "--skin", "tan", "--part", "bronze=2", "--format", "pdf"},
		{"card", "--kind", "arm", "--skin", "tan", "--part", "bronze=2"},
	} {
		dir := filepath.Join(t.TempDir(), "out")
		var o, e bytes.Buffer
		if code := run(ctx, append(args, "--out", dir), &o, &e); code != exitInterrupted {
			t.Errorf("%v: exit %d, want %d: %s", args, code, exitInterrupted, e.String())
		}
		if files, _ := filepath.Glob(filepath.Join(dir, "*")); len(files) > 0 {
			t.Errorf("%v wrote %v", args, files)
		}
	}
}

// Every command explains itself with an example.
func TestHelpHasExamples(t *testing.T) {
	for _, c := range newRoot().Commands() {
		if c.Name() == "help" || c.Name() == "completion" {
			continue
		}
		if c.Example == "" || c.Long == "" {
			t.Errorf("%s has no example or no long help", c.Name())
		}
	}
}

func TestPlainOutputHasNoEscapes(t *testing.T) {
	t.Setenv("COLORTERM", "truecolor")
	if out := mustRun(t, "match", "--demo"); strings.Contains(out, "\x1b") {
		t.Error("escape codes where the output is not a terminal")
	}
}

// The README's first command as a whole: match, card and sheet.
func BenchmarkMatchDemo(b *testing.B) {
	b.ReportAllocs()
	dir := b.TempDir()
	start := time.Now()
	for b.Loop() {
		mustRun(b, "match", "--demo", "--out", dir)
	}
	b.ReportMetric(float64(time.Since(start).Milliseconds())/float64(b.N), "ms/run")
}

// A word of the first edition is answered with today's, once, and does nothing.
func TestOldNamesAnswer(t *testing.T) {
	for line, want := range map[string]string{
		"palette":                              "tawny palette is now tawny drawer",
		"correct --demo":                       "tawny correct is now tawny mend",
		"match --demo --palette x.csv":         "--palette is now --drawer",
		"mend --demo --growth 5":               "--growth is now --grow",
		"drawer add --like gold --grade 10-60": "--grade is now --size",
		"drawer add --like gold --stock 50":    "--stock is now --grams",
		"skin --skin lab:64.1,11.3,14.4/spex":  "/spex is now written /de",
		"card --skin tan --part russet=2":      `"russet" is now called "fox"`,
	} {
		code, out, errs := tawny(t, strings.Fields(line)...)
		if code != exitInput || out != "" || strings.Count(errs, want) != 1 {
			t.Errorf("%s: exit %d, %q, %q", line, code, out, errs)
		}
	}
}

// A fault of the program itself has a code of its own and says so.
func TestOwnFault(t *testing.T) {
	var errs bytes.Buffer
	if code := run(t.Context(), []string{"skin"}, broken{}, &errs); code != exitFault || !strings.Contains(errs.String(), "a fault of its own") {
		t.Errorf("exit %d: %.200s", code, errs.String())
	}
}

// broken is a screen with a fault in it.
type broken struct{}

func (broken) Write([]byte) (int, error) { panic("the screen is gone") }

// What a flag says is text that can be printed anywhere.
func TestNoEscapesGetIn(t *testing.T) {
	for _, title := range []string{"red\x1b[31m", "a\x00b", "\xff\xfe", "a\u0085b"} {
		if code, out, errs := tawny(t, "card", "--demo", "--title", title, "--out", t.TempDir()); code != exitInput || !strings.Contains(errs, "--title is not text") {
			t.Errorf("%q: exit %d %s %s", title, code, out, errs)
		}
	}
}
