package swatches

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"
)

var pdfDate = time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)

func pdfBytes(t *testing.T, p Paper, pages ...Drawing) []byte {
	t.Helper()
	data, _, err := PDF(p, "demo cards", pdfDate, pages...)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// streams returns the inflated streams of a document.
func streams(data []byte) (all []string) {
	for _, at := range regexp.MustCompile(`stream\r?\n`).FindAllIndex(data, -1) {
		z, err := zlib.NewReader(bytes.NewReader(data[at[1]:]))
		if err != nil {
			continue
		}
		s, _ := io.ReadAll(z)
		all = append(all, string(s))
	}
	return all
}

// The pages of a PDF have the paper's exact size in points of 1/72 inch, carry
// their text as text in embedded fonts, and are the same bytes every time.
func TestPDF(t *testing.T) {
	first := pdfBytes(t, Upright, shimmerCard("light", "bright gold"), crowdedCard())
	if !bytes.Equal(first, pdfBytes(t, Upright, shimmerCard("light", "bright gold"), crowdedCard())) {
		t.Error("two documents of the same cards differ")
	}
	for _, want := range []string{"%PDF-1.", "/MediaBox [0 0 288.00 432.00]", "/FontFile2", "/BaseFont /TAWNYR+Lato-Regular", "/FontName /TAWNYB+Lato-Bold", "/ToUnicode", "/Identity-H", "/Count 2", "/S /GTS_PDFA1", "(sRGB IEC61966-2.1)", "/DestOutputProfile"} {
		if !bytes.Contains(first, []byte(want)) {
			t.Errorf("the document lacks %q", want)
		}
	}
	if bytes.Contains(first, []byte("utf8")) {
		t.Error("a font keeps the library's name")
	}
	// Text is written as UTF-16 between parentheses.
	utf16 := func(s string) string {
		var b strings.Builder
		for _, r := range s {
			fmt.Fprintf(&b, "%c%c", r>>8, r&0xff)
		}
		return b.String()
	}
	all := strings.Join(streams(first), "\n")
	for _, want := range []string{"Lantern gold", "matched here"} {
		if !strings.Contains(all, utf16(want)) {
			t.Errorf("%q is not in the document as text", want)
		}
	}
	if wide := pdfBytes(t, Wide, demoCard()); !bytes.Contains(wide, []byte("/MediaBox [0 0 432.00 288.00]")) {
		t.Error("a wide page is not wide")
	}
	a4 := pdfBytes(t, A4, &Sheet{[]*Card{demoCard()}, 1})
	if !bytes.Contains(a4, []byte("/MediaBox [0 0 595.28 841.89]")) {
		t.Error("a sheet is not A4")
	}
}

func TestPDFRefusesBadPages(t *testing.T) {
	if data, _, err := PDF(Paper{-1, 10, 200}, "x", pdfDate, demoCard()); err == nil || data != nil {
		t.Error("a page of negative width was written")
	}
}

// Four small cards go to a sheet, two that say more; every card is drawn whole
// inside the page, and what fits no sheet is refused.
func TestSheets(t *testing.T) {
	for name, p := range map[string]Paper{"A4": A4, "Letter": Letter} {
		for most, one := range map[int]func() *Card{4: clientCard, 2: demoCard} {
			cards := make([]*Card, 9)
			for i := range cards {
				cards[i] = one()
				cards[i].Small = true
			}
			sheets, err := Sheets(p, cards...)
			if err != nil {
				t.Fatal(err)
			}
			if len(sheets) != (9+most-1)/most || len(sheets[0].Cards) != most {
				t.Errorf("%s: %d sheets, the first of %d", name, len(sheets), len(sheets[0].Cards))
			}
			for _, s := range sheets {
				titles := 0
				for _, x := range record(t, name, s, p, sevenPoint).texts {
					if x.s == "Lantern gold" {
						titles++
					}
				}
				if titles != len(s.Cards) {
					t.Errorf("%s: %d of %d cards drawn", name, titles, len(s.Cards))
				}
			}
		}
	}
	full := crowdedCard()
	full.Blocks = append(full.Blocks, full.Blocks...)
	full.Blocks = append(full.Blocks, full.Blocks...)
	if _, err := Sheets(A4, full); err == nil {
		t.Error("a card longer than its sheet was accepted")
	}
}
