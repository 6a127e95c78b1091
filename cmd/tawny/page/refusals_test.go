package page

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// What is not understood is said under its field, on the screen, and the look at hand
// is marked as from before; what is refused is not written in part.
func TestRefusalsOnThePage(t *testing.T) {
	dir := t.TempDir()
	drawer := filepath.Join(dir, "drawer.csv")
	t.Parallel()
	s := serve(t, func(c *Config) { c.Book, c.Drawer = filepath.Join(dir, "book.db"), drawer })
	ctx, c := browse(t, phone)
	c.forgiven = "422"
	do := func(actions ...chromedp.Action) {
		t.Helper()
		if err := chromedp.Run(ctx, actions...); err != nil {
			chromedp.Run(ctx, shown(t, phone, "stopped"))
			t.Fatal(err)
		}
	}
	// The page may be on its way to what it says: a click by place would miss.
	press := func(sel string) chromedp.Action { return script("document.querySelector('" + sel + "').click()") }
	under := func(id, says string) chromedp.Action {
		return until(says+" is said under "+id, `(() => {
			const p = document.getElementById("`+id+`-fault"), at = p?.getBoundingClientRect();
			return !!p && !p.hidden && p.textContent.includes("`+says+`") && at.top > 0 && at.bottom < innerHeight;
		})()`)
	}
	question := func(says string) chromedp.Action {
		return until(says+" is asked", `document.getElementById("ask").open && document.getElementById("ask-body").textContent.includes("`+says+`")`)
	}
	jarSays := func(says string) chromedp.Action {
		return until("of the jar it is said "+says, `document.readyState === "complete" && document.getElementById("jar-name").value === "" && document.getElementById("jar-says").textContent.includes("`+says+`")`)
	}
	do(letIn(s), chromedp.Navigate(s.URL()), until("the shimmer is pictured", pictured), script(`document.getElementById("skin-other").open = document.getElementById("skin-keep").open = true`),
		fill("skin-client", "Nobody"), press(`#save-skin`), under("skin-client", "skin is chosen yet"),
		fill("skin-text", "dark brown"), under("skin-text", "skin is called"), until("it is from before", `document.body.classList.contains("old")`),
		fill("skin-text", "#00ff00"), until("no skin is green", `document.getElementById("skin-says").classList.contains("fault")`),
		fill("skin-text", "deep"), until("deep is dark", `document.querySelector("[name=preset][value=dark]").checked && !document.body.classList.contains("old")`),
		fill("skin-client", strings.Repeat("L", 400)), press(`#save-skin`), under("skin-client", "at most 120"),
		fill("skin-client", strings.Repeat("L", 110)), press(`#save-skin`), until("the client is chosen", `location.search.includes("client")`),
		fill("skin-text", "light"), fill("skin-client", strings.Repeat("L", 110)), press(`#save-skin`), question("would be nobody"), press(`#ask-yes`), until("the new reading stands instead", `document.getElementById("skin-kept").textContent.includes("L* 6")`),
		fill("skin-client", "Somebody else"), press(`#save-skin`), under("skin-client", "in the book already"), shown(t, phone, "refused"))
	if names := clientsOf(t, s); len(names) != 1 {
		t.Errorf("a refused reading left clients: %q", names)
	}
	do(onto("look"), fill("target-text", "banana glow"), under("target-text", "shade is called"), fill("target-text", "rose gold"), until("rose gold is wanted", `document.getElementById("shade-says").textContent.includes("rose gold")`))

	label := []chromedp.Action{fill("jar-name", "rose pearl"), fill("jar-inci", "Mica, Titanium Dioxide, Moondust"), fill("jar-ci", "77019/77891"), fill("jar-size", "60-10")}
	do(onto("drawer"))
	do(label...)
	do(press(`#add-powder`), under("jar-size", "the smaller first"), fill("jar-size", "10-60"),
		press(`#add-powder`), question("Moondust"), press(`#ask-no`))
	if _, err := os.Stat(drawer); err == nil {
		t.Error("a substance nobody knows went in unasked")
	}
	do(press(`#add-powder`), question("Moondust"), press(`#ask-yes`), jarSays("It is in the drawer"))
	do(label...)
	do(fill("jar-size", "5-25"), fill("jar-inci", "Mica, Titanium Dioxide"), press(`#add-powder`), question("already in the drawer"), press(`#ask-yes`), jarSays("It is in the drawer"), shown(t, phone, "drawer"))
	if data, err := os.ReadFile(drawer); err != nil || strings.Count(string(data), "rose pearl") != 1 || strings.Contains(string(data), "Moondust") {
		t.Errorf("replaced: %s, %v", data, err)
	}
	// What its supplier says goes over what was guessed.
	do(press(`[data-edit]`), until("what the drawer has is shown", `+document.querySelector("#mine [data-field=density]")?.placeholder > 2`),
		script(`document.querySelector("#mine [data-field=density]").value = "99"; document.querySelector("#mine .under > button").click()`), under("field-density", "from 0.5 to 10"),
		script(`document.querySelector("#mine [data-field=density]").value = "2,91"; document.querySelector("#mine .under > button").click()`), jarSays("put right of rose pearl"))
	if data, err := os.ReadFile(drawer); err != nil || !strings.Contains(string(data), ",2.91,") {
		t.Errorf("put right: %s, %v", data, err)
	}
	// A page read before a change says so.
	answered[any](t, s, "/api/job/drawer/edit", doc(url.Values{"powder": {"rose pearl"}, "oil": {"62"}}.Encode()))
	do(onto("blend"), press(`#all-powders`), until("the drawer is another by now", `!document.getElementById("changed").hidden`), press(`#changed-load`), until("it is read anew", `document.readyState === "complete" && document.getElementById("changed").hidden`), until("blends are ranked", ranked))
	do(onto("look"), until("few shades are reached", `document.querySelectorAll("#map .shade").length > 0`), press(`[name="also-built-in"]`), until("many are, with tawny's own", `document.querySelectorAll("#map .shade").length > 12`),
		onto("drawer"), press(`[data-out]`), question("rose pearl"), press(`#ask-yes`), jarSays("is out of the drawer"))
	if _, err := os.Stat(drawer); err == nil {
		t.Error("the last powder taken out left a drawer")
	}
}

// clientsOf are the names of the book's clients.
func clientsOf(t *testing.T, s *Server) (names []string) {
	for _, r := range asked[struct{ Records []struct{ Title string } }](t, s, "book list", "kind=clients").Records {
		names = append(names, r.Title)
	}
	return names
}
