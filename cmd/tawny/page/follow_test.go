package page

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// dragging moves the lightness of the skin step by step and times, in ms, how long
// the strip and the picture take to follow.
const dragging = `(async () => {
	const s = document.getElementById("skin-l"), worn = document.getElementById("flat-worn"), img = document.getElementById("shimmer");
	const change = (of, attribute) => new Promise((done) => {
		const o = new MutationObserver(() => { o.disconnect(); done(performance.now()); });
		o.observe(of, { attributes: true, attributeFilter: [attribute] });
	});
	const flat = [], picture = [];
	for (let i = 0; i < 15; i++) {
		const start = performance.now(), a = change(worn, "style"), b = change(img, "src");
		s.value = String(50 + i); // far enough apart for another colour on the screen
		s.dispatchEvent(new Event("input", { bubbles: true }));
		flat.push(await a - start);
		picture.push(await b - start);
	}
	return JSON.stringify({ flat, picture });
})()`

// drag moves the slider fifteen steps in a browser and returns how long each
// step took to show, in ms.
func drag(t testing.TB, sz size) (flat, picture []float64) {
	s := serve(t, nil)
	ctx, _ := browse(t, sz)
	var got string
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()), until("the shimmer is pictured", pictured), chromedp.Evaluate(dragging, &got, awaitPromise)); err != nil {
		t.Fatal(err)
	}
	var took struct{ Flat, Picture []float64 }
	if err := json.Unmarshal([]byte(got), &took); err != nil {
		t.Fatal(err)
	}
	slices.Sort(took.Flat)
	slices.Sort(took.Picture)
	return took.Flat, took.Picture
}

// While a slider moves the flat colour and the picture follow every step. How
// fast is for the benchmark below to say.
func TestFollowsTheSlider(t *testing.T) {
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			if flat, picture := drag(t, sz); len(flat) != 15 || len(picture) != 15 {
				t.Errorf("of 15 steps the strip followed %d and the picture %d", len(flat), len(picture))
			}
		})
	}
}

// The page wants the flat colour within 100 ms and the picture within 500.
func BenchmarkFollowsTheSlider(b *testing.B) {
	for _, sz := range []size{phone, desktop} {
		b.Run(sz.name, func(b *testing.B) {
			for b.Loop() {
				flat, picture := drag(b, sz)
				b.ReportMetric(flat[len(flat)/2], "flat-ms")
				b.ReportMetric(picture[len(picture)/2], "picture-ms")
			}
		})
	}
}

// The job can be done without a pointer: skip link first, sliders by arrow
// keys, blends as one group of radio buttons, undo by Ctrl+Z.
func TestKeyboard(t *testing.T) {
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	focus := func(into *string) chromedp.Action {
		return chromedp.Evaluate(`document.activeElement.id || document.activeElement.className || document.activeElement.name`, into)
	}
	var first, before, after, undone, picked, query string
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()), until("five blends are ranked", ranked5),
		chromedp.KeyEvent(kb.Tab), focus(&first),
		chromedp.Focus("#to-h"), chromedp.Text("#to-h-out", &before),
		chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight),
		chromedp.Text("#to-h-out", &after),
		until("the address follows", `location.search.includes("target=")`),
		chromedp.Evaluate(`history.length > 1 && !document.getElementById("undo").disabled ? "" : "no undo"`, &query),
		chromedp.KeyEvent("z", chromedp.KeyModifiers(2)), chromedp.KeyEvent("z", chromedp.KeyModifiers(2)), chromedp.KeyEvent("z", chromedp.KeyModifiers(2)),
		until("all is undone", `document.getElementById("undo").disabled`),
		chromedp.Text("#to-h-out", &undone),
		until("five blends are ranked", ranked5),
		chromedp.Evaluate(`document.querySelector("#rows input:checked").focus()`, nil), chromedp.KeyEvent(kb.ArrowDown),
		until("the second blend is picked", `document.querySelectorAll("#rows input")[1].checked && location.search.includes("part=")`),
		chromedp.Text("#rows .blend:nth-child(2) .of", &picked),
	)
	if err != nil {
		t.Fatal(err)
	}
	if first != "skip" {
		t.Errorf("the first stop is %q, not the skip link", first)
	}
	if before == after || undone != before || query != "" {
		t.Errorf("arrows took %q to %q, undo back to %q %s", before, after, undone, query)
	}
	if picked == "" {
		t.Error("no blend is picked")
	}
}

// When tawny does not answer the page says so, and goes on once it does.
func TestTawnyGone(t *testing.T) {
	s := serve(t, nil)
	ctx, _ := browse(t, phone)
	var says string
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()), until("five blends are ranked", ranked5),
		chromedp.Evaluate(`window.kept = window.fetch; window.fetch = () => Promise.reject(new TypeError("Failed to fetch"))`, nil),
		move("to-h", 12),
		until("the trouble is told", `!document.getElementById("trouble").hidden`),
		chromedp.Text("#trouble", &says),
		chromedp.Evaluate(`window.fetch = window.kept`, nil),
		move("to-h", 10),
		until("the trouble is over", `document.getElementById("trouble").hidden`),
		until("five blends are ranked", ranked5),
	)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(says, "does not answer") {
		t.Errorf("the page says %q", says)
	}
}

// What is tried from the list of ways is in use and said, though it is none of
// the named coverages.
func TestTryingAWay(t *testing.T) {
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	var says, apply string
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()+"?skin=brown&target=skin:8,6,4&load=1&max=2"), until("blends are ranked", ranked5),
		chromedp.Click("#reach"),
		until("the ways are listed", `document.querySelectorAll("#routes button").length === 2`),
		chromedp.Evaluate(`document.querySelectorAll("#routes button")[1].click()`, nil),
		until("blends are ranked", ranked5),
		chromedp.Text("#apply-own", &says),
		chromedp.Evaluate(`new URLSearchParams(location.search).get("apply")`, &apply),
	)
	if err != nil {
		t.Fatal(err)
	}
	if apply == "" || !strings.Contains(says, "mg/cm²") {
		t.Errorf("worn at %q, said %q", apply, says)
	}
}
