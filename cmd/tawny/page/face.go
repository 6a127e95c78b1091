package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"

	"tawny/cmd/tawny/job"
)

// The page is a face of the jobs: it posts a job's request document and gets
// its result document. What is only the page's is the order in which requests
// are answered, how far work is, and what may be asked at all.
func (s *Server) jobs(mux *http.ServeMux) {
	mux.HandleFunc("POST /api/job/{name...}", s.inTurn(s.serveJob))
	mux.HandleFunc("POST /api/picture", s.inTurn(s.servePicture))
	mux.HandleFunc("GET /file/{path...}", s.serveFile)
	mux.HandleFunc("POST /api/file", s.failing(s.serveSent))
}

// failing answers with the error of a handler: the asker's in full, any other in the
// log only.
func (s *Server) failing(h func(w http.ResponseWriter, r *http.Request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			status, f := s.faultOf(err)
			answer(w, status, f)
		}
	}
}

// inTurn is failing for work that a newer request of its kind ends.
func (s *Server) inTurn(h func(w http.ResponseWriter, r *http.Request) error) http.HandlerFunc {
	return s.failing(func(w http.ResponseWriter, r *http.Request) error {
		ctx, done, ok := s.turns.begin(r)
		if !ok {
			return context.Canceled
		}
		defer done()
		return h(w, r.WithContext(ctx))
	})
}

// askError is a fault of a request, in words for the maker.
type askError string

func (e askError) Error() string        { return string(e) }
func (e askError) Is(target error) bool { return target == job.ErrInput }

func ask(format string, args ...any) error { return askError(fmt.Sprintf(format, args...)) }

// maxDocument bounds a request: a usual one is under 1 kB, one that leaves out
// most of a large drawer about 10 kB.
const maxDocument = 16 << 10

// document begins the request of a job that a page may ask for, and fills it.
func document(name string, fill func(*job.Doc) error) (*job.Doc, error) {
	j := job.Find(name)
	switch {
	case j == nil || j.New == nil:
		return nil, ask("tawny does nothing called %.40q", name)
	case j.Local != "":
		return nil, ask("tawny %s is for the command line: %s", name, j.Local)
	}
	d := job.NewDoc(j)
	if err := fill(d); err != nil {
		return nil, err
	}
	for _, f := range d.Fields {
		if f.Local && d.Given(f.Name) {
			return nil, &job.FieldError{Field: f.Name, Says: "is for the command line"}
		}
	}
	return d, nil
}

// posted reads the document of a request for a job.
func (s *Server) posted(w http.ResponseWriter, r *http.Request, name string) (*job.Doc, error) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxDocument))
	if err != nil {
		return nil, ask("the request is too long or broke off")
	}
	return document(name, func(d *job.Doc) error { return d.Read(body) })
}

// env is what this page lends a job. Of files it lends those that were sent in:
// whatever a request names, a job finds nothing of this machine's disk but the book
// and the drawer the page was begun with.
func (s *Server) env(progress func(float64)) *job.Env {
	return &job.Env{
		Files: &s.sent, Now: time.Now, Progress: progress, Drawers: s.drawers,
		Workers: 1, // the other processor follows the sliders
		Book:    job.Book{File: s.cfg.Book, Open: s.shelf.open, Warn: func(err error) { s.guard.log.Print(err) }},
	}
}

// serveJob answers a job's document with its result. A browser that accepts
// lines is told how far long work is.
func (s *Server) serveJob(w http.ResponseWriter, r *http.Request) error {
	name := strings.ReplaceAll(r.PathValue("name"), "/", " ")
	d, err := s.posted(w, r, name)
	if err != nil {
		return err
	}
	lines := r.Header.Get("Accept") == linesType
	if lines || d.Job.Searches {
		if err := take(r.Context(), s.long); err != nil {
			return err
		}
		defer give(s.long)
	}
	if lines {
		s.stream(r.Context(), w, d)
		return nil
	}
	data, err := s.answerOf(r.Context(), d, nil)
	if err == nil && slices.Contains(drawerChanges, name) {
		err = s.renew()
	}
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("X-Tawny-Drawer", s.home.Load().Mark)
	w.Write(data)
	return nil
}

