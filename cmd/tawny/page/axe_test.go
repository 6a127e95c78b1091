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

// TestAxe lets axe-core look for barriers: none serious or critical may be
// found, on any screen.
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
	for _, sz := range []size{phone, desktop} {
		ctx, c := browse(t, sz)
		c.forgiven = "part=moonstone"
		for _, screen := range []struct {
			name    string
			query   string
			actions []chromedp.Action
		}{
			{"blends", "", []chromedp.Action{until("blends are ranked", ranked5), until("the shimmer is pictured", pictured)}},
			{"all open", "?turn=10&pin=bronze=2|champagne=1", []chromedp.Action{
				until("blends are ranked", ranked5), until("the sides are there", `document.querySelectorAll("#versions .version").length === 2`),
				chromedp.Evaluate(`for (const d of document.querySelectorAll("details")) d.open = true`, nil),
				chromedp.Click("#save-batch"), until("the batch is kept", `document.getElementById("kept").textContent.includes("in the book")`),
				until("the book lists it", `document.querySelectorAll("#book-body li").length > 0`),
				// The book is listed anew once a batch is kept, and a form opened
				// before that goes with the old list: it is asked for again.
				until("the weights can be written", `(() => {
					if (!document.querySelector(".weigh")) [...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Weigh")?.click();
					return document.querySelectorAll(".weigh input").length > 0;
				})()`),
			}},
			{"photo", "", []chromedp.Action{
				until("blends are ranked", ranked5),
				chromedp.Evaluate(`document.getElementById("skin-other").open = true`, nil),
				chromedp.SetUploadFiles("#photo-file", []string{photo}),
				until("the photo is measured", `document.getElementById("photo-result").textContent !== ""`),
				chromedp.Evaluate(`document.getElementById("add-known").click()`, nil),
			}},
			{"fault", "file/batch/sheet.html?skin=tan&part=moonstone=2", nil},
			{"colour wanted, containers", "?target=%23c69266&containers=4&ml=50", []chromedp.Action{until("blends are ranked", ranked5)}},
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
					if f.Impact == "serious" || f.Impact == "critical" {
						t.Error(says)
					} else {
						t.Log(says)
					}
				}
			})
		}
	}
}
