package page

import (
	"context"
	"fmt"
	"image/png"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
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
		end := time.Now().Add(45 * time.Second)
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
	ranked   = `document.querySelectorAll("#rows .blend").length > 0 && document.getElementById("ranked").getAttribute("aria-busy") === "false"`
	pictured = `!document.getElementById("shimmer").hidden && document.getElementById("shimmer").naturalWidth > 0`
	painted  = `[...document.querySelectorAll("#rows .arm")].every((a) => a.querySelector("img")?.naturalWidth > 0)`
)

// onto goes to a step of the page as a finger does.
func onto(step string) chromedp.Action {
	return chromedp.Tasks{
		chromedp.Click(`.steps a[href="#` + step + `"]`),
		until("step "+step+" shows", `!document.getElementById("step-`+step+`").hidden`),
	}
}

// script runs text on the page.
func script(text string) chromedp.Action { return chromedp.Evaluate(text, nil) }

// weight is the box of the live sheet for what the balance said of something.
func weight(name string) string {
	return fmt.Sprintf(`document.querySelector('#paper .weight input[aria-label="What the balance said of %s, g"]')`, name)
}

// tick is what is tapped of that line, and ticked whether it has grams that are not as planned.
func tick(name string) string { return weight(name) + `.closest(".weight").querySelector("label")` }

func ticked(name, grams string) string {
	return fmt.Sprintf(`%s.querySelector("input").checked && %s.textContent.includes("weighed %s g")`, tick(name), tick(name), grams)
}

// pH is the blank of the live sheet for it, which a step names with what is wanted.
const pH = `[...document.querySelectorAll("#paper .blank")].find((b) => b.textContent.startsWith("pH, wanted")).querySelector("input")`

// blank is one by its step and its words.
func blank(name string) string {
	return fmt.Sprintf(`document.querySelector('[data-name="%s"] input')`, name)
}

// read writes into a box what was measured.
func read(box, text string) chromedp.Action {
	return script(fmt.Sprintf(`(() => {
		const i = %s;
		i.value = %q;
		i.dispatchEvent(new Event("change", { bubbles: true }));
	})()`, box, text))
}

// putIn writes what was put in to set the pH, g as typed.
func putIn(what, g string) string {
	return fmt.Sprintf(`[...document.querySelectorAll("#paper .put input")].forEach((box, i) => { box.value = [%q, %q][i]; }); document.querySelector("#paper .put button[aria-label^='Write it']").click()`, what, g)
}

// slip is a reading that is asked about, by words of the question, and left.
func slip(blank, text, says string) chromedp.Action {
	return chromedp.Tasks{read(blank, text),
		until(text+" is asked about", fmt.Sprintf(`document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes(%q)`, says)),
		chromedp.Click("#ask-no"), until("it is not kept", blank+`.value === "" && document.activeElement === `+blank)}
}

// fill types into a field and leaves it.
func fill(id, value string) chromedp.Action {
	return script(fmt.Sprintf(`(() => {
		const e = document.getElementById(%q);
		e.value = %q;
		e.dispatchEvent(new Event("input", { bubbles: true }));
		e.dispatchEvent(new Event("change", { bubbles: true }));
	})()`, id, value))
}

// shown takes a picture of a step of the journey, where a folder is named for
// them, and makes sure that the page is not wider than the screen.
func shown(t *testing.T, sz size, name string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		var over int
		if err := chromedp.Evaluate(fmt.Sprintf(`document.documentElement.scrollWidth - %d`, sz.width), &over).Do(ctx); err != nil {
			return err
		}
		if over > 0 {
			t.Errorf("%s: the page is %d pixels wider than the screen", name, over)
		}
		dir := os.Getenv("TAWNY_SHOTS")
		if dir == "" {
			return nil
		}
		var b []byte
		if err := (chromedp.Tasks{chromedp.Sleep(300 * time.Millisecond), chromedp.CaptureScreenshot(&b)}).Do(ctx); err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(dir, sz.name+"-"+name+".png"), b, 0o644)
	})
}

