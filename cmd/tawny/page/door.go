package page

import (
	"net/http"
	"sync"
)

const enterPath = "/enter"

// maxWrong closes the door after so many wrong keys: 128 random bits cannot be
// guessed, so wrong keys are a fault or an attack.
const maxWrong = 20

// door lets devices on the local network in, each with a key that works once.
type door struct {
	announce func(key string) // prints a fresh key

	mu       sync.Mutex
	key      string
	wrong    int
	sessions []string // at most maxDevices, oldest first
}

// maxDevices is how many devices may be in at a time; the oldest goes out.
const maxDevices = 8

func newDoor(announce func(string)) *door {
	d := &door{announce: announce, key: secret()}
	return d
}

// enter takes a key and returns a session, or "" where the key is wrong. A
// fresh key is announced in the place of one that was used.
func (d *door) enter(key string) (session string) {
	d.mu.Lock()
	if d.wrong >= maxWrong || !same(key, d.key) {
		d.wrong++
		d.mu.Unlock()
		return ""
	}
	d.key = secret()
	session = secret()
	d.sessions = append(d.sessions, session)
	if len(d.sessions) > maxDevices {
		d.sessions = d.sessions[1:]
	}
	fresh := d.key
	d.mu.Unlock()
	if d.announce != nil {
		d.announce(fresh)
	}
	return session
}

func (d *door) knows(session string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	found := false
	for _, s := range d.sessions {
		found = same(s, session) || found
	}
	return found
}

// serveEnter shows a button (GET), so that a preview of the link does not use
// the key up, and takes the key (POST).
func (s *Server) serveEnter(w http.ResponseWriter, r *http.Request) {
	if s.guard.door == nil {
		http.NotFound(w, r)
		return
	}
	v := struct{ Key, Fault string }{}
	switch r.Method {
	case http.MethodPost:
		r.Body = http.MaxBytesReader(w, r.Body, 1<<10)
		if session := s.guard.door.enter(r.PostFormValue("key")); session != "" {
			http.SetCookie(w, &http.Cookie{Name: sessionCookie, Value: session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
		v.Fault = "This key has been used or is wrong. tawny prints a fresh one each time; scan that."
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusForbidden)
	default:
		v.Key = r.URL.Query().Get("key")
		if len(v.Key) > 64 {
			v.Key = ""
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
	}
	s.templates.ExecuteTemplate(w, "enter.html", v)
}
