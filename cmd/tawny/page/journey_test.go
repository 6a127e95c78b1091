package page

import (
	"context"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"tawny/blend/book"
)

// move sets a slider as a hand does: several steps, then let go.
func move(id string, to float64) chromedp.Action {
	return chromedp.Evaluate(fmt.Sprintf(`(() => {
		const s = document.getElementById(%q), from = Number(s.value), to = %g;
		for (let i = 1; i <= 8; i++) {
			s.value = String(from + (to - from) * i / 8);
			s.dispatchEvent(new Event("input", { bubbles: true }));
		}
		s.dispatchEvent(new Event("change", { bubbles: true }));
	})()`, id, to), nil)
}

// until waits for an expression of the page to hold.
func until(says, expression string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		end := time.Now().Add(20 * time.Second)
		for {
			var ok bool
			if err := chromedp.Evaluate(expression, &ok).Do(ctx); err == nil && ok {
				return nil
			} else if time.Now().After(end) {
				return fmt.Errorf("waited in vain until %s (%v)", says, err)
			}
			time.Sleep(30 * time.Millisecond)
		}
	})
}

const (
	ranked5  = `document.querySelectorAll("#rows .blend").length === 5 && document.getElementById("ranked").getAttribute("aria-busy") === "false"`
	pictured = `!document.getElementById("shimmer").hidden && document.getElementById("shimmer").naturalWidth > 0`
)

// TestJourney does the whole job in a browser, skin to card and saved batch,
// on a phone and on a desktop.
func TestJourney(t *testing.T) {
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "book.db")
			s := serve(t, func(c *Config) { c.Book = path })
			ctx, _ := browse(t, sz)
			down := t.TempDir()
			var verdict, second, address, kept, wide string
			err := chromedp.Run(ctx,
				letIn(s), chromedp.Navigate(s.URL()),
				until("five blends are ranked", ranked5),
				until("the shimmer is pictured", pictured),
				chromedp.Evaluate(`window.before = document.querySelector("#rows .blend .of").textContent`, nil),
				// Skin: from the sliders, down to a tan one.
				move("skin-l", 55), move("skin-c", 21), move("skin-h", 58),
				until("the skin is tan", `document.getElementById("skin-says").textContent.startsWith("Tan")`),
				// Shade: warmer and stronger.
				move("to-h", 8), move("to-l", 2),
				until("other blends are ranked", ranked5+` && document.querySelector("#rows .blend .of").textContent !== window.before`),
				chromedp.Text("#rows .blend .of", &second),
				chromedp.Text("#verdict", &verdict),
				until("the address holds the state", `location.search.includes("lch") && location.search.includes("target=skin")`),
				chromedp.Location(&address),
				// The page is never wider than the screen.
				chromedp.Evaluate(`String(document.documentElement.scrollWidth - innerWidth)`, &wide),
				chromedp.SetValue("#title", "Opening night"),
				chromedp.Evaluate(`document.getElementById("title").dispatchEvent(new Event("input"))`, nil),
				browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(down),
				chromedp.Click(`a[href^="/file/card/card.png"]`),
				chromedp.Click("#save-batch"),
				until("the batch is kept", `document.getElementById("kept").textContent.includes("in the book")`),
				chromedp.Text("#kept", &kept),
				until("the book lists it", `[...document.querySelectorAll("#book-body .lines span")].some((a) => a.textContent.includes("Opening night"))`),
			)
			if err != nil {
				t.Fatalf("%v; verdict %q", err, verdict)
			}
			if wide != "0" {
				t.Errorf("the page is %s pixels wider than the screen", wide)
			}
			if !strings.Contains(verdict, "off by") {
				t.Errorf("verdict %q does not say how far off", verdict)
			}
			checkCard(t, filepath.Join(down, "opening-night-card.png"))
			checkBook(t, path, second, kept)

			// A link brings it all back.
			var again string
			if err := chromedp.Run(ctx, chromedp.Navigate(address), until("the link is restored", ranked5), chromedp.Text("#rows .blend .of", &again)); err != nil {
				t.Fatal(err)
			}
			if again != second {
				t.Errorf("the link brought back %q, not %q", again, second)
			}
		})
	}
}

// checkCard waits for the download and reads it as a card of 4 × 6 inches.
func checkCard(t *testing.T, path string) {
	t.Helper()
	var f *os.File
	var err error
	for range 100 {
		if f, err = os.Open(path); err == nil {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	if err != nil {
		t.Fatalf("no card: %v", err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatalf("card: %v", err)
	}
	if b := m.Bounds(); b.Dx() != 800 || b.Dy() != 1200 {
		t.Errorf("card is %d × %d, not 800 × 1200", b.Dx(), b.Dy())
	}
	seen := map[[3]uint32]bool{}
	for y := 0; y < 1200; y += 3 {
		for x := 0; x < 800; x += 3 {
			r, g, b, _ := m.At(x, y).RGBA()
			seen[[3]uint32{r, g, b}] = true
		}
	}
	if len(seen) < 10 {
		t.Errorf("card shows %d colours only", len(seen))
	}
}

// checkBook reads the batch back from the book's file.
func checkBook(t *testing.T, path, blendText, kept string) {
	t.Helper()
	ctx := context.Background()
	b, err := book.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	list, err := b.List(ctx, book.Batches)
	if err != nil || len(list) != 1 {
		t.Fatalf("the book lists %d batches (%v), not 1; the page said %q", len(list), err, kept)
	}
	batch, err := b.Batch(ctx, list[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	if batch.Name != "Opening night" || batch.PlannedG != 100 || batch.BlendID == 0 {
		t.Errorf("batch %q of %g g, blend %d; Opening night, 100 g and a blend are wanted", batch.Name, batch.PlannedG, batch.BlendID)
	}
	sum, powders := 0.0, 0
	for _, w := range batch.Weights {
		sum += w.PlannedG
		if w.Role == "powder" {
			powders++
			if !strings.Contains(blendText, w.Name) {
				t.Errorf("the book has %s, the page showed %q", w.Name, blendText)
			}
		}
	}
	if powders == 0 || sum < 99.99 || sum > 100.01 {
		t.Errorf("%d powders, weights add up to %g g; 100 is wanted", powders, sum)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("the book's check: %v, %v", found, err)
	}
}