// TestJourney does a whole evening in a browser, from an empty folder to a filled
// batch and a client forgotten, on a phone and on a desktop.
func TestJourney(t *testing.T) {
	t.Parallel()
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "book.db")
			t.Parallel()
			s := serve(t, func(c *Config) { c.Book = path })
			// Lots of what the batch is to be mended with.
			for _, powder := range []string{"red oxide", "black oxide", "copper", "old gold"} {
				answered[any](t, s, "/api/job/book/add/lot", doc(url.Values{"lot": {"L-" + powder}, "powder": {powder}, "grams": {"50"}}.Encode()))
			}
			ctx, c := browse(t, sz)
			c.forgiven = "job/book/" // what would go, and a slip, are told as refusals
			down := t.TempDir()
			see := func(name string) chromedp.Action { return shown(t, sz, name) }
			var verdict, parts, address, says string
			do := func(actions ...chromedp.Action) {
				t.Helper()
				if err := chromedp.Run(ctx, actions...); err != nil {
					var at string
					chromedp.Run(ctx, chromedp.Evaluate(`document.querySelector("#book-body .under [role=status]")?.innerHTML.slice(0, 900) || ""`, &at), shown(t, sz, "stopped"))
					t.Log(at)
					t.Fatal(err)
				}
			}
			do(letIn(s), chromedp.Navigate(s.URL()), until("blends are ranked", ranked), until("the shimmer is pictured", pictured), see("1-who"))

			// Who: a new client, read with an instrument.
			do(script(`document.getElementById("skin-reading").open = document.getElementById("skin-keep").open = true`),
				fill("read-l", "55.5"), fill("read-a", "12.5"), fill("read-b", "abc"), chromedp.Click("#read-take"),
				until("what is no number is refused in sight", `document.getElementById("read-fault").checkVisibility() && document.getElementById("read-fault").textContent.startsWith("“abc” is no number; b* is wanted") && document.activeElement.getAttribute("aria-invalid") === "true"`),
				fill("read-b", "19.5"), chromedp.Click("#read-take"),
				until("the skin is tan", `document.getElementById("skin-says").textContent.startsWith("Tan")`),
				fill("skin-client", "Maris Quill (demo)"), fill("skin-name", "inner forearm"), chromedp.Click("#save-skin"),
				until("the client is chosen", `document.querySelector('#clients input[value="client:1"]')?.checked && location.search.includes("client")`),
				see("2-client"))

			// A look that nobody chose is not written unasked.
			do(onto("keep"), chromedp.Click("#save-batch"), until("it is asked whether to make it", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("stands in")`),
				chromedp.Click("#ask-no"), until("nothing is written", `!document.getElementById("ask").open && document.getElementById("kept").textContent === ""`))

			// Look: a shade tapped on the map, a little warmer.
			do(onto("look"), until("the map is there", `document.querySelectorAll("#map .shade").length > 12`), see("3-map"),
				script(`document.querySelectorAll("#map input")[20].click()`),
				until("the shade is wanted", `location.search.includes("target=skin")`),
				script(`document.querySelector('[data-nudge="0,0,2"]').click()`),
				until("other blends are ranked", ranked), see("4-look"))

			// Blend: pictures to choose from, with one powder left out.
			do(onto("blend"), until("blends are ranked", ranked), until("each is pictured", painted), see("5-blend"),
				chromedp.Evaluate(`document.querySelector("#rows .parts").textContent.split(/ [0-9]/)[0]`, &parts))
			out := parts
			do(script(fmt.Sprintf(`(() => {
				const s = document.querySelector('[data-powder="%s"] select');
				s.value = "without";
				s.dispatchEvent(new Event("change", { bubbles: true }));
			})()`, out)),
				until("the blends do without it", ranked+fmt.Sprintf(` && ![...document.querySelectorAll("#rows .parts")].some((p) => p.textContent.split(" + ").some((s) => s.replace(/ [0-9.]+ %%$/, "") === %q))`, out)),
				chromedp.Text("#rows .parts", &parts), chromedp.Text("#verdict", &verdict))

			// Make: the sheet, begun, weighed line by line.
			do(onto("make"), until("the sheet is drawn", `document.querySelectorAll("#paper .doing > li").length > 5`), see("6-plan"),
				script(`document.querySelector('[name=size][value=containers]').click()`), until("how many are to sell is said where bottles are asked for", `/^8 bottles: \d to sell, 1 kept closed, \d emptied .* To sell 8, write 1/.test(document.getElementById("filling-says").textContent)`), see("6-bottles"),
				script(`document.querySelector('[name=size][value=grams]').click()`), until("it is by weight again", `document.getElementById("filling-says").textContent === ""`),
				fill("bench-code", "SQ-01"),
				chromedp.Click("#begin"), until("the batch is begun", `document.querySelectorAll("#paper .weight input[type=checkbox]").length > 5`), see("7-begun"),
				until("its code is its own", `document.querySelector("#paper .code").textContent.includes("SQ-01") && document.getElementById("bench-code").value === "" && !location.search.includes("SQ-01")`),
				read(weight("Purified water"), "76,34"),
				until("a tenth more is asked about", `document.getElementById("ask").open`), chromedp.Click("#ask-yes"),
				until("lines to come change", `[...document.querySelectorAll("#paper em")].some((e) => e.textContent.startsWith("now"))`),
				script(`document.querySelector("#paper .weight em:not(:empty)").scrollIntoView({ block: "center" })`), see("8-over"),
				// A sleep and a reload lose nothing.
				chromedp.Reload(), until("the sheet is back", `document.querySelectorAll("#paper .weight input:checked").length === 1`),
				until("lines to come change still", `[...document.querySelectorAll("#paper em")].some((e) => e.textContent.startsWith("now"))`),
				// What is no weight is not taken for one, and a slip is asked about.
				read(weight("Glycerin"), "-5"), until("less than nothing is refused", `document.getElementById("live-says").textContent.includes("-5")`),
				read(weight("Glycerin"), "12a,5"), until("letters are refused", `document.getElementById("live-says").textContent.includes("12a,5")`),
				read(weight("Purified water"), "7,1"), until("a slip is asked about", `document.getElementById("ask").open`), see("8-slip"), chromedp.Click("#ask-no"),
				until("what the book has stands", `document.querySelectorAll("#paper .weight input:checked").length === 1 && document.getElementById("live-says").textContent.includes("Not written")`),
				// So is what was read where the step asks for something else.
				slip(pH, "12", "12 for pH"), read(pH, "5,1"), until("it is on the sheet", pH+`.value === "5.1" && !document.getElementById("ask").open`),
				script(putIn("citric acid", "0,02")),
				until("what sets the pH is written", `document.getElementById("live-says").textContent.includes("onto the labels") && document.querySelector("#paper .put").textContent.includes("Put in: 0.02 g of citric acid")`),
				script(putIn("citric acid 20 %", "0")), until("nothing is nothing put in", `document.getElementById("live-says").textContent.includes("Nothing is put in") && document.querySelectorAll("#paper .put .acts").length === 1`),
				script(putIn("citric acid", "0,01")), until("more of it is counted with it", `document.querySelector("#paper .put").textContent.includes("Put in: 0.03 g of citric acid")`),
				script(putIn("baking soda", "0,05")), until("it is beside the other", `document.querySelectorAll("#paper .put .acts").length === 2`),
				script(`document.querySelectorAll("#paper .put .acts button")[1].click()`), until("it is taken out again", `document.querySelectorAll("#paper .put .acts").length === 1 && document.getElementById("live-says").textContent.includes("taken out again, 0.05 g")`),
				read(blank("4 held from"), "10:00"), slip(blank("4 held to"), "10:07", "10:20 at the earliest"), read(blank("4 held to"), "10:20"),
				read(blank("1 empty main pot weighs"), "312.4"), read(blank("5 pot and water phase weigh now"), "380"),
				slip(blank("2 pot and water phase weigh"), "291.5", "about 39"), read(blank("2 pot and water phase weigh"), "389.5"),
				until("the water is asked for", `/9\.50? g of water went/.test(document.getElementById("live-says").textContent) && document.querySelector('[data-name="5 boiled water added"]').textContent.includes("9.50 g is asked")`),
				slip(blank("5 boiled water added"), "95", "where 9.50 g is asked"), read(blank("5 boiled water added"), "9,5"),
				until("the water is written", `!/water went/.test(document.getElementById("live-says").textContent) && `+blank("5 boiled water added")+`.value === "9.5"`), see("8-read"),
				// Back is no way out of the batch: the plan says so where one looks.
				chromedp.NavigateBack(), until("the plan has the way back", `document.querySelector("#paper > .now button")?.textContent === "Go on weighing batch 1"`), see("8-back"),
				script(`document.querySelector("#paper > .now button").click()`), until("the sheet is back", `document.querySelectorAll("#paper .weight input:checked").length === 1`),
				until("an empty box is in hand", `document.activeElement.matches("#paper .weight [type=checkbox]:not(:checked)")`),
				script(blank("4 held from")+`.focus(); document.getElementById("live-next").click()`), until("the next one is, of whatever kind", `document.activeElement === `+blank("7 emulsion even")),
				// What another device weighed meanwhile is not written over unasked, and shows.
				chromedp.ActionFunc(func(context.Context) error {
					answered[any](t, s, "/api/job/book/weigh", doc(url.Values{"batch": {"1"}, "weight": {"xanthan gum=0.32"}}.Encode()))
					return nil
				}),
				script(`document.querySelector('#paper .weight input[aria-label^="Xanthan gum: weighed"]').click()`),
				until("it is asked about", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("0.32 g by now")`), chromedp.Click("#ask-no"),
				until("the sheet has it", `[...document.querySelectorAll("#paper .weight")].some((r) => r.textContent.includes("weighed 0.32 g") && r.querySelector("input").checked)`), see("8-meanwhile"),
				// A tick on a line with a weight in its field means that weight, also of what was typed before a reload.
				chromedp.SendKeys(weight("Sunflower oil"), "4,3", chromedp.ByJSPath), chromedp.Click(tick("Sunflower oil"), chromedp.ByJSPath),
				until("the tick means what was typed", ticked("Sunflower oil", "4.30")),
				chromedp.SendKeys(weight("Sunflower oil"), "9", chromedp.ByJSPath), chromedp.Reload(), until("the sheet stands with it", weight("Sunflower oil")+`?.value.endsWith("9")`),
				chromedp.Click(tick("Sunflower oil"), chromedp.ByJSPath), until("it is asked about", `document.getElementById("ask").open`), chromedp.Click("#ask-yes"), until("it is written", ticked("Sunflower oil", "4.39")),
				script(`for (const b of document.querySelectorAll("#paper .weight input[type=checkbox]:not(:checked)")) b.click()`),
				until("all is weighed", `document.getElementById("live-says").textContent.includes("All is weighed")`),
				until("the book has it", `!(JSON.parse(localStorage.getItem("tawny batch 1")).waiting?.[1])`),
				script(`document.querySelector("#paper .acts").scrollIntoView({ block: "center" })`), see("9-weighed"),
				read(blank("4 held to"), "10:07"), until("too short is asked about again", `document.getElementById("ask").open`), chromedp.Click("#ask-yes"),
				until("it is told beside the blank", blank("4 held to")+`.closest(".blank").textContent.includes("10:20 at the earliest is asked")`),
				script(`document.querySelector("#paper .acts .main").click()`),
				until("what is off or open is told first", `document.getElementById("ask").open && /held to: 10:07, where 10:20.*110 % of the plan/.test(document.getElementById("ask-body").textContent)`), see("9-finish"),
				chromedp.Click("#ask-yes"),
				until("it is finished", `location.hash === "#keep" && localStorage.getItem("tawny batch 1") === null`))

			// Keep: the card, the history. It is not written once more unasked.
			do(until("the history lists it", `[...document.querySelectorAll("#book-body .lines span")].some((a) => /Everyday lotion/.test(a.textContent))`),
				chromedp.Click("#save-batch"), until("it is said to be in the book", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("already, as batch 1")`), chromedp.Click("#ask-no"), see("10-keep"),
				script(`(() => { const a = [...document.querySelectorAll("#book-body a")].find((a) => a.textContent === "Card for the client"); a.onclick(); fetch(a.href).then((r) => { window.card = a.search + " " + r.status + " " + r.headers.get("Content-Disposition"); }); })()`),
				until("its client's card is the batch's own", `/^\?batch=1&for=client.* 200 .*-card-for-client\.png/.test(window.card)`),
				until("its labels are the batch's own", `/^\?batch=1&sheet=a4$/.test(document.querySelector('#keep-body a[href^="/file/labels"]').search)`),
				fill("title", "Opening night"), chromedp.Location(&address),
				browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllow).WithBrowserContextID(c.own).WithDownloadPath(down),
				script(`document.querySelector('#keep-body a[href^="/file/card/card.png"]:not([data-with])').click()`))
			checkCard(t, filepath.Join(down, "opening-night-card.png"))
			checkBook(t, path, parts)

			// Beside what was wanted it is off: mended, and written down.
			const under = `document.querySelector("#book-body .under")`
			press := func(text string) chromedp.Action {
				return script(fmt.Sprintf(`[...%s.querySelectorAll("button")].find((b) => b.textContent.startsWith(%q)).click()`, under, text))
			}
			do(script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Mend").click()`),
				until("it is asked how it looks", under+`?.querySelectorAll(".nudges button").length === 12`),
				press("red"), press("What would help"),
				until("it is answered", under+`.querySelector("[role=status]").textContent.startsWith("It lacks: ")`),
				// What an instrument says of a batch gone light may be mended by more.
				script(`(() => {
					const at = document.querySelector("#book-body .under"), inputs = at.querySelectorAll("input");
					inputs[0].value = "";
					inputs[1].value = "lab:61,10,21/di";
				})()`), press("What would help"),
				until("nothing it is made of helps, and what does is offered", under+`.querySelector("[role=status]").textContent.includes("darker") && `+under+`.querySelector(".version") !== null`))
			do(until("the ways are pictured", `document.querySelectorAll("#book-body .under .version img").length > 0`),
				script(`document.querySelector("#book-body .under .version").scrollIntoView({ block: "center" })`), see("10-mend"),
				script(`document.querySelector("#book-body .under .version button").click()`),
				until("weights are wanted first", `document.querySelector("#book-body .under .version .fault") !== null`),
				script(`for (const i of document.querySelectorAll("#book-body .under .version:first-of-type input")) i.value = / ([0-9.]+) g: /.exec(i.labels[0].textContent)[1].replace(".", ",")`),
				script(`document.querySelector("#book-body .under .version button").click()`),
				until("it is written down", `/Batch 1 is mended: correction 1 .*mended with/s.test(document.getElementById("book-body").textContent)`))

			// A link brings the look back.
			var again string
			do(chromedp.Navigate(address), until("the link is restored", ranked), chromedp.Text("#verdict", &again))
			if again != verdict {
				t.Errorf("the link brought back %q, not %q", again, verdict)
			}

			// And the client is forgotten, once asked.
			do(onto("keep"), until("the client is listed", `[...document.querySelectorAll("#book-body button")].some((b) => b.textContent === "Forget")`),
				script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Forget").click()`),
				until("it is asked", `document.getElementById("ask").open`), chromedp.Text("#ask-body", &says), see("11-forget"),
				chromedp.Click("#ask-yes"),
				until("the client is gone", `document.querySelectorAll("#book-body .lines").length > 0 && !document.body.textContent.includes("Maris Quill") && !location.search.includes("client")`), see("12-forgotten"))
			// What was made stays: its sheet, with what was read.
			do(script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Sheet").click()`),
				until("the sheet is there", `document.querySelectorAll("#paper .weight input:checked").length > 5 && `+pH+`.value === "5.1"`),
				read(pH, "5.0"), until("what is finished is not changed unasked", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("is finished")`), chromedp.Click("#ask-no"),
				until("it stays as it was", pH+`.value === "5.1" && localStorage.getItem("tawny batch 1") === null`),
				read(blank("7 emulsion even"), "yes"), until("nor is a blank filled unasked", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("written as nothing")`), chromedp.Click("#ask-yes"), until("it is written", `!document.getElementById("ask").open`),
				script(`document.querySelector("#paper .acts .main").click()`),
				until("it is finished still", `!document.getElementById("step-keep").hidden && !document.querySelector("#book-body[aria-busy]") && [...document.querySelectorAll("#book-body button")].some((b) => b.textContent === "Sheet") && !document.body.textContent.includes("Go on weighing")`))
			// And it is made again, as it was mended, of another size and with a code of its own.
			do(script(`[...document.querySelectorAll("#book-body button")].find((b) => b.textContent === "Make again").click()`),
				until("how is asked", `/proportions it was mended to/.test(`+under+`?.textContent)`), see("13-again"),
				script(`document.querySelector("#book-body [data-field=code]").value = "SQ-01"`), press("Write the new batch"),
				until("a code is one batch's own", `document.querySelector("#book-body [data-field=code] + .fault")?.textContent.includes("batch 1's")`),
				script(`for (const [f, v] of [["grams", "50,5"], ["code", "SQ-02"], ["title", "Second night"]]) document.querySelector('#book-body [data-field="'+f+'"]').value = v`),
				press("Write the new batch"), until("its sheet is there", `/Batch 2 in the book, code SQ-02.*Second night.*50.50 g on.*The mended recipe: batch 1/s.test(document.getElementById("paper").textContent)`), see("14-again"))
			// Who comes back with nothing chosen goes on with the batch's own blend.
			do(chromedp.Navigate(s.URL()+"?skin=deep#make"), until("the way back is there", `document.querySelector("#paper > .now button")?.textContent === "Go on weighing batch 2"`),
				script(`document.querySelector("#paper > .now button").click()`), until("its own blend is", `location.search.includes("part=") && !location.search.includes("skin=deep") && document.querySelector('#keep-body a[href^="/file/card"]').href.includes("part=")`),
				onto("keep"), until("and its labels", `document.querySelector('#keep-body a[href^="/file/labels"]').search.startsWith("?batch=2&")`))
			if !strings.Contains(says, "2 readings") {
				t.Errorf("before it forgets the page says %q", says)
			}
		})
	}
}

