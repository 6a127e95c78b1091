package page

import (
	"bytes"
	"fmt"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// lanServer is a page for the local network at http://192.168.1.5:8000, no
// socket open.
func lanServer(t *testing.T) (*Server, http.Handler) {
	t.Helper()
	s, err := New(Config{Log: log.New(io.Discard, "", 0), Out: io.Discard})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	s.lanHost = "192.168.1.5:8000"
	s.guard.lan[s.lanHost] = true
	return s, s.Handler()
}

func fromPhone(h http.Handler, method, path, body string, with func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://192.168.1.5:8000"+path, strings.NewReader(body))
	r.RemoteAddr = "192.168.1.7:40000"
	if method == "POST" {
		r.Header.Set("Origin", "http://192.168.1.5:8000")
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if with != nil {
		with(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestPhoneComesInByAKeyOnce(t *testing.T) {
	s, h := lanServer(t)
	for _, path := range []string{"/", "/file/book/list/data.json", "/static/main.js", "/file/card/card.png?skin=light&part=bronze=1"} {
		if w := fromPhone(h, "GET", path, "", nil); w.Code != 401 {
			t.Errorf("%s before the door: %d", path, w.Code)
		}
	}
	// To a person it is told in a page that looks like the rest.
	told := fromPhone(h, "GET", "/", "", func(r *http.Request) { r.Header.Set("Accept", "text/html") })
	if told.Code != 401 || !strings.Contains(told.Body.String(), "<h1>tawny</h1>") {
		t.Errorf("to a person: %d %s", told.Code, told.Body)
	}
	if w := fromPhone(h, "GET", "/static/page.css", "", nil); w.Code != 200 {
		t.Errorf("the door's own style: %d", w.Code)
	}
	u, err := url.Parse(s.PhoneURL())
	if err != nil {
		t.Fatal(err)
	}
	// Looking at the link does not use the key up.
	for range 2 {
		if w := fromPhone(h, "GET", u.RequestURI(), "", nil); w.Code != 200 || !strings.Contains(w.Body.String(), u.Query().Get("key")) {
			t.Fatalf("the door: %d", w.Code)
		}
	}
	key := "key=" + u.Query().Get("key")
	if w := fromPhone(h, "POST", "/enter", key, func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }); w.Code != 403 {
		t.Errorf("the key from another site: %d", w.Code)
	}
	if w := fromPhone(h, "POST", "/enter", "key=wrong", nil); w.Code != 403 || len(w.Result().Cookies()) > 0 {
		t.Errorf("a wrong key: %d", w.Code)
	}
	in := fromPhone(h, "POST", "/enter", key, nil)
	if in.Code != 303 {
		t.Fatalf("the key: %d %s", in.Code, in.Body)
	}
	cookie := in.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode {
		t.Errorf("cookie %v may be read or sent by others", cookie)
	}
	if w := fromPhone(h, "POST", "/enter", key, nil); w.Code != 403 {
		t.Errorf("the key a second time: %d", w.Code)
	}
	with := func(r *http.Request) { r.AddCookie(cookie) }
	if w := fromPhone(h, "GET", "/", "", with); w.Code != 200 {
		t.Errorf("the page, let in: %d", w.Code)
	}
	if w := fromPhone(h, "POST", "/api/job/live", doc("skin=light"), with); w.Code != 403 {
		t.Errorf("a write with the session but no token: %d", w.Code)
	}
	if w := fromPhone(h, "POST", "/api/job/live", doc("skin=light"), func(r *http.Request) { with(r); r.Header.Set(tokenHeader, s.guard.token) }); w.Code != 200 {
		t.Errorf("a write with both: %d", w.Code)
	}
	if w := fromPhone(h, "GET", "/", "", func(r *http.Request) { with(r); r.Host = "evil.example:8000" }); w.Code != 421 {
		t.Errorf("another name with the session: %d", w.Code)
	}
	// A fresh key lets the next one in.
	next, err := url.Parse(s.PhoneURL())
	if err != nil || next.Query().Get("key") == u.Query().Get("key") {
		t.Fatalf("the next key is %v, %v", next, err)
	}
}

// Guesses make the guesser wait and nobody else.
func TestGuessingOnlySlowsTheGuesser(t *testing.T) {
	d := newDoor(nil)
	for range 3 {
		if d.enter("guess", "10.0.0.9", "") != "" {
			t.Fatal("a guess let in")
		}
	}
	if d.wrong["10.0.0.9"] != 3 {
		t.Errorf("wrong keys are %v", d.wrong)
	}
	if d.enter(d.key, "10.0.0.2", "") == "" {
		t.Error("a right key is kept out by another's guesses")
	}
	if d.enter(d.key, "10.0.0.9", "") == "" || d.wrong["10.0.0.9"] != 0 {
		t.Error("a right key is kept out by its own guesses")
	}
	if d.knows("") != nil {
		t.Error("an empty session is known")
	}
}

// Sessions end: by quiet, by being sent out, and the one longest quiet by one
// too many.
func TestSessionsEnd(t *testing.T) {
	d := newDoor(nil)
	first := d.enter(d.key, "", "phone")
	for range maxDevices {
		d.enter(d.key, "", "")
	}
	if len(d.list()) != maxDevices || d.knows(first) != nil {
		t.Errorf("%d devices are in", len(d.sessions))
	}
	last := d.enter(d.key, "", "laptop")
	id := d.knows(last).ID
	if !d.end(id) || d.knows(last) != nil || d.end(id) {
		t.Error("it was not sent out")
	}
	quiet := d.enter(d.key, "", "")
	d.knows(quiet).Last = time.Now().Add(-sessionTime - time.Minute)
	if d.knows(quiet) != nil {
		t.Error("a session quiet for half a day is known")
	}
}

// Slow requests of one address leave room for others', and the network's for
// this machine's.
func TestSlowOnesLeaveRoom(t *testing.T) {
	g := newGuard(log.New(io.Discard, "", 0))
	from := func(address string) bool {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = address + ":1"
		_, ok := g.place(r)
		return ok
	}
	for i := range maxOfNetwork {
		if !from(fmt.Sprintf("192.168.1.%d", i%4)) {
			t.Fatalf("turned away at %d", i)
		}
	}
	if from("192.168.1.9") {
		t.Error("the network has more places than its own")
	}
	if !from("127.0.0.1") {
		t.Error("this machine is kept out by the network")
	}
	g = newGuard(log.New(io.Discard, "", 0))
	for range maxOfAddress {
		from("192.168.1.7")
	}
	if from("192.168.1.7") || !from("192.168.1.8") {
		t.Error("one address takes the others' places")
	}
}

// The printed code has the size and the finders that scanners look for.
func TestPhoneCode(t *testing.T) {
	var b bytes.Buffer
	PrintPhone(&b, "http://192.168.1.5:8000/enter?key=0123456789abcdef0123456789abcdef")
	lines := strings.Split(b.String(), "\n")
	if !strings.Contains(lines[1], "http://192.168.1.5:8000/enter?key=") {
		t.Errorf("the address is not printed: %q", lines[1])
	}
	// Version 4 is 33 dots wide (ISO/IEC 18004, 7.1); with margins 41, two rows
	// to a line.
	var dots [][]rune
	for _, l := range lines[3:] {
		if l != "" {
			dots = append(dots, []rune(strings.TrimPrefix(l, "  ")))
		}
	}
	if len(dots) != 21 || len(dots[0]) != 41 {
		t.Fatalf("the code is %d × %d characters, not 41 × 21", len(dots[0]), len(dots))
	}
	// Each finder is a dark square of 7 (ISO/IEC 18004, 7.3.2): its top row is
	// seven dark dots and then a light one.
	for _, at := range []int{4, 4 + 33 - 7} {
		for x := range 7 {
			if c := dots[2][at+x]; c == '█' || c == '▀' {
				t.Errorf("finder at %d: dot %d is light", at, x)
			}
		}
	}
}
