package page

import (
	"bytes"
	"encoding/json"
	"html/template"
	"net/http"
	"strings"
)

var templates = template.Must(template.New("").Funcs(templateFuncs).ParseFS(assets, "templates/*.html"))

// view answers a person.
func view(w http.ResponseWriter, status int, name string, v any) {
	var b bytes.Buffer
	if err := templates.ExecuteTemplate(&b, name, v); err != nil {
		panic(err) // the guard tells of it
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// answer answers a script with what is no job's.
func answer(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(v)
}

// fault is what is answered to a request that is not done.
type fault struct {
	Error string `json:"error"`
	Field string `json:"field,omitempty"`

	// For a person: where to go from here, and the key that stands for it.
	Link string `json:"-"`
	To   string `json:"-"`
	Key  string `json:"-"`
}

// refuse turns a request away: a person who opened a view with a page in words.
func refuse(w http.ResponseWriter, r *http.Request, status int, f fault) {
	if r.Method == http.MethodGet && strings.Contains(r.Header.Get("Accept"), "text/html") {
		view(w, status, "door.html", f)
		return
	}
	answer(w, status, f)
}
