package page

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"time"

	"tawny/cmd/tawny/job"
	"tawny/swatches"
	"tawny/swatches/canvas"
)

// export is a file made of the blend that the address states.
type export struct {
	kind string // media type
	name string // ending, or "" to show it rather than save it
	make func(context.Context, state) (title string, data []byte, err error)
}

func (s *Server) exports(mux *http.ServeMux) {
	for path, e := range map[string]export{
		"/card.png":    {"image/png", ".png", cardPNG},
		"/card.pdf":    {"application/pdf", ".pdf", cardPDF},
		"/compare.png": {"image/png", "-warm-and-cool.png", comparePNG},
		"/sheet":       {"text/html; charset=utf-8", "", sheetHTML},
		"/sheet.pdf":   {"application/pdf", "-sheet.pdf", sheetPDF},
		"/blend.json":  {"application/json", ".json", blendJSON},
	} {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) { s.serveExport(w, r, e) })
	}
}

func (s *Server) serveExport(w http.ResponseWriter, r *http.Request, e export) {
	title, data, err := s.export(r, e)
	if err != nil {
		s.failView(w, r, err)
		return
	}
	w.Header().Set("Content-Type", e.kind)
	if e.name != "" {
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", fileName(title)+e.name))
	} else {
		w.Header().Set("Content-Security-Policy", sheetPolicy(data))
	}
	w.Write(data)
}

func (s *Server) export(r *http.Request, e export) (string, []byte, error) {
	q, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return "", nil, ask("", "the address is not understood")
	}
	st, err := s.state(q)
	if err != nil {
		return "", nil, err
	}
	if err := take(r.Context(), s.long); err != nil {
		return "", nil, err
	}
	defer give(s.long)
	return e.make(r.Context(), st)
}

// shimmering is how a card is drawn here.
var shimmering = job.CardOptions{Shimmer: true, Seed: 1, Jars: true}

func card(st state) (*swatches.Card, *job.BlendResult, error) {
	v, err := st.blend()
	if err != nil {
		return nil, nil, err
	}
	c, err := v.Card(shimmering)
	return c, v, err
}

func cardPNG(_ context.Context, st state) (string, []byte, error) {
	c, _, err := card(st)
	if err != nil {
		return "", nil, err
	}
	data, err := swatches.PNG(c, swatches.Upright)
	return c.Title, data, err
}

func cardPDF(_ context.Context, st state) (string, []byte, error) {
	c, _, err := card(st)
	if err != nil {
		return "", nil, err
	}
	if err := c.Check(); err != nil {
		return "", nil, err
	}
	p := swatches.Upright
	doc := canvas.NewPDF(c.Title, time.Now())
	if err := doc.AddPage(p.WidthMM, p.HeightMM, p.DPI); err != nil {
		return "", nil, err
	}
	c.Draw(doc)
	var b bytes.Buffer
	err = doc.Write(&b)
	return c.Title, b.Bytes(), err
}

func comparePNG(ctx context.Context, st state) (string, []byte, error) {
	if st.turn == 0 {
		st.turn = job.DefaultTurn
	}
	r, err := job.Compare(ctx, st.in, st.turn, nil)
	if err != nil {
		return "", nil, err
	}
	p, err := r.Picture(shimmering)
	if err != nil {
		return "", nil, err
	}
	data, err := swatches.PNG(p, swatches.Wide)
	return st.name, data, err
}

func sheet(st state, format string) (string, []byte, error) {
	c, v, err := card(st)
	if err != nil {
		return "", nil, err
	}
	b, err := v.Batch()
	if err != nil {
		return "", nil, err
	}
	var out bytes.Buffer
	err = job.WriteSheet(&out, b, format, c, false)
	return c.Title, out.Bytes(), err
}

func sheetHTML(_ context.Context, st state) (string, []byte, error) { return sheet(st, "html") }
func sheetPDF(_ context.Context, st state) (string, []byte, error)  { return sheet(st, "pdf") }

func blendJSON(_ context.Context, st state) (string, []byte, error) {
	v, err := st.blend()
	if err != nil {
		return "", nil, err
	}
	data, err := json.MarshalIndent(v, "", "  ")
	return v.Title, data, err
}

// styleElement is the sheet's own style.
var styleElement = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// sheetPolicy lets the sheet's own style in by its hash, pictures that are in
// the sheet itself, and nothing else.
func sheetPolicy(sheet []byte) string {
	style := ""
	for _, m := range styleElement.FindAllSubmatch(sheet, -1) {
		sum := sha256.Sum256(m[1])
		style += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return "default-src 'none'; img-src data:; style-src" + style + "; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
}

// failView answers a view that a person opened: a page in words.
func (s *Server) failView(w http.ResponseWriter, r *http.Request, err error) {
	if !strings.Contains(r.Header.Get("Accept"), "text/html") {
		s.fail(w, err)
		return
	}
	status, says, _ := s.wordsOf(err)
	var b bytes.Buffer
	if e := s.templates.ExecuteTemplate(&b, "fault.html", struct{ Says, Back string }{says, "/?" + r.URL.RawQuery}); e != nil {
		s.fail(w, errors.Join(err, e))
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// fileName makes a plain name of a title: letters, digits and dashes.
func fileName(title string) string {
	name := strings.Trim(notPlain.ReplaceAllString(strings.ToLower(title), "-"), "-")
	if len(name) > 60 {
		name = name[:60]
	}
	if name == "" {
		name = "blend"
	}
	return name
}

var notPlain = regexp.MustCompile(`[^a-z0-9]+`)