// checkCard waits for the download and reads it as a card 4 inches wide.
func checkCard(t *testing.T, path string) {
	t.Helper()
	var f *os.File
	var err error
	for range 200 {
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
	// 4 inches at 200 to the inch, and as long as what is on it.
	if b := m.Bounds(); b.Dx() != 800 || b.Dy() < 1000 {
		t.Errorf("card is %d × %d, not 800 wide and upright", b.Dx(), b.Dy())
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

// checkBook reads the batch back from the book's file: all of it is weighed, the
// first line a tenth over and the rest following it.
func checkBook(t *testing.T, path, blendText string) {
	t.Helper()
	ctx := context.Background()
	b, err := book.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	list, err := b.List(ctx, book.Batches)
	if err != nil || len(list) != 1 {
		t.Fatalf("the book lists %d batches (%v), not 1", len(list), err)
	}
	batch, err := book.Get[book.Batch](ctx, b, list[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	held := regexp.MustCompile(`"what":"held from","unit":"time","is":"from","value":"\d\d:\d\d"`).Match(batch.Document)
	if batch.PlannedG != 100 || batch.BlendID == 0 || batch.ClientID == 0 || !held {
		t.Errorf("batch of %g g, blend %d, client %d, sheet %.900s", batch.PlannedG, batch.BlendID, batch.ClientID, batch.Document)
	}
	powders := 0
	for i, w := range batch.Weights {
		if w.WeighedG == nil {
			t.Errorf("%s is not weighed", w.Name)
			continue
		}
		over := *w.WeighedG / w.PlannedG
		if i == 0 && math.Abs(over-1.1) > 0.001 {
			t.Errorf("%s: %g g weighed, %g planned; a tenth over was written", w.Name, *w.WeighedG, w.PlannedG)
		}
		if w.PlannedG >= 1 && math.Abs(over-1.1) > 0.011 {
			t.Errorf("%s: %g g weighed, %g planned; it does not follow the first", w.Name, *w.WeighedG, w.PlannedG)
		}
		if w.Role == "powder" {
			powders++
			if !strings.Contains(blendText, w.Name) {
				t.Errorf("the book has %s, the page showed %q", w.Name, blendText)
			}
		}
	}
	if powders == 0 {
		t.Error("no powders")
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("the book's check: %v, %v", found, err)
	}
}
