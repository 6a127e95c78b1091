package batch

import (
	"bytes"
	"encoding/json"
	"errors"
	"html"
	"io"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// awkward is a name that would break a sheet that did not mind its marks.
const awkward = `Łódź <b>ñ|gold</b> *x_y* & "日本" \|`

func sheetBatch(t testing.TB) *Batch {
	t.Helper()
	gold := demoGold()
	gold.Name = awkward
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 5, ContainerML: 100, LossPercent: 2, Title: awkward, Code: "E-07",
		Parts: []Part{{gold, 4}, {demoRed(), 0.3}}, Scent: &Scent{Name: "Demo scent", Percent: 0.4}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func wanted(b *Batch) []SheetWeight {
	var out []SheetWeight
	for i, l := range b.Weighings {
		name, steps := b.toWeigh(i)
		out = append(out, SheetWeight{l.Phase, name, b.Format(steps)})
	}
	return out
}

// A Markdown sheet read back equals what was computed.
func TestMarkdownReadBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		base := randomBase(r)
		gold := demoGold()
		gold.Name = rapid.StringMatching(`[A-Za-zŁé|*_<>\\& ]{1,20}[a-z]`).Draw(r, "name")
		gold.Name = strings.Join(strings.Fields(gold.Name), " ")
		b, err := Scale(Request{Base: base, Grams: rapid.Float64Range(50, 5000).Draw(r, "grams"), Parts: []Part{{gold, 3}}})
		if err != nil {
			r.Fatal(err)
		}
		var out bytes.Buffer
		if err := Markdown(&out, b); err != nil {
			r.Fatal(err)
		}
		got, total, err := ReadSheet(&out, "sheet.md")
		if err != nil {
			r.Fatal(err)
		}
		want := wanted(b)
		if total != b.Format(b.TotalSteps) || len(got) != len(want) {
			r.Fatalf("read %d of %d weights, total %s", len(got), len(want), total)
		}
		for i := range got {
			if got[i] != want[i] {
				r.Fatalf("read %+v, computed %+v", got[i], want[i])
			}
		}
	})
}

// The HTML and the text show the same weights, and names are escaped.
func TestHTMLAndTextReadBack(t *testing.T) {
	b := sheetBatch(t)
	var page, text bytes.Buffer
	if err := HTML(&page, b, grey(t)); err != nil {
		t.Fatal(err)
	}
	if err := Text(&text, b); err != nil {
		t.Fatal(err)
	}
	row := regexp.MustCompile(`<tr data-steps="(\d+)"[^>]*><td><span class="box"></span></td><td>(\w+)</td><td>(.*?)( \*)?(?: <span class="note">.*?</span>)?</td><td class="n">[^<]*</td><td class="n g">([\d.]+)</td>`)
	got := row.FindAllStringSubmatch(page.String(), -1)
	want := wanted(b)
	if len(got) != len(want) {
		t.Fatalf("%d rows of %d", len(got), len(want))
	}
	for i, g := range got {
		if w := (SheetWeight{Phase(g[2]), html.UnescapeString(g[3]), g[5]}); w != want[i] {
			t.Errorf("page shows %+v, computed %+v", w, want[i])
		}
	}
	s := page.String()
	if strings.Contains(s, "<b>ñ") || !strings.Contains(s, `src="data:image/png;base64,`) {
		t.Error("page is not escaped or has no swatch")
	}
	for _, fetch := range []string{"http://", "https://", "<script", "@import", "url("} {
		if strings.Contains(s, fetch) {
			t.Errorf("page holds %q", fetch)
		}
	}
	line := regexp.MustCompile(`(?m)^☐ (\w+) .*?([\d.]+)  \S+$`)
	lines := line.FindAllStringSubmatch(strings.Split(text.String(), "BEFORE YOU START")[0], -1)
	if len(lines) != len(want) {
		t.Fatalf("%d lines of %d in\n%s", len(lines), len(want), text.String())
	}
	for i, l := range lines {
		if Phase(l[1]) != want[i].Phase || l[2] != want[i].Grams {
			t.Errorf("text shows %v, computed %+v", l[1:], want[i])
		}
	}
}

