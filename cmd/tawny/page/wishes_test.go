package page

import (
	"fmt"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tawny/blend/book"
)

// withClients serves a book of clients, each with a skin.
func withClients(t *testing.T, names ...string) *Server {
	t.Helper()
	s := serve(t, func(c *Config) { c.Book = filepath.Join(t.TempDir(), "book.db") })
	for _, name := range names {
		asked[any](t, s, "book add reading", url.Values{"client": {name}, "colour": {"lab:45,14,18"}, "new-client": {"true"}}.Encode())
	}
	return s
}

// A name given for one client is not the next one's, and does not come back once they
// are forgotten, by Back neither.
func TestANameIsOneClients(t *testing.T) {
	t.Parallel()
	s := withClients(t, "Ada Moss (demo)", "Bea Fern (demo)")
	ctx, c := browse(t, desktop)
	c.forgiven = "422"
	const named = `(document.getElementById("title").value + location.search)`
	err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=client:1"), until("the clients are listed", `document.querySelectorAll("#clients input").length === 2`),
		fill("title", "Glow for Ada"), until("it is named", named+`.match(/Ada/g)?.length === 2`),
		script(`document.querySelector('#clients input[value="client:2"]').click()`),
		until("the next has no name", `location.search.includes("client%3A2") && !`+named+`.includes("Ada")`),
		fill("title", "Bea in rose"), until("it is named", named+`.includes("Bea")`),
		onto("keep"), until("the clients are in the history", `[...document.querySelectorAll("#book-body button")].filter((b) => b.textContent === "Forget").length === 2`),
		script(`[...document.querySelectorAll("#book-body button")].find((b) => b.getAttribute("aria-label") === "Forget: Bea Fern (demo)").click()`),
		until("it is asked", `document.getElementById("ask").open`), chromedp.Click("#ask-yes"),
		until("she is forgotten", `document.readyState === "complete" && document.getElementById("book-body").textContent.includes("They are forgotten")`),
		until("so is the name", `!`+named+`.includes("Bea")`),
		chromedp.Evaluate(`history.back()`, nil), until("Back has gone a step", `history.state.place < Number(sessionStorage.getItem("tawny forgotten"))`),
		until("it does not bring it back", `!document.getElementById("title").value.includes("Bea") && !document.querySelector('#keep-body a[href^="/file/card"]').href.includes("Bea")`))
	if err != nil {
		t.Fatal(err)
	}
}

// Once a reading is taken out, what is worn is of those that are left.
func TestAReadingTakenOut(t *testing.T) {
	t.Parallel()
	s := withClients(t, "Ada Moss (demo)")
	asked[any](t, s, "book add reading", url.Values{"client": {"Ada Moss (demo)"}, "colour": {"lab:49,14,18"}}.Encode())
	ctx, c := browse(t, desktop)
	c.forgiven = "422" // by which it asks
	const bare = `document.getElementById("flat-bare").style.backgroundColor`
	var mean string
	press := func(text string) chromedp.Action {
		return script(fmt.Sprintf(`[...document.querySelectorAll("#book-body button")].find((b) => b.getAttribute("aria-label") === %q).click()`, text))
	}
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=client:1&target=rose#keep"), until("blends are ranked", ranked), chromedp.Evaluate(bare, &mean),
		until("she is in the history", `document.querySelector('[aria-label^="Readings: "]') !== null`), press("Readings: Ada Moss (demo)"),
		until("her readings are listed", `document.querySelector('[aria-label="Take out: reading 2"]') !== null`), press("Take out: reading 2"),
		until("it is asked", `document.getElementById("ask").open`), chromedp.Click("#ask-yes"),
		until("her skin is the other's", fmt.Sprintf(`%s !== %q && `, bare, mean)+ranked)); err != nil {
		t.Fatal(err)
	}
}

// Warm beside cool comes whatever the look is called and pictured in.
func TestWarmBesideCoolOfANamedLook(t *testing.T) {
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=tan&target=rose&title=Opening&rig=lamp&sides=true#look"),
		until("the two are there", `document.querySelectorAll("#versions .version").length === 2`)); err != nil {
		t.Fatal(err)
	}
}

