package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"tawny/cmd/tawny/job"
	"tawny/colour"
)

func namesIn(t *testing.T, dir string) string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range list {
		names = append(names, f.Name())
	}
	return strings.Join(names, " ")
}

func pngSize(t *testing.T, path string) (w, h int) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return c.Width, c.Height
}

// Nine blends make nine cards, over as many pages as they need.
func TestTilesDropNoCard(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	args := []string{"card", "--skin", "tan", "--target", "skin:2,3,4", "--keep", "9", "--tile", "a4", "--flat", "--dpi", "72", "--out", dir}
	out := mustRun(t, args...)
	got := namesIn(t, dir)
	if got != "cards-2.png cards-3.png cards.png" {
		t.Errorf("wrote %s", got)
	}
	if !strings.Contains(out, "cards-3.png") {
		t.Errorf("the screen names %s", out)
	}
	mustRun(t, append(args, "--format", "pdf")...)
	data, err := os.ReadFile(filepath.Join(dir, "cards.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(data, []byte("/Count 3")) {
		t.Error("the PDF has not 3 pages")
	}
}

// Flags that would be left unused are refused, as is a board of too much.
func TestCardRefusesNonsense(t *testing.T) {
	for _, line := range []string{
		"card --skin tan --target skin:1,1,1 --tile a4 --wide",
		"card --skin tan --target skin:1,1,1 --tile a4 --kind loads",
		"card --skin tan --target skin:1,1,1 --tile a4 --rank 2",
		"card --skin tan --target skin:1,1,1 --tile a3",
		"card --skin tan --part bronze=1 --tile letter",
		"card --skin tan --part bronze=1 --rank 2",
		"chart --skin tan --part bronze=1 --rank 2",
		"card --skin tan --part bronze=1 --loads 1,2",
		"card --skin tan --part bronze=1 --on tan",
		"card --target skin:1,1,1 --kind skins --on tan --on dark --rank 2",
		"card --skin tan --part bronze=1 --kind loads --loads 1,2,3,4,5,6,7,8,9",
		"compare --skin tan --target skin:1,1,1 --dpi 5",
		"compare --skin tan --target skin:1,1,1 --format gif",
	} {
		dir := filepath.Join(t.TempDir(), "out")
		code, _, errs := tawny(t, append(strings.Fields(line), "--out", dir)...)
		if code != exitInput || strings.Count(errs, "\n") != 1 {
			t.Errorf("tawny %s: exit %d, %s", line, code, errs)
		}
		if files, _ := filepath.Glob(filepath.Join(dir, "*")); len(files) > 0 {
			t.Errorf("tawny %s: wrote %v", line, files)
		}
	}
	if code, _, _ := tawny(t, "compare", "--demo", "--wide"); code != exitInput {
		t.Errorf("a flag of a picture that is not drawn: exit %d", code)
	}
}

// Each kind of picture warns of what may not be worn, as the card does.
func TestPicturesWarn(t *testing.T) {
	for _, kind := range []string{"card", "arm", "loads", "skins"} {
		args := []string{"card", "--kind", kind, "--area", "eyes", "--part", "bronze sparkle=3", "--out", t.TempDir()}
		if kind == "skins" {
			args = append(args, "--on", "light", "--on", "tan")
		} else {
			args = append(args, "--skin", "tan")
		}
		if code, _, errs := tawny(t, args...); code != 0 || strings.Count(errs, "To mend first: Everyday lotion is not made for the eye area") != 1 {
			t.Errorf("%s: exit %d, %s", kind, code, errs)
		}
	}
}

// The arm alone is exactly as large as asked, says how large it is in life, and is
// the same under the same seed.
func TestArmPicture(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	path := filepath.Join(dir, "arm.png")
	var files [3][]byte
	for i, seed := range []string{"1", "1", "2"} {
		mustRun(t, "card", "--kind", "arm", "--skin", "tan", "--part", "bronze=4", "--size", "320x200", "--seed", seed, "--out", dir)
		var err error
		if files[i], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	if w, h := pngSize(t, path); w != 320 || h != 200 || namesIn(t, dir) != "arm.png" {
		t.Errorf("%d × %d in %s", w, h, namesIn(t, dir))
	}
	// 46 mm in 200 pixels are 4,348 pixels in a metre, 0x10FC.
	if !bytes.Contains(files[0], []byte("pHYs\x00\x00\x10\xfc\x00\x00\x10\xfc\x01")) || !bytes.Contains(files[0], []byte("sRGB")) {
		t.Error("the picture does not say its size or that it is sRGB")
	}
	if !bytes.Equal(files[0], files[1]) || bytes.Equal(files[0], files[2]) {
		t.Error("the seed does not settle the picture")
	}
	for _, bad := range []string{"--size 10x10", "--size large", "--size 300x200 --wide", "--rig candle", "--for client"} {
		args := append(strings.Fields("card --kind arm --skin tan --part bronze=4 --out "+t.TempDir()), strings.Fields(bad)...)
		if code, _, errs := tawny(t, args...); code != exitInput {
			t.Errorf("%s: exit %d, %s", bad, code, errs)
		}
	}
}

// A PDF carries the blend's title and the font's name.
func TestPDFTitle(t *testing.T) {
	dir := t.TempDir()
	mustRun(t, "card", "--demo", "--flat", "--format", "pdf", "--out", dir)
	data, err := os.ReadFile(filepath.Join(dir, "card.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	var title bytes.Buffer
	for _, u := range utf16.Encode([]rune("Lantern for Maris")) {
		title.Write([]byte{byte(u >> 8), byte(u)})
	}
	if !bytes.Contains(data, title.Bytes()) {
		t.Error("the document's title is not the blend's")
	}
	if !bytes.Contains(data, []byte("+Lato-Regular")) || bytes.Contains(data, []byte("utf8")) {
		t.Error("the font's name is not Lato")
	}
}

// The comparison is upright unless asked wide, a page of A4 where 4 × 6 inches do
// not hold it, and can be a PDF.
func TestComparePictures(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	args := []string{"compare", "--demo", "--only", "pale gold,old gold,copper,mulberry", "--out", dir, "--dpi", "100"}
	mustRun(t, args...)
	if w, h := pngSize(t, filepath.Join(dir, "compare.png")); w != 827 || h != 1169 {
		t.Errorf("upright is %d × %d", w, h)
	}
	mustRun(t, append(args, "--for", "client")...)
	if w, h := pngSize(t, filepath.Join(dir, "compare.png")); w != 400 || h != 600 {
		t.Errorf("a client's is %d × %d", w, h)
	}
	mustRun(t, append(args, "--wide", "--rig", "lamp", "--seed", "7")...)
	if w, h := pngSize(t, filepath.Join(dir, "compare.png")); w < 600 || h < 400 {
		t.Errorf("wide is %d × %d", w, h)
	}
	mustRun(t, append(args, "--format", "pdf")...)
	if data, err := os.ReadFile(filepath.Join(dir, "compare.pdf")); err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) {
		t.Errorf("PDF: %v", err)
	}
}

// What two versions and a page of cards tell to weigh is from the lots of the book, with
// their strengths, and said in a batch sheet's words.
func TestPicturesWeighFromTheLots(t *testing.T) {
	t.Parallel()
	drawn := func(strength, file string, args ...string) (out, errs string, picture []byte) {
		dir := t.TempDir()
		book := filepath.Join(dir, "book.db")
		mustRun(t, "book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "100", "--strength", strength, "--book", book)
		code, out, errs := tawny(t, append(args, "--skin", "tan", "--target", "skin:3,5,0", "--only", "pale gold,copper,mulberry", "--flat", "--dpi", "72", "--out", dir, "--book", book)...)
		picture, err := os.ReadFile(filepath.Join(dir, file))
		if code != 0 || err != nil {
			t.Fatalf("exit %d: %s %v", code, errs, err)
		}
		return out, errs, picture
	}
	for _, c := range []struct{ job, file, more string }{{"compare", "compare.png", "--json"}, {"card", "cards.png", "--tile=a4"}} {
		_, _, was := drawn("1", c.file, c.job, c.more)
		out, _, is := drawn("0.8", c.file, c.job, c.more)
		_, said, _ := drawn("0.8", c.file, c.job, strings.Replace(c.more, "--json", "--wide", 1))
		if !strings.Contains(said, "Lot G-1 of pale gold colours 0.8 times as much") || bytes.Equal(was, is) {
			t.Errorf("%s: drawn as of a lot like the data; %s", c.job, said)
		}
		if c.job == "card" {
			continue
		}
		v := fromJSON[struct {
			Warm, Cool struct{ Blends []job.BlendView }
		}](t, out)
		for _, p := range append(v.Warm.Blends[0].Parts, v.Cool.Blends[0].Parts...) {
			if share := fmt.Sprintf("Reckoned with that, its share is %.3g %%", p.Percent); p.Powder == "pale gold" && !strings.Contains(said, share) {
				t.Errorf("its share is %g %%; %s", p.Percent, said)
			}
		}
	}
}

// One jar makes no warm and no cool version: nothing is drawn, and what helps is said.
func TestCompareTwoAlike(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	drawer, out := filepath.Join(dir, "mine.csv"), filepath.Join(dir, "out")
	mustRun(t, "drawer", "add", "--name", "rose pearl", "--inci", "Mica, Titanium Dioxide, Iron Oxides (CI 77491)", "--size", "10-60", "--colour", "rose", "--drawer", drawer)
	args := []string{"compare", "--skin", "deep", "--target", "rose", "--load", "3", "--max", "2", "--drawer", drawer, "--for", "client", "--flat", "--dpi", "72", "--out", out}
	if code, _, errs := tawny(t, args...); code != exitInput || !strings.Contains(errs, "look alike") || !strings.Contains(errs, "--also-built-in") {
		t.Errorf("exit %d: %s", code, errs)
	}
	if left, _ := os.ReadDir(out); len(left) > 0 {
		t.Errorf("written: %v", left)
	}
	mustRun(t, append(args, "--also-built-in")...)
}

// Boards and the cards of a range weigh from the lots of the book too, each of its strength.
func TestBoardsWeighFromTheLots(t *testing.T) {
	t.Parallel()
	file, book := bookAt(t)
	dir := t.TempDir()
	book("add", "lot", "C-7", "--powder", "copper", "--grams", "90", "--strength", "0.8")
	const lot = "colours 0.8 times as much"
	for line, says := range map[string]bool{
		"card --kind coverages --skin tan --part copper=2": true, "card --kind skins --on tan --on dark --part copper=2": true,
		"card --kind skins --for client --on tan --on dark --part copper=2": false, "card --kind arm --skin tan --part copper=2 --size 60x40": false,
		"range --on tan --on dark --target skin:1,2,3 --only copper,bronze --within 20": true,
	} {
		args := append(strings.Fields(line), "--out", dir, "--book", file)
		if !strings.Contains(line, "arm") && !strings.HasPrefix(line, "range") {
			args = append(args, "--dpi", "72")
		}
		if code, _, errs := tawny(t, args...); code != 0 || strings.Contains(flat(errs), lot) != says {
			t.Errorf("%s: exit %d, %s", line, code, errs)
		}
	}
	sheets, err := filepath.Glob(filepath.Join(dir, "*.txt"))
	if err != nil || len(sheets) != 2 {
		t.Fatalf("%q, %v", sheets, err)
	}
	for _, sheet := range sheets {
		text, err := os.ReadFile(sheet)
		if err != nil || !strings.Contains(string(text), "Range on ") || !strings.Contains(string(text), "  C-7\n") || strings.Count(string(text), lot) == 0 {
			t.Errorf("%s: %v\n%s", sheet, err, text)
		}
	}
}

// What the jars hold is in the data too.
func TestJarsInJSON(t *testing.T) {
	for _, args := range [][]string{
		{"card", "--demo", "--json", "--flat", "--out", t.TempDir()},
		{"card", "--skin", "tan", "--part", "bronze=2", "--json", "--flat", "--out", t.TempDir()},
		{"match", "--demo", "--json"},
	} {
		type jars struct {
			Jars []struct{ Lab colour.Lab }
		}
		var got struct {
			Blend  jars
			Blends []jars
		}
		if err := json.Unmarshal([]byte(mustRun(t, args...)), &got); err != nil {
			t.Fatal(err)
		}
		j := got.Blend.Jars
		if len(got.Blends) > 0 {
			j = got.Blends[0].Jars
		}
		if len(j) != 2 || !(j[0].Lab.L > j[1].Lab.L) || !(j[1].Lab.L > 5) {
			t.Errorf("%v: jars %+v; a wet lotion lighter than its dry film is wanted", args, j)
		}
	}
}

// Seen under stage the second light is daylight: stage against itself would say
// nothing.
func TestSecondLightDiffers(t *testing.T) {
	for first, want := range map[string]string{"stage": "D65/2", "Stage": "D65/2", "D65": "stage/2", "A": "stage/2"} {
		var got struct {
			Conditions struct{ SecondLight string }
			Blends     []struct{ LightShiftDeltaE00 float64 }
		}
		out := mustRun(t, "match", "--skin", "tan", "--target", "skin:2,3,4", "--illuminant", first, "--json")
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		if got.Conditions.SecondLight != want || got.Blends[0].LightShiftDeltaE00 < 0.2 {
			t.Errorf("under %s the second light is %s and the shift %.2f", first, got.Conditions.SecondLight, got.Blends[0].LightShiftDeltaE00)
		}
	}
	var list []struct{ LightShiftDeltaE00 float64 }
	if err := json.Unmarshal([]byte(mustRun(t, "skin", "--illuminant", "stage", "--json")), &list); err != nil || len(list) == 0 {
		t.Fatalf("%d presets: %v", len(list), err)
	}
	for _, s := range list {
		if s.LightShiftDeltaE00 < 0.2 {
			t.Errorf("a preset under stage shifts by %.2f", s.LightShiftDeltaE00)
		}
	}
}

// A card of a shade that is not reached says so as the match does, for each skin; of one
// that is, only what was written.
func TestACardSaysWhatIsNotReached(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, c := range []struct {
		line string
		says []string // lines' beginnings, in order
	}{
		{"card --skin tan --target skin:30,3,4 --only bronze,copper", []string{"With a load of exactly 3 %", "Wrote"}},
		{"card --skin tan --target skin:1,2,3", []string{"Wrote"}},
		{"card --skin tan --target skin:30,3,4 --only bronze,copper --kind skins --on light --on dark", []string{"On light: With a load", "On dark: With a load", "Wrote"}},
		{"chart --skin tan --target skin:1,2,3 --only bronze,copper --gleam 60..70", []string{"The gleam asked for", "Wrote"}},
	} {
		said := mustRun(t, append(strings.Fields(c.line), "--out", dir)...)
		rest := flat(said)
		for _, want := range c.says {
			_, after, found := strings.Cut(rest, want)
			if !found {
				t.Errorf("%s:\n%s\nlacks %q", c.line, said, want)
			}
			rest = after
		}
		if len(c.says) == 1 && !strings.HasPrefix(strings.TrimSpace(said), c.says[0]) {
			t.Errorf("%s:\n%s", c.line, said)
		}
	}
}
