package page

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"log"
	"net"
	"net/http"
	"runtime/debug"
)

// policy is what the page may load: itself. Scripts and styles come from this
// server only, none inline; blob: is for pictures the page was sent.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// How many requests are served at a time; more are turned away. Those of the
// network have places of their own, so that slow ones there never keep this
// machine's out, and one address has only a few of them. So have strangers:
// those not let in, and without the right key.
const (
	maxAtOnce     = 64
	maxOfNetwork  = 32
	maxOfAddress  = 12
	maxOfStranger = 4 // of one address
	maxStrangers  = 16
)

// cookieName is the name of what a browser carries that was let in. Cookies do
// not tell ports apart, so that the port stands in it: two books may be open.
func cookieName(host string) string {
	_, port, _ := net.SplitHostPort(host)
	return "tawny_session_" + port
}

// tokenHeader carries the page's token on everything that is not a plain view.
const tokenHeader = "X-Tawny-Token"

// guard decides who is let in.
type guard struct {
	local map[string]bool // Host values that reach this machine only
	lan   map[string]bool // Host values the local network may use
	token string          // the page's own, for writes
	door  *door
	log   *log.Logger
	busy  places // requests being served
}

func newGuard(lg *log.Logger) *guard {
	return &guard{local: map[string]bool{}, lan: map[string]bool{}, token: secret(), log: lg}
}

// secret is 128 random bits in hex.
func secret() string {
	b := make([]byte, 16)
	rand.Read(b) // never fails (crypto/rand, since Go 1.24)
	return hex.EncodeToString(b)
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// wrap puts the guard before a handler.
func (g *guard) wrap(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Content-Security-Policy", policy)
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("X-Frame-Options", "DENY")
		head.Set("Referrer-Policy", "same-origin")
		head.Set("Cross-Origin-Resource-Policy", "same-origin")
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		head.Set("Cache-Control", "no-store")
		defer g.recovered(w, r)
		leave, ok := g.place(r)
		if !ok {
			answer(w, http.StatusServiceUnavailable, fault{Error: "too much at once; try again in a moment"})
			return
		}
		defer leave()
		if c := connectionOf(r); c != nil && g.known(r) != nil {
			c.letIn.Store(true)
		}
		if status, why := g.admit(r); status != 0 {
			f := fault{Error: why}
			if status == http.StatusUnauthorized && r.URL.Path == "/" && r.Header.Get("Sec-Fetch-Site") == "cross-site" {
				// Who followed a link from elsewhere may be in already: browsers keep
				// the session back then, and send it from here.
				f.Link, f.To = "Open it from here", r.URL.RequestURI()
			}
			refuse(w, r, status, f)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// place takes a place among the requests being served.
func (g *guard) place(r *http.Request) (leave func(), ok bool) {
	if g.known(r) == nil && !g.door.opens(keyOf(r)) {
		return g.busy.take(map[string]int{"stranger " + addressOf(r.RemoteAddr): maxOfStranger, "strangers": maxStrangers})
	}
	return g.busy.take(shares(r, maxAtOnce, maxOfAddress, maxOfNetwork))
}

// admit returns the status and reason of a refusal, or 0.
func (g *guard) admit(r *http.Request) (status int, why string) {
	local := g.local[r.Host]
	if !local && !g.lan[r.Host] || local != fromHere(r) {
		// A name that leads here by someone else's doing (DNS rebinding), or one that
		// does not go with the way the request came.
		return http.StatusMisdirectedRequest, "this page answers only at the address it printed"
	}
	write := r.Method != http.MethodGet && r.Method != http.MethodHead
	if write && r.Method != http.MethodPost {
		return http.StatusMethodNotAllowed, "only viewing and posting are understood"
	}
	origin := r.Header.Get("Origin")
	if origin != "" && origin != "http://"+r.Host {
		return http.StatusForbidden, "this came from another site"
	}
	if write && origin == "" {
		return http.StatusForbidden, "a post must say where it comes from"
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
	default:
		// A link from elsewhere may open the page, and nothing else.
		if write || r.Header.Get("Sec-Fetch-Mode") != "navigate" || r.Header.Get("Sec-Fetch-Dest") != "document" || (r.URL.Path != "/" && r.URL.Path != enterPath) {
			return http.StatusForbidden, "this came from another site"
		}
	}
	switch r.URL.Path {
	case "/static/page.css", "/static/icon.svg": // how the door looks
		return 0, ""
	}
	if c := connectionOf(r); c != nil && c.foreign() {
		return http.StatusForbidden, "this came from another account of this machine"
	}
	if r.URL.Path == enterPath {
		return 0, ""
	}
	if g.known(r) == nil {
		return http.StatusUnauthorized, "this browser has not been let in; open the newest address with a key that tawny printed in the window it runs in, or scan its code"
	}
	if write && !same(r.Header.Get(tokenHeader), g.token) {
		return http.StatusForbidden, "the page is out of date; load it again"
	}
	return 0, ""
}

// known is the session a browser carries, or nil.
func (g *guard) known(r *http.Request) *session {
	c, err := r.Cookie(cookieName(r.Host))
	if err != nil {
		return nil
	}
	return g.door.knows(c.Value)
}

// fromHere says whether a request came over the loopback.
func fromHere(r *http.Request) bool {
	ip := net.ParseIP(addressOf(r.RemoteAddr))
	return ip != nil && ip.IsLoopback()
}

// addressOf is the address of host:port.
func addressOf(at string) string {
	host, _, _ := net.SplitHostPort(at)
	return host
}

// recovered turns a panic into a plain error, and the details into the log.
func (g *guard) recovered(w http.ResponseWriter, r *http.Request) {
	e := recover()
	if e == nil {
		return
	}
	if err, ok := e.(error); ok && errors.Is(err, http.ErrAbortHandler) {
		panic(e)
	}
	g.log.Printf("fault at %s: %v\n%s", r.URL.Path, e, debug.Stack())
	// Where an answer has begun, this only adds to it and says the same.
	answer(w, http.StatusInternalServerError, fault{Error: "something went wrong in tawny; what you entered is still in the address"})
}
