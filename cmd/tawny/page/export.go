package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
	"tawny/swatches"
	"tawny/swatches/canvas"
)

func (s *Server) exports(mux *http.ServeMux) {
	mux.HandleFunc("GET /card.png", s.serveCard)
	mux.HandleFunc("GET /sheet", s.serveSheet)
	mux.HandleFunc("GET /blend.json", s.serveJSON)
}

// exported reads the state of a plain view from the address and looks at its
// blend.
func (s *Server) exported(w http.ResponseWriter, r *http.Request) (*work.BlendResult, bool) {
	q, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		s.fail(w, ask("", "the address is not understood"))
		return nil, false
	}
	st, ok := s.stated(w, q)
	if !ok {
		return nil, false
	}
	if err := s.take(r.Context()); err != nil {
		s.fail(w, err)
		return nil, false
	}
	defer s.give()
	v, err := st.blend()
	if err != nil {
		s.fail(w, err)
		return nil, false
	}
	return v, true
}

// pngOf draws a card as a PNG.
func pngOf(d swatches.Drawing, p swatches.Paper) ([]byte, error) {
	r, err := swatches.Raster(d, p)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := canvas.WritePNG(&b, r.Pix, r.DPI); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func (s *Server) serveCard(w http.ResponseWriter, r *http.Request) {
	v, ok := s.exported(w, r)
	if !ok {
		return
	}
	card, err := v.Card(work.CardOptions{Shimmer: true})
	if err != nil {
		s.fail(w, err)
		return
	}
	data, err := pngOf(card, swatches.Upright)
	if err != nil {
		s.fail(w, err)
		return
	}
	download(w, "image/png", fileName(card.Title)+".png", data)
}

func (s *Server) serveJSON(w http.ResponseWriter, r *http.Request) {
	v, ok := s.exported(w, r)
	if !ok {
		return
	}
	var b bytes.Buffer
	if err := work.WriteJSON(&b, v); err != nil {
		s.fail(w, err)
		return
	}
	download(w, "application/json", fileName(v.Title)+".json", b.Bytes())
}

// styleElement is the sheet's own style, which the policy lets in by its hash.
var styleElement = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// serveSheet shows the batch sheet, to print.
func (s *Server) serveSheet(w http.ResponseWriter, r *http.Request) {
	v, ok := s.exported(w, r)
	if !ok {
		return
	}
	b, err := v.Batch()
	if err != nil {
		s.fail(w, err)
		return
	}
	card, err := v.Card(work.CardOptions{Shimmer: true})
	if err != nil {
		s.fail(w, err)
		return
	}
	picture, err := pngOf(card, swatches.Upright)
	if err != nil {
		s.fail(w, err)
		return
	}
	var out bytes.Buffer
	if err := batch.HTML(&out, b, picture); err != nil {
		s.fail(w, err)
		return
	}
	style := styleElement.FindSubmatch(out.Bytes())
	if style == nil {
		s.fail(w, errors.New("the sheet has no style"))
		return
	}
	sum := sha256.Sum256(style[1])
	w.Header().Set("Content-Security-Policy", fmt.Sprintf("default-src 'none'; img-src data:; style-src 'sha256-%s'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'", base64.StdEncoding.EncodeToString(sum[:])))
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(out.Bytes())
}

func download(w http.ResponseWriter, kind, name string, data []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	w.Write(data)
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