// The top is of the blend that is chosen, also where an answer about another comes late.
func TestTheTopIsOfTheChosenBlend(t *testing.T) {
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, desktop)
	const held = `(() => {
		const kept = window.fetch;
		window.live = 0;
		window.fetch = async (path, ...more) => {
			const answer = await kept(path, ...more);
			if (path === "/api/job/live" && ++window.live === 1) await new Promise((done) => { window.release = done; });
			return answer;
		};
	})()`
	const picked = `document.querySelector("#rows .blend:has(input:checked) .of").textContent`
	var before string
	err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=tan&target=rose#blend"), until("blends are ranked", ranked),
		chromedp.Evaluate(picked, &before), script(held), script(`document.querySelector("[name=apply]:not(:checked)").click()`), until("one answer is late", `Boolean(window.release)`),
		until("other blends are ranked", ranked+fmt.Sprintf(` && %s !== %q`, picked, before)), until("the top is of it", `document.getElementById("verdict").textContent === `+picked),
		script(`window.release()`), until("it is asked again", `window.live > 1`), until("the top is of it still", `document.getElementById("verdict").textContent === `+picked))
	if err != nil {
		t.Fatal(err)
	}
}

// A client's card and the maker's, which has the recipe, are saved under other names, and
// letters keep what is plain of them.
func TestACardIsNamedForWhomItIs(t *testing.T) {
	s := serve(t, nil)
	for of, want := range map[string]string{"": "schimmer-fur-zoe-strauss-card.png", "&for=client&paper=phone": "schimmer-fur-zoe-strauss-card-for-client.png"} {
		r := call(t, s, "GET", "/file/card/card.png?skin=tan&part=bronze=2&title=Schimmer+f%C3%BCr+Zo%C3%AB+Strau%C3%9F"+of, "", nil)
		if got := r.Header.Get("Content-Disposition"); got != `attachment; filename="`+want+`"` {
			t.Errorf("for %q: saved as %s (%d)", of, got, r.StatusCode)
		}
	}
}

// Why a card is not made is said beside its button, until something else is chosen.
func TestARefusedCardIsToldOf(t *testing.T) {
	t.Parallel()
	s := serve(t, nil)
	ctx, c := browse(t, phone)
	c.forgiven = "422"
	base := url.QueryEscape("recipe:water 90, jojoba oil 10\nname: Plain")
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=tan&target=rose&base="+base+"#keep"), until("blends are ranked", ranked),
		script(`document.querySelector('#keep-body a[data-with^="for=client"]').click()`),
		until("it is told beside it", `/not be worn yet/.test(document.querySelector("#keep-body .refused")?.textContent) && document.querySelector("#keep-body .refused").getBoundingClientRect().bottom < innerHeight`),
		fill("market", "us"), until("it goes once something else is chosen", `document.querySelector("#keep-body .refused").textContent === ""`)); err != nil {
		t.Fatal(err)
	}
}

// What stands in for a skin and a look is said under Make and Keep and asked about, so is
// what is not to be made so, and a card tells of no wish that nobody had.
func TestWhatStandsInIsSaid(t *testing.T) {
	t.Parallel()
	s := withClients(t)
	ctx, c := browse(t, phone)
	c.forgiven = "422"
	asks := func(says string) chromedp.Action {
		return until("it asks of "+says, fmt.Sprintf(`document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes(%q)`, says))
	}
	begin := script(`document.getElementById("begin").click()`)
	base := url.QueryEscape("recipe:water 90, jojoba oil 10\nname: Plain")
	const paper = `document.getElementById("paper").textContent`
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"#make"), until("the plan says so", paper+`.includes("No skin is chosen yet") && `+paper+`.includes("No look is chosen yet") && !document.getElementById("begin").disabled`),
		begin, asks("No skin is chosen yet"), asks("No look is chosen yet"), chromedp.Click("#ask-no"),
		onto("keep"), until("it is said before a card is made", `document.getElementById("keep-stands").textContent.includes("No look is chosen")`),
		until("no card has the wish", `[...document.querySelectorAll('#keep-body a[href^="/file/card"]')].every((a) => a.href.includes("part=") !== a.href.includes("target="))`),
		chromedp.Navigate(s.URL()+"?skin=tan&target=rose&base="+base+"#make"), until("its sheet says not to", paper+`.includes("Do not make it so")`),
		begin, asks("Do not make it so"), chromedp.NavigateBack(), until("Back takes the question with it", `!document.getElementById("ask").open`)); err != nil {
		t.Fatal(err)
	}
}

