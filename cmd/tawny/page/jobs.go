package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"tawny/blend/film"
	"tawny/cmd/tawny/job"
)

const defaultIndex = film.DefaultIndex

func (s *Server) jobs(mux *http.ServeMux) {
	mux.HandleFunc("POST /api/live", s.serveLive)
	mux.HandleFunc("POST /api/blend", s.serveBlend)
	mux.HandleFunc("POST /api/match", s.serveMatch)
	mux.HandleFunc("POST /api/compare", s.serveCompare)
	mux.HandleFunc("POST /api/reach", s.serveReach)
	mux.HandleFunc("POST /api/picture", s.servePicture)
	s.exports(mux)
	s.readings(mux)
	s.bookJobs(mux)
}

// asked reads the state of a post: the address' own query as its body.
func (s *Server) asked(w http.ResponseWriter, r *http.Request) (state, bool) {
	st, _, ok := s.askedWith(w, r)
	return st, ok
}

// askedWith returns the query itself too.
func (s *Server) askedWith(w http.ResponseWriter, r *http.Request) (state, url.Values, bool) {
	q, err := posted(w, r)
	if err != nil {
		s.fail(w, err)
		return state{}, nil, false
	}
	st, err := s.state(q)
	if err != nil {
		s.fail(w, err)
		return state{}, nil, false
	}
	return st, q, true
}

// posted reads a query sent as a body.
func posted(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxStateBytes))
	if err != nil {
		return nil, ask("", "the request is too long or broke off")
	}
	q, err := url.ParseQuery(string(body))
	if err != nil {
		return nil, ask("", "the request is not understood")
	}
	return q, nil
}

// state reads a query and gives the job this server's drawer.
func (s *Server) state(q url.Values) (state, error) {
	st, err := parseState(q)
	st.in = st.in.Using(s.drawers)
	st.in.Workers = 1 // the other processor follows the sliders
	return st, err
}

// fail answers with an error: the asker's in full, any other in the log only.
func (s *Server) fail(w http.ResponseWriter, err error) {
	status, says, field := s.wordsOf(err)
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(fault{says, field})
}

type fault struct {
	Error string `json:"error"`
	Field string `json:"field,omitempty"`
}

const statusStale = http.StatusConflict

func (s *Server) wordsOf(err error) (status int, says, field string) {
	var a *askError
	switch {
	case errors.As(err, &a):
		return http.StatusUnprocessableEntity, a.Says, a.Field
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return statusStale, "stopped", ""
	case errors.Is(err, job.ErrInput):
		return http.StatusUnprocessableEntity, plain(err.Error()), ""
	}
	s.cfg.Log.Print(err)
	return http.StatusInternalServerError, "something went wrong in tawny: " + plain(err.Error()), ""
}

// plain takes the commands' flags out of a message.
func plain(text string) string {
	return strings.NewReplacer("; give --skin as", "; choose", "; give --target as", "; give", "--", "").Replace(text)
}

