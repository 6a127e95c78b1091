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
	s := serve(t, nil)
	open := script(`for (const d of document.querySelectorAll("details")) d.open = true`)
	for _, sz := range []size{phone, desktop} {
		ctx, c := browse(t, sz)
		c.forgiven = "422"
		for _, screen := range []struct {
			name    string
			query   string
			actions []chromedp.Action
		}{
			{"who", "", []chromedp.Action{until("blends are ranked", ranked), until("the shimmer is pictured", pictured), open}},
			{"look", "?sides=true&turn=10#look", []chromedp.Action{
				until("blends are ranked", ranked), until("the map is there", `document.querySelectorAll("#map .shade").length > 12`),
				until("the sides are there", `document.querySelectorAll("#versions .version").length === 2`),
				script(`document.querySelector("#map input").click()`), until("blends are ranked", ranked), open,
			}},
			{"blend", "?pin=bronze=2|champagne=1#blend", []chromedp.Action{
				until("blends are ranked", ranked), until("each is pictured", painted), until("one is pinned", `document.querySelectorAll("#pins .version").length === 1`), open,
			}},
			{"make", "?containers=4&ml=50#make", []chromedp.Action{until("the sheet is drawn", `document.querySelectorAll("#paper .doing > li").length > 5`), open}},
			{"making", "#make", []chromedp.Action{
				until("the sheet is drawn", `document.querySelectorAll("#paper .doing > li").length > 5`), chromedp.Click("#begin"),
				until("the batch is begun", `document.querySelectorAll("#paper .weight input").length > 5`),
				script(`(() => { const i = document.querySelector("#paper .weight input[type=number]"); i.value = "99"; i.dispatchEvent(new Event("change")); })()`),
				until("lines to come change", `[...document.querySelectorAll("#paper em")].some((e) => e.textContent.startsWith("now"))`),
			}},
			{"keep", "#keep", []chromedp.Action{until("blends are ranked", ranked), until("the book lists it", `document.querySelectorAll("#book-body li").length > 0`), open}},
			{"drawer", "#drawer", []chromedp.Action{until("the stock is counted", `document.querySelector("#stock-body").textContent.includes("No lots")`), open}},
			{"photo", "", []chromedp.Action{
				until("blends are ranked", ranked),
				script(`document.getElementById("skin-photo").open = true`),
				chromedp.SetUploadFiles("#photo-file", []string{photo}),
				until("the photo is there", `document.getElementById("photo").open && document.getElementById("photo-image").naturalWidth > 0`),
				dragMark(0, 126.0/480, 38.0/340), dragMark(1, 200.0/480, 92.0/340),
				until("the photo is measured", `document.getElementById("photo-result").textContent !== ""`),
				script(`document.getElementById("add-known").click()`),
			}},
			{"fault", "file/batch/sheet.html?skin=tan&part=moonstone=2", nil},
			{"a skin that is none", "?skin=beetroot", []chromedp.Action{until("the fault is said", `!document.getElementById("skin-text-fault").hidden || !document.getElementById("trouble").hidden`)}},
		} {
			t.Run(sz.name+" "+screen.name, func(t *testing.T) {
				var found string
				actions := append([]chromedp.Action{letIn(s), chromedp.Navigate(s.URL() + screen.query)}, screen.actions...)
				// The page's policy lets no script in but its own; this one comes
				// over the debugger, which the policy does not bind.
				actions = append(actions, chromedp.Evaluate(string(source)+";0", nil),
					chromedp.Evaluate(`axe.run(document).then((r) => JSON.stringify({ faults: r.violations, passes: r.passes.length }))`, &found, chromedp.EvalAsValue, awaitPromise))
				if err := chromedp.Run(ctx, actions...); err != nil {
					t.Fatal(err)
				}
				var r struct {
					Faults []axeFault `json:"faults"`
					Passes int        `json:"passes"`
				}
				if err := json.Unmarshal([]byte(found), &r); err != nil {
					t.Fatal(err)
				}
				if r.Passes < 10 {
					t.Errorf("only %d rules looked at anything", r.Passes)
				}
				for _, f := range r.Faults {
					says := fmt.Sprintf("%s (%s): %s", f.ID, f.Impact, f.Help)
					for _, n := range f.Nodes {
						says += "\n\t" + n.HTML + "\n\t" + n.Says
					}
					t.Error(says)
				}
			})
		}
	}
}
