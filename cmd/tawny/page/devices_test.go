package page

import (
	"context"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tawny/blend/batch"
)

// What another device read is not written over unasked, and what it began or finished
// shows as that here too: the book tells, not the browser.
func TestTwoDevices(t *testing.T) {
	t.Parallel()
	s := serve(t, func(c *Config) { c.Book = filepath.Join(t.TempDir(), "book.db") })
	other := func(of url.Values) chromedp.Action {
		return chromedp.ActionFunc(func(context.Context) error {
			answered[any](t, s, "/api/job/book/weigh", doc(of.Encode()))
			return nil
		})
	}
	for range 2 {
		asked[any](t, s, "book save", "skin=tan&target=skin:1,4,5&part=bronze=3&grams=100")
	}
	ctx, c := browse(t, phone)
	c.forgiven = "job/book/" // what is asked about is told as a refusal
	pot := blank("1 empty main pot weighs")
	act := func(n int) string {
		return fmt.Sprintf(`[...document.querySelectorAll("#book-body button")].find((b) => b.getAttribute("aria-label")?.includes("atch %d") && /^(Go on weighing|Sheet)$/.test(b.textContent))?.textContent`, n)
	}
	err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?sheet=1#make"),
		until("the sheet is there", `document.querySelectorAll("#paper .weight input[type=checkbox]").length > 5`),
		script(`document.querySelector("#paper .weight input[type=checkbox]").click()`),
		until("a line is weighed", `document.getElementById("live-says").textContent.startsWith(document.querySelectorAll("#paper .weight input[type=checkbox]").length - 1 + " of")`),
		other(url.Values{"batch": {"1"}, "reading": {"1 empty main pot weighs=512"}}),
		read(pot, "700"), until("another reading is asked about", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("the book has 512 by now")`),
		chromedp.Click("#ask-no"), until("the sheet has it", pot+`.value === "512"`),
		other(url.Values{"batch": {"2"}, "weight": {"bronze=3"}}),
		other(url.Values{"batch": {"1"}, "as-planned": {"true"}, "made": {"98"}}),
		script(`dispatchEvent(new Event("focus"))`),
		until("it is finished here too", `document.querySelector("#paper .code").textContent.includes("made on") && localStorage.getItem("tawny batch 1") === null`),
		read(weight("Glycerin"), "3.3"), until("what is finished is not changed unasked", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("is finished")`), chromedp.Click("#ask-no"),
		chromedp.Navigate(s.URL()+"?skin=tan#make"),
		until("the batch begun elsewhere is gone on with, and no other", `[...document.querySelectorAll("#paper > .now button")].map((b) => b.textContent).join() === "Go on weighing batch 2"`),
		onto("keep"), until("so it is in the history", act(2)+` === "Go on weighing" && `+act(1)+` === "Sheet"`),
		// One finished elsewhere without a total is not gone on with where it was weighed in part.
		script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Go on weighing").click()`),
		until("the other sheet is there", tick("Glycerin")+` !== null`), script(tick("Glycerin")+`.click()`),
		until("a line of it is weighed", `JSON.parse(localStorage.getItem("tawny batch 2"))?.waiting && !Object.keys(JSON.parse(localStorage.getItem("tawny batch 2")).waiting).length && document.querySelectorAll("#paper .weight input:checked").length === 2`),
		other(url.Values{"batch": {"2"}, "as-planned": {"true"}}),
		onto("keep"), until("it is in the history as one that is done", act(2)+` === "Sheet"`))
	if err != nil {
		t.Fatal(err)
	}
}

// The plan takes the lot that the batch begun from it does, and says when that runs out.
func TestPlanTakesTheLotsOfTheBatch(t *testing.T) {
	s := serve(t, func(c *Config) { c.Book = filepath.Join(t.TempDir(), "book.db") })
	day := func(months int) string { return time.Now().AddDate(0, months, 0).Format(time.DateOnly) }
	for _, l := range []url.Values{{"lot": {"FULL"}, "grams": {"90"}, "expires": {day(14)}}, {"lot": {"FIRST"}, "grams": {"30"}, "expires": {day(2)}}} {
		l.Set("powder", "bronze")
		asked[any](t, s, "book add lot", l.Encode())
	}
	const wish = "skin=tan&target=skin:1,4,5&part=bronze=3&grams=100&in-stock=true"
	plan, kept := asked[batch.Batch](t, s, "batch", wish), asked[struct{ Batch batch.Batch }](t, s, "book save", wish).Batch
	of := func(b batch.Batch) (lot string) {
		for _, w := range b.Weighings {
			if w.Name == "bronze" {
				lot = w.Lot
			}
		}
		return lot
	}
	if of(kept) != "FIRST" || of(plan) != of(kept) {
		t.Errorf("the plan takes lot %q, the batch %q, and FIRST runs out first", of(plan), of(kept))
	}
	if month := day(2)[:7]; kept.BestBefore == nil || plan.BestBefore == nil || *plan.BestBefore != *kept.BestBefore || plan.BestBefore.Month > month {
		t.Errorf("best before %+v by the plan, %+v of the batch; its lot is good until %s", plan.BestBefore, kept.BestBefore, day(2))
	}
	if !strings.Contains(strings.Join(plan.Notes, " "), "Lot FIRST of bronze goes first") {
		t.Errorf("the plan does not say which lot goes first: %q", plan.Notes)
	}
	// On the sheet begun it follows the lot that is taken.
	ctx, _ := browse(t, phone)
	err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?sheet=1#make"),
		until("it goes by the first lot", `document.getElementById("best-before")?.textContent.includes("oldest lot")`),
		script(`const lot = document.querySelector('[aria-label="Lot of bronze"]'); lot.value = "FULL"; lot.dispatchEvent(new Event("change"))`), read(weight("bronze"), "3"),
		until("it goes by the other", `!document.getElementById("best-before").textContent.includes("oldest lot")`), chromedp.Reload(),
		until("so it does when read again", `document.getElementById("best-before")?.textContent.includes("closed")`))
	if err != nil {
		t.Fatal(err)
	}
}
