package page

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// dragging moves the load step by step and times, in ms, how long
// the strip and the picture take to follow.
const dragging = `(async () => {
	const s = document.getElementById("load"), worn = document.getElementById("flat-worn"), img = document.getElementById("shimmer");
	const change = (of, attribute) => new Promise((done) => {
		const o = new MutationObserver(() => { o.disconnect(); done(performance.now()); });
		o.observe(of, { attributes: true, attributeFilter: [attribute] });
	});
	const flat = [], picture = [];
	for (let i = 0; i < 15; i++) {
		const start = performance.now(), a = change(worn, "style"), b = change(img, "src");
		s.value = String(i % 2 ? 8 - i / 4 : 1 + i / 4); // far enough apart for another colour on the screen
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
	t.Parallel()
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			t.Parallel()
			if flat, picture := drag(t, sz); len(flat) != 15 || len(picture) != 15 {
				t.Errorf("of 15 steps the strip followed %d and the picture %d", len(flat), len(picture))
			}
		})
	}
}

// The page wants the flat colour within 25 ms and the picture within 120.
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

// The job can be done without a pointer: skip link first, the load by arrow keys,
// shades and blends as one group of radio buttons each, undo by Ctrl+Z.
func TestKeyboard(t *testing.T) {
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	focus := func(into *string) chromedp.Action {
		return chromedp.Evaluate(`document.activeElement.id || document.activeElement.className || document.activeElement.name || document.activeElement.textContent`, into)
	}
	var first, head, before, after, undone, shade, picked string
	var busy bool
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()), until("blends are ranked", ranked),
		chromedp.KeyEvent(kb.Tab), focus(&first),
		chromedp.Focus(`.steps a[href="#look"]`), chromedp.KeyEvent(kb.Enter),
		until("the look shows", `!document.getElementById("step-look").hidden`), focus(&head),
		until("the map is there", `document.querySelectorAll("#map .shade").length > 12`),
		chromedp.Focus("#load"), chromedp.Text("#load-out", &before),
		chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight),
		chromedp.Text("#load-out", &after),
		until("the address follows", `location.search.includes("load=") && !document.getElementById("undo").disabled`),
		chromedp.KeyEvent("z", chromedp.KeyModifiers(2)), chromedp.KeyEvent("z", chromedp.KeyModifiers(2)), chromedp.KeyEvent("z", chromedp.KeyModifiers(2)),
		until("all is undone", `document.getElementById("undo").disabled`),
		chromedp.Text("#load-out", &undone),
		chromedp.Evaluate(`document.querySelector("#map input").focus()`, nil), chromedp.KeyEvent(" "), chromedp.KeyEvent(kb.ArrowRight),
		until("the second shade is wanted", `document.querySelectorAll("#map input")[1].checked && location.search.includes("target=")`),
		until("it is said", `document.getElementById("shade-says").textContent.startsWith("Wanted: ")`), chromedp.Text("#shade-says", &shade),
		chromedp.Focus(`.steps a[href="#blend"]`), chromedp.KeyEvent(kb.Enter),
		until("blends are ranked", ranked),
		chromedp.Evaluate(`document.querySelector("#rows input:checked").focus()`, nil), chromedp.KeyEvent(kb.ArrowDown),
		until("the second blend is picked", `document.querySelectorAll("#rows input")[1].checked && location.search.includes("part=")`),
		chromedp.Text("#rows .blend:nth-child(2) .parts", &picked),
		chromedp.Evaluate(`document.getElementById("ranked").getAttribute("aria-busy") === "true"`, &busy),
	)
	if err != nil {
		t.Fatal(err)
	}
	if first != "skip" {
		t.Errorf("the first stop is %q, not the skip link", first)
	}
	if head != "How should it look?" {
		t.Errorf("after a step the focus is on %q, not on its heading", head)
	}
	if before == after || undone != before {
		t.Errorf("arrows took %q to %q, undo back to %q", before, after, undone)
	}
	if picked == "" || shade == "Wanted: " {
		t.Errorf("picked %q, shade %q", picked, shade)
	}
	if busy {
		t.Error("a blend that is picked is searched for anew, so the first is worn again")
	}
}

// When tawny does not answer the page says so, and goes on once it does.
func TestTawnyGone(t *testing.T) {
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, phone)
	var says string
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()), until("blends are ranked", ranked),
		chromedp.Evaluate(`window.kept = window.fetch; window.fetch = () => Promise.reject(new TypeError("Failed to fetch"))`, nil),
		move("load", 6),
		until("the trouble is told", `!document.getElementById("trouble").hidden`),
		chromedp.Text("#trouble", &says),
		chromedp.Evaluate(`window.fetch = window.kept`, nil),
		move("load", 5),
		until("the trouble is over", `document.getElementById("trouble").hidden`),
		until("blends are ranked", ranked),
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
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	var says, apply string
	err := chromedp.Run(ctx,
		letIn(s), chromedp.Navigate(s.URL()+"?skin=brown&target=skin:8,6,4&load=1&max=1"), until("blends are ranked", ranked),
		onto("blend"), chromedp.Click("#reach"),
		until("the ways are listed", `document.querySelectorAll("#routes button").length === 2`),
		chromedp.Evaluate(`document.querySelectorAll("#routes button")[1].click()`, nil),
		until("blends are ranked", ranked),
		chromedp.TextContent("#apply-own", &says),
		chromedp.Evaluate(`new URLSearchParams(location.search).get("apply")`, &apply),
	)
	if err != nil {
		t.Fatal(err)
	}
	if apply == "" || !strings.Contains(says, "mg/cm²") {
		t.Errorf("worn at %q, said %q", apply, says)
	}
}