// Nothing computed is lost: each sheet holds every step, reading, caution,
// finding, label text and day of the log.
func TestSheetsAreWhole(t *testing.T) {
	b := sheetBatch(t)
	flat := func(s string) string { return strings.Join(strings.Fields(html.UnescapeString(s)), " ") }
	var text, md, page bytes.Buffer
	for _, err := range []error{Text(&text, b), Markdown(&md, b), HTML(&page, b, nil)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	tags := regexp.MustCompile(`<[^>]*>`)
	sheets := map[string]string{
		"text": flat(text.String()),
		"md":   flat(uncell(md.String())),
		"html": flat(tags.ReplaceAllString(page.String(), "")),
	}
	var words []string
	for _, s := range b.Steps {
		words = append(words, s.Title)
		words = append(words, s.Do...)
		for _, r := range s.Readings {
			words = append(words, r.What)
		}
	}
	for _, c := range b.Cautions {
		words = append(words, c.Text)
	}
	for _, f := range b.Findings {
		words = append(words, f.Text)
	}
	for _, v := range b.Vessels {
		words = append(words, v.String())
	}
	for _, p := range b.Premixes {
		words = append(words, p.String())
	}
	for _, f := range b.Powders {
		words = append(words, f.String())
	}
	for _, m := range b.Label.Markets() {
		words = append(words, m.Text.Ingredients, m.Text.Net)
		words = append(words, m.Text.Cautions...)
		words = append(words, m.Text.Notes...)
	}
	words = append(words, b.Filling.String(), b.Suspension.Text, b.TopUp.Text, "28", "40 °C")
	for name, sheet := range sheets {
		for _, w := range words {
			if !strings.Contains(sheet, flat(w)) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
	}
}

// The text sheet keeps to its width, the longest names included.
func TestTextWidth(t *testing.T) {
	var out bytes.Buffer
	if err := Text(&out, sheetBatch(t)); err != nil {
		t.Fatal(err)
	}
	for _, l := range strings.Split(out.String(), "\n") {
		if n := len([]rune(l)); n > textWidth+14 {
			t.Errorf("%d columns: %s", n, l)
		}
	}
}

// JSON keeps lower camel case and full precision.
func TestJSON(t *testing.T) {
	b := sheetBatch(t)
	raw, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	var back Batch
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	if back.TotalSteps != b.TotalSteps || back.DensityGML != b.DensityGML || len(back.Weighings) != len(b.Weighings) {
		t.Error("lost on the way")
	}
	// a sheet of the batch read back is the sheet of the batch computed
	for _, render := range []func(io.Writer, *Batch) error{Text, Markdown} {
		var one, two bytes.Buffer
		if err := errors.Join(render(&one, b), render(&two, &back)); err != nil || one.String() != two.String() {
			t.Errorf("the sheet changed on the way (%v)", err)
		}
	}
	for i := range back.Weighings {
		if back.Weighings[i].Grams != b.Weighings[i].Grams || back.Weighings[i].Percent != b.Weighings[i].Percent {
			t.Errorf("%+v", back.Weighings[i])
		}
	}
	for _, key := range regexp.MustCompile(`"(\w+)":`).FindAllStringSubmatch(string(raw), -1) {
		if c := key[1][0]; c < 'a' || c > 'z' || strings.Contains(key[1], "_") {
			t.Errorf("key %q", key[1])
		}
	}
}

func FuzzReadSheet(f *testing.F) {
	var out bytes.Buffer
	if err := Markdown(&out, sheetBatch(f)); err != nil {
		f.Fatal(err)
	}
	f.Add(out.String())
	f.Add("| ☐ | phase | ingredient | % w/w | g | lot |\n| | | **total** | 100 | 9223372036854775807 | |")
	f.Fuzz(func(t *testing.T, s string) {
		w, total, err := ReadSheet(strings.NewReader(s), "fuzz.md")
		if err == nil && total == "" {
			t.Errorf("%d weights and no total", len(w))
		}
	})
}
