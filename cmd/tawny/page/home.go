package page

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/blend/palette"
	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/reading"
	"tawny/testdata/demo"
)

// home is what the page's template shows.
type home struct {
	Token     string
	Mark      string // of the drawer as it stands, for pages that were read before
	Presets   []job.SkinView
	Families  []family
	Shades    []string // the words for one
	Gleams    []film.GleamWord
	Grains    []string
	Coverages []film.Coverage
	Bases     []batch.Base
	Lights    []colour.Illuminant
	Labels    []batch.LabelSheet
	Dancers   []dancer
	Bench     []*job.Field // of a batch, beside its size
	Again     []*job.Field // of one made again
	Edit      []*job.Field // of a powder put right
	Recipe    []*job.Field // of an own base, beside its lines
	Looks     string       // the words an eye has for a batch
	Fields    string       // what each job understands, as JSON
	Book      bool
	Own       bool   // the drawer is the maker's own
	Begun     bool   // and has a powder
	File      string // the own drawer's name
	Powders   int    // of the drawer in use
	Advice    []string
	ByCommand map[string]string
}

// fieldsOf names the fields of each job a page may ask for.
func fieldsOf(jobs []*job.Job) string {
	names := map[string][]string{}
	for _, j := range jobs {
		if j.New == nil || j.Local != "" {
			continue
		}
		for _, f := range job.NewDoc(j).Fields {
			if !f.Local && !f.NamesFile() {
				names[j.Name] = append(names[j.Name], f.Name)
			}
		}
	}
	data, _ := json.Marshal(names) // names have no fault
	return string(data)
}

// dancer is an invented one, with the colour of their skin on a screen.
type dancer struct {
	demo.Dancer
	Hex string
}

// family is powders of one kind.
type family struct {
	Name    string
	Powders []powder
}

// powder is one of the drawer, or beside it of the built-in one.
type powder struct {
	job.PowderView
	BuiltIn bool
}

var templateFuncs = template.FuncMap{
	"grade": palette.GradeWord,
	"reach": func(w film.GleamWord) string {
		if w.Hi > 1e9 {
			return fmt.Sprintf("over %g", w.Lo)
		}
		return fmt.Sprintf("%g to %g", w.Lo, w.Hi)
	},
	"field":  func(of, name string) *job.Field { return rows(of, name)[0] },
	"of":     func(words ...string) []string { return words },
	"figure": func(f *job.Field) bool { _, text := f.Value().(string); return !text },
}

// rows are fields of a job, for boxes.
func rows(of string, names ...string) (list []*job.Field) {
	d := job.NewDoc(job.Find(of))
	for _, name := range names {
		list = append(list, d.Field(name))
	}
	return list
}

// newHome gathers what the page offers. The drawer is computed for it, which
// takes a while, so it is done once.
func (s *Server) newHome() (*home, error) {
	h := &home{Token: s.guard.token, Mark: secret()[:8], Shades: job.ShadeNames(), Gleams: film.GleamWords[:], Grains: film.GrainWords[:], Coverages: film.Coverages, Lights: colour.Illuminants(), Labels: batch.LabelSheets, Fields: fieldsOf(job.Jobs), Book: s.cfg.Book != "", Own: s.cfg.Drawer != "", Advice: reading.Advice(), ByCommand: byCommand, Looks: mend.LooksWords()}
	_, err := os.Stat(s.cfg.Drawer)
	h.Begun, h.File = err == nil, filepath.Base(s.cfg.Drawer)
	if h.Presets, err = job.Presets(job.Input{}); err != nil {
		return nil, err
	}
	for _, d := range demo.Dancers() {
		v, err := job.Skin(job.Input{Skin: d.Skin})
		if err != nil {
			return nil, err
		}
		h.Dancers = append(h.Dancers, dancer{d, v.Hex})
	}
	for _, g := range job.NewDoc(job.Find("batch")).Task.Groups {
		for i := range g.Fields {
			if f := &g.Fields[i]; g.Title == "Bench" && !f.NamesFile() {
				h.Bench = append(h.Bench, f)
			}
		}
	}
	h.Again = rows("book again", "title", "code", "containers", "ml", "samples", "grams", "note")
	h.Edit = rows("drawer edit", "density", "bulk", "oil", "inci", "ci", "areas", "lot", "grams", "price")
	h.Recipe = rows("base add", "kind", "ph", "density")
	h.Bases = batch.Builtin()
	listed, err := job.NewDoc(job.Find("drawer")).Do(context.Background(), s.env(nil))
	if err != nil {
		return nil, err
	}
	h.Powders = len(listed.(*job.DrawerView).Powders)
	h.add(listed.(*job.DrawerView).Powders, false)
	if h.Begun {
		built, err := job.NewDoc(job.Find("drawer")).Do(context.Background(), &job.Env{})
		if err != nil {
			return nil, err
		}
		h.add(built.(*job.DrawerView).Powders, true)
	}
	return h, nil
}

// add lists powders by their families; what is listed by a name stays the only one.
func (h *home) add(powders []job.PowderView, builtIn bool) {
	listed := map[string]bool{}
	at := map[string]int{}
	for i, f := range h.Families {
		at[f.Name] = i
		for _, p := range f.Powders {
			listed[strings.ToLower(p.Name)] = true
		}
	}
	for _, p := range powders {
		if listed[strings.ToLower(p.Name)] {
			continue
		}
		i, ok := at[p.Family]
		if !ok {
			i = len(h.Families)
			at[p.Family] = i
			h.Families = append(h.Families, family{Name: p.Family})
		}
		h.Families[i].Powders = append(h.Families[i].Powders, powder{p, builtIn})
	}
}

// renew makes the page anew.
func (s *Server) renew() error {
	h, err := s.newHome()
	if err == nil {
		s.home.Store(h)
	}
	return err
}

func (s *Server) serveHome(w http.ResponseWriter, r *http.Request) {
	if in := s.guard.known(r); in != nil {
		remember(w, r, in.secret)
	}
	view(w, http.StatusOK, "home.html", s.home.Load())
}

// serveStatic serves an embedded file by its name in one flat folder; the name
// is looked up in the program, never on the disk.
func (s *Server) serveStatic(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	data, err := assets.ReadFile(path.Join("static", path.Base("/"+name)))
	if err != nil {
		answer(w, http.StatusNotFound, nothingHere)
		return
	}
	sum := sha256.Sum256(data)
	w.Header().Set("ETag", `"`+hex.EncodeToString(sum[:8])+`"`)
	w.Header().Set("Cache-Control", "no-cache")
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(data))
}