// Of what is put in by drops none may be wanted, and after a refused finish the next line
// is the one that is missing. What was mended is told on the sheet.
func TestNoneOfWhatGoesByDrops(t *testing.T) {
	t.Parallel()
	s := withClients(t)
	asked[any](t, s, "book save", "skin=tan&target=skin:1,4,5&part=bronze=3&grams=100")
	ctx, c := browse(t, phone)
	c.forgiven = "job/book/"
	const says = `document.getElementById("live-says").textContent`
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?sheet=1#make"), until("the sheet is there", weight("Lactic acid 80 %")+` !== null`),
		read(weight("Glycerin"), "0"), until("none of it is no weight", says+`.includes("is no weight of Glycerin")`), script(weight("Glycerin")+`.value = ""`),
		read(weight("Lactic acid 80 %"), "0"), until("none of the acid is one", ticked("Lactic acid 80 %", "0.00")),
		script(`for (const b of document.querySelectorAll("#paper .weight input[type=checkbox]:not(:checked)")) if (!b.labels[0].textContent.startsWith("Cetearyl")) b.click()`),
		until("one is missing", says+`.startsWith("1 of")`), script(blank("7 emulsion even")+`.focus()`), script(`document.querySelector("#paper .acts .main").click()`),
		until("it is said", says+`.includes("Still to weigh: Cetearyl alcohol")`), script(`document.getElementById("live-next").click()`),
		until("the next one is it", `document.activeElement.labels[0].textContent.startsWith("Cetearyl")`), script(`document.activeElement.click()`), until("all is weighed", says+`.startsWith("All is weighed")`)); err != nil {
		t.Fatal(err)
	}
	asked[any](t, s, "book mend-record", "batch=1&add=bronze%3D1")
	const under, paper = `document.querySelector("#book-body .under")`, `document.getElementById("paper").textContent`
	press := func(text string) chromedp.Action {
		return script(fmt.Sprintf(`[...%s.querySelectorAll("button")].find((b) => b.textContent === %q).click()`, under, text))
	}
	var looks string
	if err := chromedp.Run(ctx, chromedp.Navigate(s.URL()+"?sheet=1#make"), until("it says it was mended", paper+`.includes("Mended by correction 1")`),
		onto("keep"), until("the batch is listed", `document.querySelector('[aria-label^="Mend: "]') !== null`), script(`document.querySelector('[aria-label^="Mend: "]').click()`), until("it is asked how it looks", under+` !== null`),
		press("pink"), press("pink"), press("dark"), chromedp.Evaluate(under+`.querySelector("input").value`, &looks),
		script(`[...`+under+`.querySelectorAll("input")].forEach((box, i) => { box.value = ["", "lab:61,10,21/di", "40,5"][i]; })`), press("What would help?"), until("less is in the pot", `/40,5 g less than was made/.test(`+under+`.querySelector(".version")?.textContent)`)); err != nil {
		t.Fatal(err)
	}
	if looks != "too pink, too dark" {
		t.Errorf("tapped twice it looks %q", looks)
	}
}

// What is tapped at the bench is as high as a thumb (WCAG 2.2, 2.5.5), and a narrow plan
// has its grams in sight.
func TestThumbs(t *testing.T) {
	t.Parallel()
	s := withClients(t)
	ctx, _ := browse(t, phone)
	const low = `[...document.querySelectorAll("main :is(button, .button, summary, .choice, .tick, select, textarea, input:not([type=radio], [type=checkbox], [type=range]))")]
		.filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map((e) => e.outerHTML.slice(0, 90)).join("\n")`
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?skin=tan&target=rose"), until("blends are ranked", ranked),
		script(`for (const d of document.querySelectorAll("main details")) d.open = true`)); err != nil {
		t.Fatal(err)
	}
	for _, step := range []string{"who", "look", "blend", "make", "keep", "drawer"} {
		var got string
		if err := chromedp.Run(ctx, onto(step), chromedp.Evaluate(low, &got)); err != nil {
			t.Fatal(err)
		}
		if got != "" {
			t.Errorf("%s: too low for a thumb:\n%s", step, got)
		}
	}
	if err := chromedp.Run(ctx, as(size{"narrow", 320, 640, true}), onto("make"), until("the grams are in sight", `document.querySelector("#paper td:nth-child(4)")?.getBoundingClientRect().right < innerWidth`)); err != nil {
		t.Fatal(err)
	}
}