// answer sends a result whole, or an error: never half of one.
func (s *Server) answer(w http.ResponseWriter, v any, err error) {
	var b bytes.Buffer
	if err == nil {
		err = json.NewEncoder(&b).Encode(v)
	}
	if err != nil {
		s.fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(b.Bytes())
}

// serveLive follows a slider.
func (s *Server) serveLive(w http.ResponseWriter, r *http.Request) {
	ctx, done, ok := s.turns.begin(r, "live")
	if !ok {
		s.fail(w, context.Canceled)
		return
	}
	defer done()
	st, ok := s.asked(w, r)
	if !ok {
		return
	}
	live := job.LiveInput{Input: st.in}
	for _, p := range st.parts {
		name, _, _ := strings.Cut(p, "=")
		live.Powders = append(live.Powders, name)
	}
	if len(live.Powders) > maxParts {
		s.fail(w, ask("part", "%d powders; at most %d is accepted", len(live.Powders), maxParts))
		return
	}
	v, err := job.Live(ctx, live)
	s.answer(w, v, err)
}

// maxParts is the most powders a blend may have: what a match makes.
const maxParts = 4

// serveBlend looks at a stated blend.
func (s *Server) serveBlend(w http.ResponseWriter, r *http.Request) {
	st, ok := s.asked(w, r)
	if !ok {
		return
	}
	v, err := st.blend()
	s.answer(w, v, err)
}

func (st state) blend() (*job.BlendResult, error) {
	if len(st.parts) == 0 {
		return nil, ask("part", "no blend is chosen yet")
	}
	return job.Blend(job.BlendInput{Input: st.in, Parts: st.parts, Title: st.name})
}

// line is one line of a stream: progress, then the result or an error.
type line struct {
	Progress float64 `json:"progress"`
	Result   any     `json:"result,omitempty"`
	*fault
}

// stream runs long work in its turn and sends how far it is.
func (s *Server) stream(w http.ResponseWriter, r *http.Request, kind string, do func(ctx context.Context, st state, report func(float64)) (any, error)) {
	ctx, done, ok := s.turns.begin(r, kind)
	if !ok {
		s.fail(w, context.Canceled)
		return
	}
	defer done()
	st, ok := s.asked(w, r)
	if !ok {
		return
	}
	if err := take(ctx, s.long); err != nil {
		s.fail(w, err)
		return
	}
	defer give(s.long)
	// The work runs beside the sending, since a slow reader must not slow it.
	share := make(chan float64, 1)
	type outcome struct {
		v   any
		err error
	}
	end := make(chan outcome, 1)
	go func() {
		var o outcome
		defer func() {
			if e := recover(); e != nil {
				s.cfg.Log.Printf("fault in %s: %v", kind, e)
				o = outcome{nil, errors.New("the search failed")}
			}
			end <- o
		}()
		o.v, o.err = do(ctx, st, func(x float64) {
			select {
			case share <- x:
			default:
			}
		})
	}()
	w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
	flush := http.NewResponseController(w)
	send := func(l line) {
		var b bytes.Buffer
		if err := json.NewEncoder(&b).Encode(l); err != nil {
			b.Reset()
			_, says, _ := s.wordsOf(err)
			json.NewEncoder(&b).Encode(line{fault: &fault{Error: says}})
		}
		w.Write(b.Bytes())
		flush.Flush()
	}
	send(line{}) // begun, however short it will be
	tick := time.NewTicker(150 * time.Millisecond)
	defer tick.Stop()
	last := 0.0
	for {
		select {
		case x := <-share:
			last = x
		case <-tick.C:
			send(line{Progress: last})
		case o := <-end:
			if o.err != nil {
				_, says, field := s.wordsOf(o.err)
				send(line{Progress: last, fault: &fault{says, field}})
				return
			}
			send(line{Progress: 1, Result: o.v})
			return
		}
	}
}

// take waits for a place among work of a kind; give gives it back.
func take(ctx context.Context, places chan struct{}) error {
	select {
	case places <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func give(places chan struct{}) { <-places }

// ranked is a match with what tells its blends apart.
type ranked struct {
	*job.MatchResult
	Apart []string `json:"apart"` // one for each blend
}

func (s *Server) serveMatch(w http.ResponseWriter, r *http.Request) {
	s.stream(w, r, "match", func(ctx context.Context, st state, report func(float64)) (any, error) {
		m, err := job.Match(ctx, st.in, report)
		if err != nil {
			return nil, err
		}
		return ranked{m, apart(m.Blends)}, nil
	})
}

func (s *Server) serveCompare(w http.ResponseWriter, r *http.Request) {
	s.stream(w, r, "compare", func(ctx context.Context, st state, report func(float64)) (any, error) {
		turn := st.turn
		if turn == 0 {
			turn = job.DefaultTurn
		}
		return job.Compare(ctx, st.in, turn, report)
	})
}

// serveReach works out what would come nearer a shade out of reach.
func (s *Server) serveReach(w http.ResponseWriter, r *http.Request) {
	s.stream(w, r, "reach", func(ctx context.Context, st state, report func(float64)) (any, error) {
		m, err := job.Match(ctx, st.in, report)
		if err != nil {
			return nil, err
		}
		if err := m.FindReach(ctx); err != nil {
			return nil, err
		}
		return m.Reach, nil
	})
}
