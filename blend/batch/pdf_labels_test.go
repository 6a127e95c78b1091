package batch

import (
	"bytes"
	"strings"
	"testing"
)

// A front and a back for each container, whole, on sheets that hold so many;
// what is guessed is marked; what does not fit is refused.
func TestLabelsPDF(t *testing.T) {
	one := 1
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 8, ContainerML: 30, Samples: &one, Date: "2026-11-27", Title: "Evening gold", Parts: []Part{{demoGold(), 3}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range b.Label.Markets() {
		on, err := LabelSheetOf(false, 14)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := LabelsPDF(&out, b, m, on); err != nil {
			t.Fatal(err)
		}
		text, pages := pdfText(t, out.Bytes())
		flat := strings.Join(strings.Fields(text), " ")
		if pages != 2 { // 9 fronts and 9 backs, 14 to a sheet
			t.Errorf("%s: %d pages", m.Name, pages)
		}
		for _, want := range append([]string{"Evening gold", m.Text.Product, m.Text.Net, m.Text.Ingredients, m.Text.Lines[0], "DRAFT: shares guessed, so check the place of Cetearyl Olivate, Sorbitan Olivate"}, m.Text.Cautions...) {
			if n := strings.Count(flat, want); n != 9 {
				t.Errorf("%s: %q stands %d times", m.Name, want, n)
			}
		}
	}
	small, _ := LabelSheetOf(true, 30)
	if err := LabelsPDF(&bytes.Buffer{}, b, b.Label.Markets()[0], small); err == nil || !strings.Contains(err.Error(), "larger labels") {
		t.Error(err)
	}
	if _, err := LabelSheetOf(false, 20); err == nil || !strings.Contains(err.Error(), "8, 14, 21, 24") {
		t.Error(err)
	}
}
