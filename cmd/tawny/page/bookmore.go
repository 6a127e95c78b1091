package page

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"tawny/blend/book"
	"tawny/cmd/tawny/job"
	"tawny/colour"
)

// saveSkin writes the skin at hand under a name, for a client where one is
// named; a client not yet in the book is entered.
func (s *Server) saveSkin(w http.ResponseWriter, r *http.Request) {
	st, q, ok := s.askedWith(w, r)
	if !ok {
		return
	}
	v, err := job.Skin(st.in)
	if err != nil {
		s.fail(w, err)
		return
	}
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	rec := book.Skin{Name: strings.TrimSpace(q.Get("skinname")), How: howSkin(q.Get("skin")), Lab: v.Lab}
	if rec.Name == "" {
		s.fail(w, ask("skinname", "the skin needs a name"))
		return
	}
	if strings.HasPrefix(q.Get("skin"), bandsPrefix) {
		rec.Reflectance = new(colour.Spectrum)
		copy(rec.Reflectance[:], v.Reflectance)
	}
	if client := strings.TrimSpace(q.Get("client")); client != "" {
		if rec.ClientID, err = clientNamed(r, b, client); err != nil {
			s.fail(w, bookError(err))
			return
		}
	}
	id, err := b.AddSkin(r.Context(), rec)
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	s.answer(w, saved{id, fmt.Sprintf("%s is in the book.", rec.Name)}, nil)
}

// howSkin says how a skin was had, in the book's words.
func howSkin(text string) string {
	switch {
	case strings.HasPrefix(text, bandsPrefix), strings.HasPrefix(text, "lab:"):
		return "reading"
	case strings.HasPrefix(text, "lch:"):
		return "sliders"
	case strings.HasPrefix(text, "#"):
		return "hex"
	}
	return "preset"
}

func clientNamed(r *http.Request, b *book.Book, name string) (int64, error) {
	list, err := b.Clients(r.Context())
	if err != nil {
		return 0, err
	}
	for _, c := range list {
		if strings.EqualFold(c.Name, name) {
			return c.ID, nil
		}
	}
	return b.AddClient(r.Context(), book.Client{Name: name})
}

// weighed is a batch's weights as the balance showed them.
type weighed struct {
	ID      int64    `json:"id"`
	MadeOn  string   `json:"madeOn"`
	MadeG   *float64 `json:"madeG"`
	Weights []struct {
		Position int64   `json:"position"`
		Grams    float64 `json:"grams"`
		Lot      string  `json:"lot"`
	} `json:"weights"`
}

func (s *Server) saveWeights(w http.ResponseWriter, r *http.Request) {
	var in weighed
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxStateBytes))
	d.DisallowUnknownFields()
	if err := d.Decode(&in); err != nil {
		s.fail(w, ask("", "the weights are not understood"))
		return
	}
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	var list []book.Weighing
	for _, x := range in.Weights {
		list = append(list, book.Weighing{Position: x.Position, WeighedG: x.Grams, Lot: x.Lot})
	}
	if err := b.Weigh(r.Context(), in.ID, in.MadeOn, in.MadeG, list); err != nil {
		s.fail(w, bookError(err))
		return
	}
	s.answer(w, saved{in.ID, fmt.Sprintf("Batch %d is weighed.", in.ID)}, nil)
}

// againView is what making a batch once more needs.
type againView struct {
	book.Again
	State string `json:"state,omitempty"` // without the blend, so that it is matched anew
}

func (s *Server) serveAgain(w http.ResponseWriter, r *http.Request) {
	id, err := strconv.ParseInt(r.URL.Query().Get("id"), 10, 64)
	if err != nil {
		s.fail(w, ask("id", "which batch?"))
		return
	}
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	a, err := b.MakeAgain(r.Context(), id)
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	v := againView{Again: a}
	if q, err := url.ParseQuery(stateOf(a.Batch)); err == nil && len(q) > 0 {
		q.Del("part")
		v.State = q.Encode()
	}
	v.Batch.Document, v.Batch.Request, v.Request = nil, nil, nil // long, and not shown
	s.answer(w, v, nil)
}

func (s *Server) serveLot(w http.ResponseWriter, r *http.Request) {
	lot := strings.TrimSpace(r.URL.Query().Get("lot"))
	if lot == "" || len(lot) > maxText {
		s.fail(w, ask("lot", "which lot? Its number is on the bag"))
		return
	}
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	uses, err := b.UsesOfLot(r.Context(), lot)
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	if uses == nil {
		uses = []book.Use{}
	}
	s.answer(w, uses, nil)
}

func (s *Server) serveStock(w http.ResponseWriter, r *http.Request) {
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	lots, err := b.Stock(r.Context())
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	if lots == nil {
		lots = []book.LotStock{}
	}
	s.answer(w, lots, nil)
}
