package batch

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/canvas"
)

// pdfText is what the page streams of a PDF show, and its pages. Text is
// written as UTF-16 between parentheses (ISO 32000-1, 7.3.4.2).
func pdfText(t *testing.T, raw []byte) (string, int) {
	t.Helper()
	var out strings.Builder
	shown := regexp.MustCompile(`(?s)\((.*?[^\\]|)\)\s*Tj`)
	for _, text := range contents(raw) {
		for _, m := range shown.FindAllSubmatch(text, -1) {
			units := []byte(strings.NewReplacer(`\(`, "(", `\)`, ")", `\\`, `\`, `\r`, "\r").Replace(string(m[1])))
			for i := 0; i+1 < len(units); i += 2 {
				out.WriteRune(rune(units[i])<<8 | rune(units[i+1]))
			}
			out.WriteString("\n")
		}
	}
	return out.String(), bytes.Count(raw, []byte("/Type /Page\n"))
}

// contents are the streams of a PDF, unpacked.
func contents(raw []byte) (all [][]byte) {
	for _, part := range bytes.Split(raw, []byte("stream\n"))[1:] {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			text, _ := io.ReadAll(z)
			all = append(all, text)
		}
	}
	return all
}

// A normal batch of every built-in base has its bench side on one page and
// the rest on a second, and every weight, step and reading is there.
func TestPDF(t *testing.T) {
	swatch := grey(t)
	bs := Builtin()
	for _, base := range bs {
		for _, letter := range []bool{false, true} {
			b, err := Scale(Request{Base: base, Containers: 6, ContainerML: 100, LossPercent: 3, Title: "Evening gold", Parts: []Part{{demoGold(), 4}, {demoRed(), 0.3}}})
			if err != nil {
				t.Fatal(err)
			}
			var out bytes.Buffer
			if err := PDF(&out, b, swatch, letter); err != nil {
				t.Fatal(err)
			}
			text, pages := pdfText(t, out.Bytes())
			if pages != 2 {
				t.Errorf("%s, letter %v: %d pages", base.Name, letter, pages)
			}
			for i, l := range b.Weighings {
				if _, steps := b.toWeigh(i); !strings.Contains(text, "\n"+b.Format(steps)+"\n") {
					t.Errorf("%s: weight of %s is missing", base.Name, l.Name)
				}
			}
			for _, s := range b.Steps {
				if !strings.Contains(text, s.Title+"\n") && !strings.Contains(text, strings.Fields(s.Title)[0]) {
					t.Errorf("%s: step %q is missing", base.Name, s.Title)
				}
			}
			if !strings.Contains(text, b.Format(b.TotalSteps)) || !strings.Contains(text, "STABILITY LOG") {
				t.Errorf("%s: no total or no log", base.Name)
			}
		}
	}
}

// Each side is named at its foot, and where the steps leave room the filling
// and the wearing stand on the bench side, once.
func TestPDFSides(t *testing.T) {
	for name, roomy := range map[string]bool{"bought-white-lotion": true, "everyday-lotion": false} {
		b, err := Scale(Request{Base: mustFind(t, name), Grams: 500, Code: "E-07", Parts: []Part{{demoGold(), 4}}})
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := PDF(&out, b, nil, false); err != nil {
			t.Fatal(err)
		}
		text, pages := pdfText(t, out.Bytes())
		bench, after, found := strings.Cut(text, "E-07: label and log, page 2\n")
		if !found || pages != 2 || !strings.Contains(bench, "E-07: bench, page 1\n") || !strings.Contains(after, "STABILITY LOG\n") {
			t.Errorf("%s: sides are not named", name)
		}
		for _, section := range []string{"FILLING\n", "WEARING AND SELLING\n"} {
			if n := strings.Count(text, section); n != 1 || (section == "FILLING\n" && strings.Contains(bench, section) != roomy) {
				t.Errorf("%s: %q stands %d times, on the bench side: %v", name, section, n, strings.Contains(bench, section))
			}
		}
		flat := strings.Join(strings.Fields(text), " ")
		for _, c := range b.CautionsFor(WhenFilling, WhenSelling, WhenWearing) {
			if !strings.Contains(flat, c.Text) {
				t.Errorf("%s: caution %q is lost", name, c.Text)
			}
		}
	}
}

// With one premix or two the sheet is still two pages, and what is bold in the
// table goes on the balance: no powder of a premix, and the carrier's rest.
func TestPDFPremixes(t *testing.T) {
	for _, parts := range [][]Part{{{demoGold(), 4}, {demoRed(), 0.05}}, {{demoGold(), 0.09}, {demoRed(), 0.05}}} {
		for _, name := range []string{"everyday-lotion", "silk-body-oil", "rich-body-cream", "standing-gel-oil", "shake-water-spray"} {
			b, err := Scale(Request{Base: mustFind(t, name), Containers: 16, ContainerML: 50, LossPercent: 3, Title: "Evening gold", Date: "2026-11-27", Parts: parts})
			if err != nil {
				t.Fatal(err)
			}
			want := 1
			if parts[0].Percent < 1 {
				want = 2
			}
			if len(b.Premixes) != want {
				t.Errorf("%s: %d premixes", name, len(b.Premixes))
			}
			var out bytes.Buffer
			if err := PDF(&out, b, nil, false); err != nil {
				t.Fatal(err)
			}
			text, pages := pdfText(t, out.Bytes())
			if pages != 2 {
				t.Errorf("%s: %d pages with %d premixes", name, pages, want)
			}
			sum := int64(0)
			for i := range b.Weighings {
				_, n := b.toWeigh(i)
				sum += n
				if !strings.Contains(text, "\n"+b.Format(n)+"\n") {
					t.Errorf("%s: %s is not on the sheet", name, b.Format(n))
				}
			}
			if sum != b.TotalSteps {
				t.Errorf("%s: what is weighed sums to %d steps of %d", name, sum, b.TotalSteps)
			}
		}
	}
}

// A long batch loses nothing: it goes on to further pages.
func TestPDFLong(t *testing.T) {
	base := mustFind(t, "everyday-lotion")
	for i := range 40 {
		base.Ingredients = append(base.Ingredients, Ingredient{Phase: PhaseCool, Name: "Extra " + strings.Repeat("x", i%30) + string(rune('a'+i%26)), INCI: "Extra", Percent: 0.5, Roles: []Role{RoleActive}, AddBelowC: 40})
	}
	base.Ingredients[0].Percent -= 20
	b, err := Scale(Request{Base: base, Grams: 5000, Parts: []Part{{demoGold(), 4}}})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := PDF(&out, b, nil, false); err != nil {
		t.Fatal(err)
	}
	text, pages := pdfText(t, out.Bytes())
	if pages < 3 {
		t.Errorf("%d pages", pages)
	}
	for _, l := range b.Weighings {
		if n := strings.Count(text, l.Name); n < 2 && !strings.Contains(l.Name, " ") {
			t.Errorf("%s stands %d times", l.Name, n)
		}
	}
	if n := strings.Count(text, "Extra "); n < 80 {
		t.Errorf("%d of 80 extras", n)
	}
}

// grey is a swatch of 60 × 40 mm.
func grey(t *testing.T) *canvas.Raster {
	t.Helper()
	r, err := canvas.NewRaster(60, 40, 40, colour.RGB8{R: 128, G: 128, B: 128})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Any text can be printed: letters of another script stand as their outlines, and
// what no font has leaves a line to write it on.
func TestPDFAnyText(t *testing.T) {
	outlines := map[string]int{}
	for _, title := range []string{"gold \x00\xff", "林 gold \x00\xff", "林 gold עברית \x00\xff"} {
		b := sheetBatch(t)
		b.Title = title
		var out bytes.Buffer
		if err := PDF(&out, b, nil, false); err != nil {
			t.Fatal(err)
		}
		if text, _ := pdfText(t, out.Bytes()); !strings.Contains(text, "gold") {
			t.Errorf("gold of %q is not on the sheet", title)
		}
		for _, text := range contents(out.Bytes()) {
			outlines[title] += bytes.Count(text, []byte("h\nf\n")) + bytes.Count(text, []byte(" re f\n"))
		}
	}
	if plain, line, hebrew := outlines["gold \x00\xff"], outlines["林 gold \x00\xff"], outlines["林 gold עברית \x00\xff"]; line < plain+1 || hebrew < line+5 {
		t.Errorf("%d shapes without a missing letter, %d with one, %d with five Hebrew ones", plain, line, hebrew)
	}
}
