package page

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// axeFault is what axe-core reports of one rule.
type axeFault struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		HTML string `json:"html"`
		Says string `json:"failureSummary"`
	} `json:"nodes"`
}

// TestAxe lets axe-core look for barriers: none may be found, on any screen.
func TestAxe(t *testing.T) {
	const how = "axe-core is not here: npm install axe-core in a folder of its own, and run with TAWNY_AXE=that folder/node_modules/axe-core/axe.min.js"
	path := os.Getenv("TAWNY_AXE")
	if path == "" {
		if os.Getenv("TAWNY_BROWSER") == "required" {
			t.Fatal(how)
		}
		t.Skip(how)
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	photo, err := filepath.Abs(readingData + "scene.jpg")
	if err != nil {
		t.Fatal(err)
	}
	open := script(`for (const d of document.querySelectorAll("details")) d.open = true`)
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			t.Parallel()
			s := serve(t, nil)
			ctx, c := browse(t, sz)
			c.forgiven = "422"
			at := func(query string) chromedp.Action { return chromedp.Navigate(s.URL() + query) }
			for _, screen := range []struct {
				name    string
				actions []chromedp.Action
			}{
				{"who", []chromedp.Action{letIn(s), at("?skin=light&sides=true&turn=10&pin=bronze=2|champagne=1&containers=4&ml=50"), until("blends are ranked", ranked), until("the shimmer is pictured", pictured), open}},
				{"look", []chromedp.Action{
					onto("look"), until("the map is there", `document.querySelectorAll("#map .shade").length > 12`),
					until("the sides are there", `document.querySelectorAll("#versions .version").length === 2`),
					script(`document.querySelector("#map input").click()`), until("blends are ranked", ranked),
				}},
				{"blend", []chromedp.Action{onto("blend"), until("each is pictured", painted), until("one is pinned", `document.querySelectorAll("#pins .version").length === 1`)}},
				{"make", []chromedp.Action{onto("make"), until("the sheet is drawn", `document.querySelectorAll("#paper .doing > li").length > 5`), open}},
				{"making", []chromedp.Action{
					chromedp.Click("#begin"), until("the batch is begun", `document.querySelectorAll("#paper .weight input").length > 5`),
					script(`(() => { const i = document.querySelector("#paper .weight input[type=text]"); i.value = "99"; i.dispatchEvent(new Event("change")); })()`),
					until("it is asked about", `document.getElementById("ask").open`),
				}},
				{"weighed", []chromedp.Action{
					chromedp.Click("#ask-yes"), until("lines to come change", `[...document.querySelectorAll("#paper em")].some((e) => e.textContent.startsWith("now"))`),
				}},
				{"keep", []chromedp.Action{onto("keep"), until("the book lists it", `document.querySelectorAll("#book-body li").length > 0 && !document.querySelector("#book-body[aria-busy]")`), open,
					script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Make again").click()`), until("how is asked", `document.querySelector("#book-body [data-field=code]") !== null`)}},
				{"drawer", []chromedp.Action{onto("drawer"), until("the stock is counted", `document.querySelector("#stock-body").textContent.includes("No lots")`), open}},
				{"photo", []chromedp.Action{
					onto("who"), chromedp.SetUploadFiles("#photo-file", []string{photo}),
					until("the photo is there", `document.getElementById("photo").open && document.getElementById("photo-image").naturalWidth > 0`),
					dragMark(0, 126.0/480, 38.0/340), dragMark(1, 200.0/480, 92.0/340),
					until("the photo is measured", `document.getElementById("photo-result").textContent !== ""`),
					script(`document.getElementById("add-known").click()`),
				}},
				{"fault", []chromedp.Action{at("file/batch/sheet.html?skin=tan&part=moonstone=2")}},
				{"a skin that is none", []chromedp.Action{at("?skin=beetroot"), until("the fault is said", `!document.getElementById("skin-text-fault").hidden || !document.getElementById("trouble").hidden`)}},
			} {
				var found string
				// The page's policy lets no script in but its own; this one comes
				// over the debugger, which the policy does not bind.
				actions := append(screen.actions, chromedp.Evaluate("window.axe || (()=>{"+string(source)+"})();0", nil),
					chromedp.Evaluate(`axe.run(document, { resultTypes: ["violations"] }).then((r) => JSON.stringify({ faults: r.violations, passes: r.passes.length }))`, &found, chromedp.EvalAsValue, awaitPromise))
				if err := chromedp.Run(ctx, actions...); err != nil {
					t.Fatalf("%s: %v", screen.name, err)
				}
				var r struct {
					Faults []axeFault `json:"faults"`
					Passes int        `json:"passes"`
				}
				if err := json.Unmarshal([]byte(found), &r); err != nil {
					t.Fatal(err)
				}
				if r.Passes < 10 {
					t.Errorf("%s: only %d rules looked at anything", screen.name, r.Passes)
				}
				for _, f := range r.Faults {
					says := fmt.Sprintf("%s: %s (%s): %s", screen.name, f.ID, f.Impact, f.Help)
					for _, n := range f.Nodes {
						says += "\n\t" + n.HTML + "\n\t" + n.Says
					}
					t.Error(says)
				}
			}
		})
	}
}
