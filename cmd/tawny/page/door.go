package page

import (
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

const enterPath = "/enter"

// door lets browsers in, on this machine and on the local network: other
// accounts of the machine can reach the port too. Each comes in with a key that
// works once.
type door struct {
	announce func() // prints a fresh key

	mu       sync.Mutex
	key      string
	wrong    map[string]int // wrong keys by address, forgotten with a right one
	sessions []*session     // at most maxDevices, oldest first
}

// session is a browser that was let in.
type session struct {
	ID     string    `json:"id"` // to end it by; the secret itself stays in the browser
	Device string    `json:"device"`
	Since  time.Time `json:"since"`
	Last   time.Time `json:"last"`
	secret string
}

const (
	maxDevices  = 8              // let in at a time; the one longest quiet goes out
	sessionTime = 12 * time.Hour // without a request
	maxDelay    = 3 * time.Second
)

func newDoor(announce func()) *door {
	return &door{announce: announce, key: secret(), wrong: map[string]int{}}
}

// enter takes a key and returns a session's secret, or "" where the key is
// wrong. A fresh key is announced in the place of one that was used. Wrong keys
// make the next answer to the same address slower, and keep out nobody with a
// right one.
func (d *door) enter(key, address, device string) string {
	d.mu.Lock()
	if !same(key, d.key) {
		if len(d.wrong) > 1000 {
			clear(d.wrong) // an address is cheap to make up
		}
		d.wrong[address]++
		delay := min(maxDelay, 50*time.Millisecond<<min(d.wrong[address], 8))
		d.mu.Unlock()
		time.Sleep(delay)
		return ""
	}
	delete(d.wrong, address)
	d.key = secret()
	s := &session{ID: secret()[:12], Device: device, Since: time.Now(), Last: time.Now(), secret: secret()}
	d.sessions = append(d.sessions, s)
	if len(d.sessions) > maxDevices {
		quiet := slices.MinFunc(d.sessions, func(a, b *session) int { return a.Last.Compare(b.Last) })
		d.sessions = slices.DeleteFunc(d.sessions, func(o *session) bool { return o == quiet })
	}
	d.mu.Unlock()
	if d.announce != nil {
		d.announce()
	}
	return s.secret
}

// opens tells whether a key is right, without using it.
func (d *door) opens(key string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return same(key, d.key)
}

// knows returns the session of a secret, or nil.
func (d *door) knows(secret string) *session {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.endQuiet()
	var found *session
	for _, s := range d.sessions {
		if same(s.secret, secret) {
			found = s
		}
	}
	if found != nil {
		found.Last = time.Now()
	}
	return found
}

// endQuiet ends the sessions that have been quiet too long.
func (d *door) endQuiet() {
	d.sessions = slices.DeleteFunc(d.sessions, func(s *session) bool { return time.Since(s.Last) >= sessionTime })
}

// end sends a browser out.
func (d *door) end(id string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	in := len(d.sessions)
	d.sessions = slices.DeleteFunc(d.sessions, func(s *session) bool { return s.ID == id })
	return len(d.sessions) < in
}

func (d *door) list() []session {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.endQuiet()
	list := make([]session, len(d.sessions))
	for i, s := range d.sessions {
		list[i] = *s
	}
	return list
}

// keyOf is the key a request comes with. It stands in the address of a post
// too, so that the door never waits for a body.
func keyOf(r *http.Request) string { return r.URL.Query().Get("key") }

// serveEnter takes the key. On this machine opening the address is enough; on
// the network a button is shown first, so that a preview of the link does not
// use the key up.
func (s *Server) serveEnter(w http.ResponseWriter, r *http.Request) {
	key := keyOf(r)
	if r.Method != http.MethodPost && !s.guard.local[r.Host] {
		view(w, http.StatusOK, "door.html", fault{Key: key[:min(len(key), 64)]})
		return
	}
	secret := s.guard.door.enter(key, addressOf(r.RemoteAddr), deviceOf(r))
	if secret == "" {
		view(w, http.StatusForbidden, "door.html", fault{Error: "This key has been used or is wrong. tawny prints a fresh one each time in the window it runs in; open that."})
		return
	}
	remember(w, r, secret)
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// remember leaves a session's secret with a browser for as long as it is good.
func remember(w http.ResponseWriter, r *http.Request, secret string) {
	http.SetCookie(w, &http.Cookie{Name: cookieName(r.Host), Value: secret, Path: "/", MaxAge: int(sessionTime.Seconds()), HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

// deviceOf is what a browser says of itself, as far as it tells devices apart.
func deviceOf(r *http.Request) string {
	for _, kind := range []string{"iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux"} {
		if strings.Contains(r.UserAgent(), kind) {
			return kind
		}
	}
	return "a browser"
}

// serveDevices lists who is let in; with an id posted, it sends that one out,
// which is for this machine to do, or for the device itself.
func (s *Server) serveDevices(w http.ResponseWriter, r *http.Request) error {
	if id := r.URL.Query().Get("end"); r.Method == http.MethodPost && id != "" {
		if mine := s.guard.known(r); !fromHere(r) && (mine == nil || mine.ID != id) {
			return ask("others are sent out from the machine that tawny runs on")
		}
		if !s.guard.door.end(id) {
			return ask("that device is out already")
		}
	}
	answer(w, http.StatusOK, map[string]any{"devices": s.guard.door.list()})
	return nil
}