// drawerChanges are the jobs that change what the page offers.
var drawerChanges = []string{"drawer add", "drawer edit", "drawer remove"}

func (s *Server) answerOf(ctx context.Context, d *job.Doc, progress func(float64)) ([]byte, error) {
	v, err := d.Do(ctx, s.env(progress))
	if err != nil {
		return nil, err
	}
	return job.Answer(d, v)
}

const linesType = "application/x-ndjson"

// line is one line of a stream: progress, then the result or an error.
type line struct {
	Progress float64         `json:"progress"`
	Result   json.RawMessage `json:"result,omitempty"`
	*fault
}

// stream runs long work and sends how far it is.
func (s *Server) stream(ctx context.Context, w http.ResponseWriter, d *job.Doc) {
	// The work runs beside the sending, since a slow reader must not slow it.
	share := make(chan float64, 1)
	type outcome struct {
		data []byte
		err  error
	}
	end := make(chan outcome, 1)
	go func() {
		var o outcome
		defer func() {
			if e := recover(); e != nil {
				s.cfg.Log.Printf("fault in %s: %v", d.Job.Name, e)
				o = outcome{nil, errors.New("the search failed")}
			}
			end <- o
		}()
		o.data, o.err = s.answerOf(ctx, d, func(x float64) {
			select {
			case share <- x:
			default:
			}
		})
	}()
	w.Header().Set("Content-Type", linesType+"; charset=utf-8")
	flush := http.NewResponseController(w)
	send := func(l line) {
		flush.SetWriteDeadline(time.Now().Add(writeTimeout)) // of each line; all of them may take longer
		json.NewEncoder(w).Encode(l)
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
				_, f := s.faultOf(o.err)
				send(line{Progress: last, fault: &f})
				return
			}
			send(line{Progress: 1, Result: o.data})
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

func (s *Server) faultOf(err error) (status int, f fault) {
	f.Field = job.FieldOf(err)
	f.Error = sayOf(err)
	switch {
	case errors.Is(err, job.ErrInput):
		return http.StatusUnprocessableEntity, f
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return http.StatusConflict, fault{Error: "stopped"}
	}
	s.cfg.Log.Print(err)
	return http.StatusInternalServerError, fault{Error: "something went wrong in tawny: " + f.Error}
}

// sayOf writes an error as the page calls its fields, and what was sent in.
// Files of the disk and commands are not for here.
func sayOf(err error) string {
	says := sentName.ReplaceAllString(job.Say(err, called), "the file")
	return commands.ReplaceAllString(diskFiles.ReplaceAllString(says, ""), "")
}

// commands are clauses of what a command does.
var commands = regexp.MustCompile(`[;,:.] [^;,:.]*'tawny [^']*'[^;,.]*`)

var diskFiles = regexp.MustCompile(` or a (CSV|reflectance) file`)

var sentName = regexp.MustCompile(`\b[0-9a-f]{32}\b`)

// called is what the page calls a field, where its form names it otherwise.
func called(field string) string {
	if name := fieldNames[field]; name != "" {
		return name
	}
	return strings.ReplaceAll(field, "-", " ")
}

var fieldNames = map[string]string{
	"skin": "the skin chosen under Who", "target": "the shade wanted", "load-max": "the load", "max": "powders in a blend", "ml": "ml in each", "apply": "how thickly it is worn",
	"illuminant": "the light", "second-light": "the second light", "only": "the powders", "use": "the powders to use", "part": "the blend",
	"in-stock": "stock", "containers": "the number of bottles", "title": "the name", "yes": "a yes", "inci": "its INCI list", "ci": "its CI numbers", "areas": "where its label allows it", "paid": "what it cost", "expires": "the day it is good until", "listed": "the box below",
}
