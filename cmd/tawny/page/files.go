package page

import (
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"mime"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"

	"tawny/cmd/tawny/job"
)

// viewed are the jobs that a view may ask for. None of them writes: a view comes
// without the page's token, and a browser asks again for one as it likes.
var viewed = []string{"batch", "card", "chart", "compare", "labels"}

// serveFile answers /file/JOB/NAME with a file the job makes, its request the
// address' query. The name's ending says in which format.
func (s *Server) serveFile(w http.ResponseWriter, r *http.Request) {
	f, err := s.file(r)
	if err != nil {
		status, f := s.faultOf(err)
		f.Link, f.To = "Back to the bench", "/?"+r.URL.RawQuery
		refuse(w, r, status, f)
		return
	}
	w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(f.Name)))
	if path.Ext(f.Name) == ".html" {
		w.Header().Set("Content-Security-Policy", sheetPolicy(f.Data))
	} else {
		q, ext := r.URL.Query(), path.Ext(f.Name)
		title, name := job.Slug(titleOf(q), "blend"), strings.TrimSuffix(f.Name, ext)
		if q.Get("for") == "client" {
			name += "-for-client" // the maker's has the recipe
		}
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", title[:min(len(title), 60)]+"-"+name+ext))
	}
	w.Write(f.Data)
}

// titleOf is what a file is called by: its batch, its title or its powders.
func titleOf(q url.Values) string {
	if batch := q.Get("batch"); batch != "" {
		return "batch " + batch
	}
	var powders []string
	for _, part := range q["part"] {
		name, _, _ := strings.Cut(part, "=")
		powders = append(powders, name)
	}
	if q.Get("for") == "client" {
		powders = []string{"shimmer"} // the recipe is not theirs
	}
	return cmp.Or(q.Get("title"), strings.Join(powders, " "))
}

func (s *Server) file(r *http.Request) (*job.File, error) {
	asked, name := path.Split(r.PathValue("path"))
	q, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil || len(r.URL.RawQuery) > maxDocument {
		return nil, ask("the address is not understood, or too long")
	}
	asked = strings.ReplaceAll(strings.Trim(asked, "/"), "/", " ")
	if !slices.Contains(viewed, asked) {
		return nil, ask("tawny %.40s makes nothing to be viewed", asked)
	}
	d, err := document(asked, func(d *job.Doc) error {
		if f := d.Field("format"); f != nil && name != jsonFile {
			if err := d.Put("format", strings.TrimPrefix(path.Ext(name), ".")); err != nil {
				return err
			}
		}
		for key, list := range q {
			for _, v := range list {
				if err := d.Put(key, v); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if err := take(r.Context(), s.long); err != nil {
		return nil, err
	}
	defer give(s.long)
	env := s.env(nil)
	env.Sends = true
	v, err := d.Do(r.Context(), env)
	if err != nil {
		return nil, err
	}
	if name == jsonFile {
		data, err := job.Answer(d, v)
		return &job.File{Name: name, Data: data}, err
	}
	for _, f := range env.Delivered {
		if f.Name == name {
			return &f, nil
		}
	}
	return nil, ask("tawny %s makes no file called %.40q", d.Job.Name, name)
}

// jsonFile is any job's result document.
const jsonFile = "data.json"

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