// A reading of pH is a number, and a bag's month is one however it is printed.
func TestWhatIsReadAndPrinted(t *testing.T) {
	s := withClients(t)
	asked[any](t, s, "book save", "skin=tan&target=skin:1,4,5&part=bronze=3&grams=100")
	if r := call(t, s, "POST", "/api/job/book/weigh", doc("batch=1&reading=pH+before%3Dabc"), nil); r.StatusCode != 422 {
		t.Errorf("a pH of abc is answered %d", r.StatusCode)
	}
	for text, want := range map[string]string{"03/2038": "2038-03-31", "2.2040": "2040-02-29", "2039-12": "2039-12-31", "2037-05-06": "2037-05-06"} {
		asked[any](t, s, "book add lot", url.Values{"lot": {"L " + text}, "powder": {"bronze"}, "grams": {"5"}, "expires": {text}}.Encode())
		lots := asked[struct{ Lots []book.LotStock }](t, s, "book stock", "").Lots
		if i := slices.IndexFunc(lots, func(l book.LotStock) bool { return l.Lot == "L "+text }); i < 0 || lots[i].ExpiresOn != want {
			t.Errorf("good until %s is kept as %+v", text, lots)
		}
	}
}

// A line that comes to nothing on the balance keeps the others in their places, and the
// batch can be weighed to its end.
func TestALineOfNothing(t *testing.T) {
	t.Parallel()
	s := withClients(t)
	asked[any](t, s, "book save", url.Values{"skin": {"tan"}, "part": {"bronze=3"}, "grams": {"100"}, "base": {"recipe:caprylic/capric triglyceride 99.498\njojoba oil 0.002\nvitamin E 0.5"}}.Encode())
	ctx, _ := browse(t, phone)
	var lots string
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"?sheet=1#make"), until("the sheet is there", weight("bronze")+` !== null`),
		chromedp.Evaluate(`[...document.querySelectorAll("#paper .table tr")].map((r) => r.querySelector("th").textContent + ">" + (r.querySelector("[aria-label^='Lot of ']")?.ariaLabel ?? "")).join("; ")`, &lots),
		script(`for (const b of document.querySelectorAll("#paper .weight input[type=checkbox]")) b.click()`), until("all is weighed", `document.getElementById("live-says").textContent.startsWith("All is weighed")`),
		script(`document.querySelector("#paper .acts .main").click()`), until("it is finished", `document.getElementById("ask").open || location.hash === "#keep"`)); err != nil {
		t.Fatal(err)
	}
	weighed := asked[struct{ Record book.Batch }](t, s, "book show", "kind=batch&record=1")
	if i := slices.IndexFunc(weighed.Record.Weights, func(w book.Weight) bool { return w.WeighedG == nil }); i >= 0 {
		t.Errorf("still to weigh in the book: %+v", weighed.Record.Weights[i])
	}
	for _, name := range []string{"jojoba oil", "bronze"} {
		if !regexp.MustCompile(name + `[^;>]*>Lot of ` + name).MatchString(lots) {
			t.Errorf("beside %s stands another's lot: %s", name, lots)
		}
	}
}

// What a jar leaves open is told by the page's own buttons, and no command.
func TestAJarIsToldOfByThePage(t *testing.T) {
	t.Parallel()
	s := serve(t, func(c *Config) { c.Drawer = filepath.Join(t.TempDir(), "mine.csv") })
	ctx, _ := browse(t, phone)
	const says = `document.getElementById("jar-says").textContent`
	var told string
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()+"#drawer"), until("the page is there", `document.readyState === "complete"`),
		script(`for (const [id, text] of [["jar-name", "ir"], ["jar-inci", "Mica, Titanium Dioxide, Iron Oxides"], ["jar-size", "10-60"], ["jar-colour", "rose"]]) document.getElementById(id).value = text; document.getElementById("add-powder").click()`),
		until("it is in the drawer", says+`.includes("It is in the drawer")`), chromedp.Evaluate(says, &told)); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(told, "tawny drawer") || strings.Contains(told, "--") || strings.Count(told, "“Put right”") != 3 {
		t.Errorf("%s", told)
	}
}
