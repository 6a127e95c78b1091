package page

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"slices"
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
	if w := fromPhone(h, "POST", "/enter?"+key, "", func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }); w.Code != 403 {
		t.Errorf("the key from another site: %d", w.Code)
	}
	if w := fromPhone(h, "POST", "/enter?key=wrong", "", nil); w.Code != 403 || len(w.Result().Cookies()) > 0 {
		t.Errorf("a wrong key: %d", w.Code)
	}
	in := fromPhone(h, "POST", "/enter?"+key, "", nil)
	if in.Code != 303 {
		t.Fatalf("the key: %d %s", in.Code, in.Body)
	}
	cookie := in.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode {
		t.Errorf("cookie %v may be read or sent by others", cookie)
	}
	if w := fromPhone(h, "POST", "/enter?"+key, "", nil); w.Code != 403 {
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

// Another account of this machine comes in neither by the network's address nor, with
// that in its request, over the loopback; nobody does the latter.
func TestOtherAccountByTheNetwork(t *testing.T) {
	s, h := lanServer(t)
	from := func(address string, foreign bool) int {
		return fromPhone(h, "POST", "/enter?key="+s.guard.door.key, "", func(r *http.Request) {
			r.RemoteAddr = address
			*r = *r.WithContext(context.WithValue(r.Context(), connectionKey{}, &connection{foreign: func() bool { return foreign }}))
		}).Code
	}
	if got := from("192.168.1.5:40000", true); got != 403 {
		t.Errorf("another account by the network's address: %d", got)
	}
	for _, foreign := range []bool{true, false} {
		if got := from("127.0.0.1:40000", foreign); got != 421 {
			t.Errorf("the network's address over the loopback: %d", got)
		}
	}
	if got := from("192.168.1.5:40000", false); got != 303 {
		t.Errorf("this account by the network's address: %d", got)
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

// Slow requests of one address leave room for others', the network's for this
// machine's, and strangers' for whoever is in or has the key.
func TestSlowOnesLeaveRoom(t *testing.T) {
	g := newGuard(log.New(io.Discard, "", 0))
	g.door = newDoor(nil)
	session := g.door.enter(g.door.key, "", "")
	from := func(address, query string, in bool) bool {
		r := httptest.NewRequest("POST", "http://here:80/enter?"+query, nil)
		r.RemoteAddr = address + ":1"
		if in {
			r.AddCookie(&http.Cookie{Name: cookieName(r.Host), Value: session})
		}
		_, ok := g.place(r)
		return ok
	}
	for i := range maxStrangers {
		if !from(fmt.Sprintf("192.168.1.%d", i%4), "key=guess", false) {
			t.Fatalf("a stranger is turned away at %d", i)
		}
	}
	for _, address := range []string{"192.168.1.9", "127.0.0.1"} {
		if from(address, "key=guess", false) {
			t.Errorf("%s: a stranger more than there are places for", address)
		}
		if !from(address, "key="+g.door.key, false) || !from(address, "", true) {
			t.Errorf("%s: who has the key or a session is kept out by strangers", address)
		}
	}
	for i := 2; i < maxOfNetwork; i++ {
		if !from(fmt.Sprintf("192.168.1.%d", i%4), "", true) {
			t.Fatalf("turned away at %d", i)
		}
	}
	if from("192.168.1.9", "", true) {
		t.Error("the network has more places than its own")
	}
	if !from("127.0.0.1", "", true) {
		t.Error("this machine is kept out by the network")
	}
	g.busy = places{}
	for range maxOfAddress {
		from("192.168.1.7", "", true)
	}
	if from("192.168.1.7", "", true) || !from("192.168.1.8", "", true) {
		t.Error("one address takes the others' places")
	}
	g.busy = places{}
	for range maxOfStranger {
		from("127.0.0.1", "", false)
	}
	if from("127.0.0.1", "", false) || !from("192.168.1.8", "", false) {
		t.Error("one stranger takes the others' places")
	}
}

// Connections beyond an address' places are closed, and give theirs back.
func TestIdleConnectionsLeaveRoom(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	d := &doorway{Listener: l}
	defer d.Close()
	accepted := make(chan net.Conn, maxOfOneDevice+1)
	go func() {
		for {
			c, err := d.Accept()
			if err != nil {
				return
			}
			accepted <- c
		}
	}()
	dial := func() net.Conn {
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		return c
	}
	var first net.Conn
	for range maxOfOneDevice {
		dial()
		first = <-accepted
	}
	if _, err := dial().Read(make([]byte, 1)); err == nil {
		t.Error("one more was not closed")
	}
	first.Close()
	first.Close() // a place is given back once
	dial()
	(<-accepted).Close()
	if n := len(d.open); n != maxOfOneDevice-1 {
		t.Errorf("%d places are taken, want %d", n, maxOfOneDevice-1)
	}
}

// Slow strangers of this machine put out one another, and neither a browser that was
// let in nor one that comes after them.
func TestSlowStrangersOfThisMachineLeaveRoom(t *testing.T) {
	s := serve(t, nil)
	in := sessionOf(s)
	dial := func() net.Conn {
		c, err := net.Dial("tcp", host(s))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		c.SetDeadline(time.Now().Add(headerTimeout / 2)) // before slow ones are cut off anyway
		return c
	}
	asks := func(c net.Conn) error {
		fmt.Fprintf(c, "GET /api/devices HTTP/1.1\r\nHost: %s\r\nCookie: %s=%s\r\n\r\n", host(s), cookieName(host(s)), in)
		_, err := http.ReadResponse(bufio.NewReader(c), nil)
		return err
	}
	owner := dial()
	if err := asks(owner); err != nil {
		t.Fatal(err)
	}
	var slow []net.Conn
	for range maxConnections + 10 {
		c := dial()
		fmt.Fprint(c, "GET / HTTP/1.1\r\nHost: ")
		slow = append(slow, c)
	}
	for _, c := range slow[:10] {
		if _, err := c.Read(make([]byte, 1)); errors.Is(err, os.ErrDeadlineExceeded) {
			t.Fatal("a slow stranger holds its place")
		}
	}
	for _, c := range []net.Conn{owner, dial()} {
		if err := asks(c); err != nil {
			t.Errorf("the owner is kept out: %v", err)
		}
	}
}

// Strangers with as many addresses as they like leave room for one device more,
// and put none out that was let in.
func TestManyStrangersLeaveRoom(t *testing.T) {
	d := &doorway{}
	of := func(address string) *connection { return &connection{door: d, address: address} }
	phone := of("192.168.1.7")
	phone.letIn.Store(true)
	d.place(phone)
	for n := range 3 * maxConnections {
		d.place(of(fmt.Sprintf("192.168.2.%d", n%6)))
		if want := min(n+2, maxConnections); len(d.open) != want {
			t.Fatalf("%d places are taken, want %d", len(d.open), want)
		}
	}
	tablet := of("192.168.1.8")
	if out, ok := d.place(tablet); !ok || out == nil || out == phone {
		t.Errorf("another device has no room: %+v", out)
	}
	for n := range maxConnections {
		d.place(of(fmt.Sprintf("192.168.3.%d", n%6)))
	}
	if !slices.Contains(d.open, phone) || !slices.Contains(d.open, tablet) {
		t.Error("strangers put a device of hers out")
	}
	for _, c := range d.open {
		c.letIn.Store(true)
	}
	if out, ok := d.place(of("192.168.1.9")); ok || out.address != "192.168.1.9" {
		t.Error("a place where there is none")
	}
}

// A phone sends itself out, and others only this machine.
func TestWhoSendsOut(t *testing.T) {
	s, h := lanServer(t)
	owner := sessionOf(s)
	phone := s.guard.door.enter(s.guard.door.key, "192.168.1.7", "phone")
	end := func(id string) string {
		return fromPhone(h, "POST", "/api/devices?end="+id, "", func(r *http.Request) {
			r.Header.Set(tokenHeader, s.guard.token)
			r.AddCookie(&http.Cookie{Name: cookieName(r.Host), Value: phone})
		}).Body.String()
	}
	if got := end(s.guard.door.knows(owner).ID); !strings.Contains(got, "from the machine") || s.guard.door.knows(owner) == nil {
		t.Errorf("a phone sends others out: %s", got)
	}
	if got := end(s.guard.door.knows(phone).ID); s.guard.door.knows(phone) != nil {
		t.Errorf("a phone does not send itself out: %s", got)
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
