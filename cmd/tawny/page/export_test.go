package page

import (
	"bytes"
	"image/png"
	"strings"
	"testing"
)

const worn = "?skin=tan&target=skin:2,4,5&part=bronze=2&part=champagne=1.5&title=Dusk%20%2F%20..%20two&grams=50"

// Each export is what it says, under a name that is no path.
func TestExports(t *testing.T) {
	s := serve(t, nil)
	for path, begins := range map[string]string{"/file/card/card.png": "\x89PNG", "/file/chart/chart-plane.png": "\x89PNG", "/file/card/card.pdf": "%PDF-", "/file/batch/sheet.pdf": "%PDF-", "/file/card/data.json": "{", "/file/batch/sheet.html": "<!DOCTYPE html>"} {
		r := call(t, s, "GET", path+worn+map[string]string{"/file/chart/chart-plane.png": "&kind=plane"}[path], "", nil)
		body := text(t, r)
		if r.StatusCode != 200 || !strings.HasPrefix(body, begins) {
			t.Errorf("%s: answered %d %.60q", path, r.StatusCode, body)
			continue
		}
		name := r.Header.Get("Content-Disposition")
		if path != "/file/batch/sheet.html" && !strings.HasPrefix(name, `attachment; filename="dusk-two`) || strings.ContainsAny(name, `/\`) {
			t.Errorf("%s: is saved as %q", path, name)
		}
		switch path {
		case "/file/card/card.png":
			if m, err := png.Decode(bytes.NewReader([]byte(body))); err != nil || m.Bounds().Dx() != 800 {
				t.Errorf("card: %v", err)
			}
		case "/file/batch/sheet.html":
			if !strings.Contains(body, "bronze") || !strings.Contains(r.Header.Get("Content-Security-Policy"), "style-src 'sha256-") {
				t.Errorf("sheet lacks its powders or its style: %s", r.Header.Get("Content-Security-Policy"))
			}
		}
	}
}

// A view that cannot be made is told in words to a person, in JSON to a script.
func TestExportFaults(t *testing.T) {
	s := serve(t, nil)
	r := call(t, s, "GET", "/file/batch/sheet.html?skin=tan&part=moonstone%3Cb%3E=2", "", nil)
	if got := text(t, r); r.StatusCode != 422 || !strings.HasPrefix(got, `{"error"`) {
		t.Errorf("to a script: %d %s", r.StatusCode, got)
	}
	req := call(t, s, "GET", "/file/card/card.png", "", nil)
	if req.StatusCode != 422 {
		t.Errorf("without a blend: %d", req.StatusCode)
	}
}

// A view changes nothing: what it may ask for writes nothing, and what writes is
// asked for by a post.
func TestViewsWriteNothing(t *testing.T) {
	s := serve(t, nil)
	answered[any](t, s, "/api/job/book/add/client", `{"job":"book add client","name":"Zed (demo)"}`)
	for _, path := range []string{"book/add/client/data.json?name=ByGet", "book/forget/data.json?client=Zed+(demo)&yes=true", "book/save/data.json" + worn, "drawer/add/data.json?name=x&like=gold", "mend/data.json?batch=1&looks=too+pink&choose=1"} {
		if r := call(t, s, "GET", "/file/"+path, "", nil); r.StatusCode != 422 {
			t.Errorf("%s: answered %d %.100s", path, r.StatusCode, text(t, r))
		}
	}
	got := text(t, call(t, s, "POST", "/api/job/book/list", `{"job":"book list","kind":"clients"}`, nil))
	if !strings.Contains(got, "Zed (demo)") || strings.Contains(got, "ByGet") {
		t.Errorf("the book holds %s", got)
	}
}
