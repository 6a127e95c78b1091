package page

import (
	"context"
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

func (s *Server) bookJobs(mux *http.ServeMux) {
	mux.HandleFunc("GET /api/book", s.serveBook)
	mux.HandleFunc("POST /api/book/blend", s.saveBlend)
	mux.HandleFunc("POST /api/book/batch", s.saveBatch)
	mux.HandleFunc("POST /api/book/skin", s.saveSkin)
	mux.HandleFunc("POST /api/book/weigh", s.saveWeights)
	mux.HandleFunc("GET /api/book/again", s.serveAgain)
	mux.HandleFunc("GET /api/book/lot", s.serveLot)
	mux.HandleFunc("GET /api/book/stock", s.serveStock)
}

// maxListed is how many lines of each kind the page shows; the whole book is
// the command's.
const maxListed = 30

// bookView is the book as the page lists it, newest first.
type bookView struct {
	Path    string       `json:"path"`
	Blends  []bookedLine `json:"blends"`
	Batches []bookedLine `json:"batches"`
	Skins   []bookedLine `json:"skins"`
	Clients []bookedLine `json:"clients"` // those with readings, averaged
}

type bookedLine struct {
	ID    int64  `json:"id"`
	On    string `json:"on,omitempty"`
	Title string `json:"title"`
	Says  string `json:"says,omitempty"`
	// State is the address' query that brings it back, or "".
	State string `json:"state,omitempty"`
}

func (s *Server) serveBook(w http.ResponseWriter, r *http.Request) {
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return
	}
	v := &bookView{Path: b.Path()}
	for _, k := range []struct {
		kind book.Kind
		to   *[]bookedLine
	}{{book.Blends, &v.Blends}, {book.Batches, &v.Batches}, {book.Skins, &v.Skins}} {
		list, err := b.List(r.Context(), k.kind)
		if err != nil {
			s.fail(w, bookError(err))
			return
		}
		*k.to = []bookedLine{}
		for i, e := range list {
			if i == maxListed {
				break
			}
			line := bookedLine{ID: e.ID, On: e.On, Title: e.Title, Says: e.Says}
			full, err := b.Show(r.Context(), k.kind, e.ID)
			if err != nil {
				s.fail(w, bookError(err))
				return
			}
			line.State = stateOf(full)
			if b, ok := full.(book.Blend); ok {
				line.Says = blendWords(b)
			}
			*k.to = append(*k.to, line)
		}
	}
	if v.Clients, err = clientLines(r.Context(), b); err != nil {
		s.fail(w, bookError(err))
		return
	}
	s.answer(w, v, nil)
}

// clientLines lists the clients whose skin was read, each with the average of
// the readings and how far they lie apart.
func clientLines(ctx context.Context, b *book.Book) ([]bookedLine, error) {
	list, err := b.Clients(ctx)
	if err != nil {
		return nil, err
	}
	lines := []bookedLine{}
	for i, c := range list {
		if i == maxListed {
			break
		}
		a, err := b.ClientSkin(ctx, c.ID)
		if err != nil {
			return nil, err
		}
		if a.Readings == 0 {
			continue
		}
		says := fmt.Sprintf("1 reading, L* %.1f a* %.1f b* %.1f", a.Lab.L, a.Lab.A, a.Lab.B)
		if a.Readings > 1 {
			says = fmt.Sprintf("mean of %d readings, %.1f apart; L* %.1f a* %.1f b* %.1f", a.Readings, a.MeanDE00, a.Lab.L, a.Lab.A, a.Lab.B)
		}
		k := book.Skin{Lab: a.Lab, Reflectance: a.Reflectance}
		lines = append(lines, bookedLine{ID: c.ID, Title: c.Name, Says: says, State: stateOf(k)})
	}
	return lines, nil
}

// blendWords says what a kept blend is of.
func blendWords(b book.Blend) string {
	var words []string
	for _, p := range b.Powders {
		words = append(words, fmt.Sprintf("%s %.2f %%", p.PowderName, p.Percent))
	}
	return fmt.Sprintf("%s; off by %.1f", strings.Join(words, " + "), b.DE00)
}

// request is what the book keeps of what was asked: the job's input, and the
// page's address to bring it back.
type request struct {
	job.Input
	Parts []string `json:"parts,omitempty"`
	Page  string   `json:"page,omitempty"`
}

// stateOf returns the query kept with a record, if it is one this page reads.
func stateOf(record any) string {
	var raw json.RawMessage
	switch v := record.(type) {
	case book.Blend:
		raw = v.Request
	case book.Batch:
		raw = v.Request
	case book.Skin:
		return url.Values{"skin": {skinText(v)}}.Encode()
	}
	var q request
	if json.Unmarshal(raw, &q) != nil {
		return ""
	}
	values, err := url.ParseQuery(q.Page)
	if err != nil {
		return ""
	}
	if _, err := parseState(values); err != nil {
		return ""
	}
	return values.Encode()
}

// skinText is a kept skin as the address carries it: its spectrum, where it
// has one.
func skinText(k book.Skin) string {
	if k.Reflectance != nil {
		return formatBands(colour.Reading{Spectrum: k.Reflectance})
	}
	return colour.Reading{Lab: k.Lab}.String()
}

// saved is the answer to a write.
type saved struct {
	ID   int64  `json:"id"`
	Says string `json:"says"`
}

// booked reads a post and looks at its blend, with what the book keeps of it.
func (s *Server) booked(w http.ResponseWriter, r *http.Request) (*book.Book, *job.BlendResult, json.RawMessage, bool) {
	st, ok := s.asked(w, r)
	if !ok {
		return nil, nil, nil, false
	}
	v, err := st.blend()
	if err != nil {
		s.fail(w, err)
		return nil, nil, nil, false
	}
	raw, err := json.Marshal(request{st.in, st.parts, st.query})
	if err != nil {
		s.fail(w, err)
		return nil, nil, nil, false
	}
	b, err := s.shelf.open(r.Context())
	if err != nil {
		s.fail(w, err)
		return nil, nil, nil, false
	}
	return b, v, raw, true
}

func (s *Server) saveBlend(w http.ResponseWriter, r *http.Request) {
	b, v, raw, ok := s.booked(w, r)
	if !ok {
		return
	}
	rec, err := v.BlendRecord(raw)
	if err != nil {
		s.fail(w, err)
		return
	}
	id, err := b.AddBlend(r.Context(), rec)
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	s.answer(w, saved{id, "Blend " + strconv.FormatInt(id, 10) + " is in the book."}, nil)
}

// saveBatch writes the blend and its batch, so that the batch knows what it is
// of.
func (s *Server) saveBatch(w http.ResponseWriter, r *http.Request) {
	b, v, raw, ok := s.booked(w, r)
	if !ok {
		return
	}
	batch, err := v.BatchRecord(raw)
	if err != nil {
		s.fail(w, err)
		return
	}
	rec, err := v.BlendRecord(raw)
	if err != nil {
		s.fail(w, err)
		return
	}
	if batch.BlendID, err = b.AddBlend(r.Context(), rec); err != nil {
		s.fail(w, bookError(err))
		return
	}
	id, err := b.AddBatch(r.Context(), batch)
	if err != nil {
		s.fail(w, bookError(err))
		return
	}
	s.answer(w, saved{id, "Batch " + strconv.FormatInt(id, 10) + " is in the book, to be weighed."}, nil)
}
