package page

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// host is the server's own Host value.
// URL is the page's address on this machine.
func (s *Server) URL() string { return s.localURL }

func host(s *Server) string { return strings.TrimSuffix(strings.TrimPrefix(s.URL(), "http://"), "/") }

// call sends one request with the page's own headers, changed by with.
func call(t testing.TB, s *Server, method, path, body string, with func(*http.Request)) *http.Response {
	t.Helper()
	r, err := http.NewRequest(method, strings.TrimSuffix(s.URL(), "/")+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Origin", "http://"+host(s))
		r.Header.Set(tokenHeader, s.guard.token)
	}
	r.AddCookie(&http.Cookie{Name: cookieName(host(s)), Value: sessionOf(s)})
	if with != nil {
		with(r)
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { resp.Body.Close() })
	return resp
}

// sessionOf lets a test in.
func sessionOf(s *Server) string {
	s.guard.door.mu.Lock()
	key := s.guard.door.key
	for _, o := range s.guard.door.sessions {
		if o.Device == "test" {
			s.guard.door.mu.Unlock()
			return o.secret
		}
	}
	s.guard.door.mu.Unlock()
	return s.guard.door.enter(key, "127.0.0.1", "test")
}

// letIn lets a browser in.
func letIn(s *Server) chromedp.Action {
	return network.SetCookie(cookieName(host(s)), sessionOf(s)).WithURL(s.URL()).WithHTTPOnly(true)
}

func text(t testing.TB, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Each attack must be refused, and the same request without it let through.
func TestAttacks(t *testing.T) {
	s := serve(t, nil)
	const ask = "skin=light&target=skin:1,2,3"
	if r := call(t, s, "POST", "/api/job/live", doc(ask), nil); r.StatusCode != 200 {
		t.Fatalf("a plain request: %d %s", r.StatusCode, text(t, r))
	}
	if r := call(t, s, "GET", "/", "", nil); r.StatusCode != 200 {
		t.Fatalf("the page: %d", r.StatusCode)
	}
	set := func(key, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(key, value) }
	}
	port := host(s)[strings.LastIndex(host(s), ":"):]
	for _, a := range []struct {
		name, method, path string
		with               func(*http.Request)
		want               int
	}{
		{"DNS rebinding: another name for this machine", "GET", "/", func(r *http.Request) { r.Host = "evil.example" + port }, 421},
		{"rebinding with a post", "POST", "/api/job/live", func(r *http.Request) {
			r.Host = "evil.example" + port
			r.Header.Set("Origin", "http://evil.example"+port)
		}, 421},
		{"the right name at another port", "GET", "/", func(r *http.Request) { r.Host = "127.0.0.1:1" }, 421},
		{"no port", "GET", "/", func(r *http.Request) { r.Host = "127.0.0.1" }, 421},
		{"a name that begins like ours", "GET", "/", func(r *http.Request) { r.Host = "127.0.0.1.evil.example" + port }, 421},
		{"cross-site post", "POST", "/api/job/live", set("Origin", "http://evil.example"), 403},
		{"post from a sandboxed frame", "POST", "/api/job/live", set("Origin", "null"), 403},
		{"post from another port here", "POST", "/api/job/live", set("Origin", "http://127.0.0.1:1"), 403},
		{"post over https of the same name", "POST", "/api/job/live", set("Origin", "https://"+host(s)), 403},
		{"post that hides its origin", "POST", "/api/job/live", func(r *http.Request) { r.Header.Del("Origin") }, 403},
		{"post without the token", "POST", "/api/job/live", func(r *http.Request) { r.Header.Del(tokenHeader) }, 403},
		{"post with a wrong token", "POST", "/api/job/book/save", set(tokenHeader, strings.Repeat("0", 32)), 403},
		{"a picture drawn into another site", "GET", "/file/card/card.png?" + ask + "&part=bronze=2", set("Sec-Fetch-Site", "cross-site"), 403},
		{"the book read from another site", "GET", "/file/book/list/data.json", set("Sec-Fetch-Site", "same-site"), 403},
		{"the page in a frame of another site", "GET", "/", func(r *http.Request) {
			r.Header.Set("Sec-Fetch-Site", "cross-site")
			r.Header.Set("Sec-Fetch-Mode", "navigate")
			r.Header.Set("Sec-Fetch-Dest", "iframe")
		}, 403},
		{"a method of no use", "DELETE", "/", nil, 405},
		{"a wrong key", "GET", "/enter?key=x", nil, 403},
		{"no session, as another account of this machine", "GET", "/file/book/list/data.json", func(r *http.Request) { r.Header.Del("Cookie") }, 401},
	} {
		r := call(t, s, a.method, a.path, ask, a.with)
		if r.StatusCode != a.want {
			t.Errorf("%s: answered %d, want %d", a.name, r.StatusCode, a.want)
		}
		if acao := r.Header.Get("Access-Control-Allow-Origin"); acao != "" {
			t.Errorf("%s: another site may read this (%s)", a.name, acao)
		}
	}
}

// Opening the printed address lets a browser in, and its key opens no second
// time. A browser that keeps the session back, after a link from elsewhere, is
// offered the page from here.
func TestOpenedByItsKey(t *testing.T) {
	s := serve(t, nil)
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	browser, address := &http.Client{Jar: jar}, s.OpenURL()
	r, err := browser.Get(address)
	if err != nil || r.StatusCode != 200 || !strings.Contains(text(t, r), "tawny-token") {
		t.Fatalf("the address that was printed: %v, %v", r, err)
	}
	if r, err := http.Get(address); err != nil || r.StatusCode != 403 {
		t.Errorf("the key a second time: %v, %v", r, err)
	}
	r = call(t, s, "GET", "/?skin=tan&title=%22%3E%3Cb%3E", "", func(r *http.Request) {
		r.Header.Del("Cookie")
		r.Header.Set("Accept", "text/html")
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		r.Header.Set("Sec-Fetch-Mode", "navigate")
		r.Header.Set("Sec-Fetch-Dest", "document")
	})
	if got := text(t, r); r.StatusCode != 401 || !strings.Contains(got, `href="/?skin=tan&amp;title=%22%3E%3Cb%3E">`) {
		t.Errorf("after a link from elsewhere: %d %s", r.StatusCode, got)
	}
}

// A link from elsewhere may open the page itself.
func TestLinkFromElsewhere(t *testing.T) {
	s := serve(t, nil)
	r := call(t, s, "GET", "/?skin=tan", "", func(r *http.Request) {
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		r.Header.Set("Sec-Fetch-Mode", "navigate")
		r.Header.Set("Sec-Fetch-Dest", "document")
	})
	if r.StatusCode != 200 {
		t.Errorf("a followed link: %d", r.StatusCode)
	}
}

// Whatever is answered carries the policy, and the page has nothing inline.
func TestPolicy(t *testing.T) {
	s := serve(t, nil)
	for _, path := range []string{"/", "/static/main.js", "/nothing", "/sheet?skin=light&part=bronze=2", "/card.png?skin=light&part=bronze=2", "/card.png"} {
		r := call(t, s, "GET", path, "", nil)
		p := r.Header.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(p, want) {
				t.Errorf("%s: policy %q lacks %s", path, p, want)
			}
		}
		if strings.Contains(p, "unsafe") {
			t.Errorf("%s: policy %q", path, p)
		}
		for k, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Cross-Origin-Resource-Policy": "same-origin"} {
			if got := r.Header.Get(k); got != want {
				t.Errorf("%s: %s is %q", path, k, got)
			}
		}
	}
	page := text(t, call(t, s, "GET", "/", "", nil))
	for _, inline := range []*regexp.Regexp{regexp.MustCompile(`(?i)<script[^>]*>[^<]`), regexp.MustCompile(`(?i)<style`), regexp.MustCompile(`(?i)\sstyle=`), regexp.MustCompile(`(?i)\son[a-z]+=`), regexp.MustCompile(`(?i)(src|href)="(https?:)?//`)} {
		if m := inline.FindString(page); m != "" {
			t.Errorf("the page has %q in it", m)
		}
	}
}

// No text of a client reaches the disk: files that exist are not opened.
func TestNoPathReachesTheDisk(t *testing.T) {
	s := serve(t, nil)
	dir := t.TempDir()
	file := filepath.Join(dir, "skin.csv")
	rows := "wavelength,reflectance\n"
	for nm := 380; nm <= 730; nm += 10 {
		rows += fmt.Sprintf("%d,0.4\n", nm)
	}
	if err := os.WriteFile(file, []byte(rows), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir) // so that a bare name would be found too
	for _, key := range []string{"skin", "target", "see", "illuminant", "second-light", "base", "apply", "drawer"} {
		for _, value := range []string{file, "skin.csv", "./skin.csv", "SKIN.CSV", "lab:50,10,10@" + file, "lab:50,10,10@skin.csv/2", "#123456@skin.csv", "file://" + file, "../../../etc/passwd", "/dev/zero", "/proc/self/environ", "skin.csv\x00", "CON", `\\host\share\skin.csv`} {
			q := url.Values{"skin": {"light"}, "target": {"skin:1,2,3"}}
			q.Set(key, value)
			r := call(t, s, "POST", "/api/job/live", doc(q.Encode()), nil)
			body := text(t, r)
			if r.StatusCode != 422 {
				t.Errorf("%s=%q: answered %d %s", key, value, r.StatusCode, body)
			}
			if strings.Contains(body, "no such file") || strings.Contains(body, "root:") {
				t.Errorf("%s=%q: the disk was asked: %s", key, value, body)
			}
		}
	}
	for _, path := range []string{"/static/..%2fserver.go", "/static/%2e%2e%2ftemplates%2fhome.html", "/static/..\\home.html", "/static/%2fetc%2fpasswd", "/static/.", "/static/"} {
		r := call(t, s, "GET", path, "", nil)
		if r.StatusCode != 404 {
			t.Errorf("%s: answered %d", path, r.StatusCode)
		}
	}
}

// What is too large or nonsense is a plain error.
func TestLimits(t *testing.T) {
	s := serve(t, nil)
	for name, body := range map[string]string{
		"a long text":       "skin=" + strings.Repeat("a", 5000),
		"a long body":       "skin=light&" + strings.Repeat("a=b&", 20000),
		"many powders":      "skin=light" + strings.Repeat("&without=x", 600),
		"no number":         "skin=light&load=NaN",
		"an infinite load":  "skin=light&load=Inf",
		"a negative load":   "skin=light&load=-1",
		"a load over all":   "skin=light&load=1e300",
		"bad escapes":       "skin=%zz",
		"a spectrum of one": "skin=bands:5",
		"too much light":    "skin=bands:" + strings.Repeat("99999,", 35) + "1",
		"half a container":  "skin=light&containers=3",
		"ten powders":       "skin=light&target=skin:1,2,3" + strings.Repeat("&part=bronze=0.1", 10),
	} {
		r := call(t, s, "POST", "/api/job/live", doc(body), nil)
		if got := text(t, r); r.StatusCode != 422 || !strings.HasPrefix(got, `{"error":"`) {
			t.Errorf("%s: answered %d %.200s", name, r.StatusCode, got)
		}
	}
	// A header beyond the limit is cut off by the server.
	c, err := net.Dial("tcp", host(s))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "GET / HTTP/1.1\r\nHost: %s\r\nX: %s\r\n\r\n", host(s), strings.Repeat("a", maxHeader*2))
	resp, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err == nil && resp.StatusCode != 431 {
		t.Errorf("a huge header: %d", resp.StatusCode)
	}
}

// A sender that never ends its header is cut off.
func TestSlowSender(t *testing.T) {
	if testing.Short() {
		t.Skip("waits for the header's time limit")
	}
	t.Parallel()
	s := serve(t, nil)
	c, err := net.Dial("tcp", host(s))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "GET / HTTP/1.1\r\nHost: %s\r\n", host(s))
	c.SetReadDeadline(time.Now().Add(headerTimeout + 3*time.Second))
	if _, err := io.ReadAll(c); err != nil {
		t.Errorf("still open after the time limit: %v", err)
	}
}

// A panic is a plain error to the user, its details in the log, and the next
// request is served.
func TestPanicIsPlain(t *testing.T) {
	var logged bytes.Buffer
	g := newGuard(log.New(&logged, "", 0))
	g.local["here"] = true
	g.door = newDoor(nil)
	in := &http.Cookie{Name: cookieName("here"), Value: g.door.enter(g.door.key, "", "")}
	h := g.wrap(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret detail") }))
	for range 2 {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", "http://here/", nil)
		r.RemoteAddr = "127.0.0.1:9"
		r.AddCookie(in)
		h.ServeHTTP(w, r)
		if w.Code != 500 || strings.Contains(w.Body.String(), "secret") || strings.Contains(w.Body.String(), "goroutine") {
			t.Errorf("answered %d %s", w.Code, w.Body)
		}
	}
	if !strings.Contains(logged.String(), "secret detail") {
		t.Error("the log does not say what happened")
	}
	if len(g.busy.busy) != 0 {
		t.Error("a place was not given back")
	}
}

// More requests at once than there are places are turned away, not queued.
func TestTooManyAtOnce(t *testing.T) {
	g := newGuard(log.New(io.Discard, "", 0))
	g.local["here"] = true
	g.door = newDoor(nil)
	cookie := &http.Cookie{Name: cookieName("here"), Value: g.door.enter(g.door.key, "", "")}
	block := make(chan struct{})
	var in sync.WaitGroup
	in.Add(maxAtOnce)
	h := g.wrap(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { in.Done(); <-block }))
	ask := func() int {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", "http://here/", nil)
		r.RemoteAddr = "127.0.0.1:9"
		r.AddCookie(cookie)
		h.ServeHTTP(w, r)
		return w.Code
	}
	var out sync.WaitGroup
	for range maxAtOnce {
		out.Go(func() { ask() })
	}
	in.Wait()
	if got := ask(); got != 503 {
		t.Errorf("one more was answered %d", got)
	}
	close(block)
	out.Wait()
}

// The loopback name is for this machine, whoever says it.
func TestLoopbackNameFromOutside(t *testing.T) {
	g := newGuard(log.New(io.Discard, "", 0))
	g.local["127.0.0.1:8000"] = true
	r := httptest.NewRequest("GET", "http://127.0.0.1:8000/", nil)
	r.RemoteAddr = "192.168.1.7:5555"
	if status, _ := g.admit(r); status != 421 {
		t.Errorf("admitted with %d", status)
	}
}

// Only loopback addresses are served without --lan.
func TestAddresses(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:0", ":::0", "[::]:0", "8.8.8.8:0", "192.168.1.5:0", "example.org:0", "nonsense", "127.0.0.1:99999", "127.0.0.1:x"} {
		if s, err := New(Config{Addr: addr}); err == nil {
			s.Close()
			t.Errorf("%q was served at %s", addr, s.URL())
		}
	}
	for _, addr := range []string{"", ":0", "localhost:0", "127.0.0.1:0", "127.0.0.2:0"} {
		s, err := New(Config{Addr: addr})
		if err != nil {
			t.Errorf("%q: %v", addr, err)
			continue
		}
		s.Close()
	}
}

// The server ends within its grace, with work under way, and says nothing
// went wrong.
func TestStopsGracefully(t *testing.T) {
	s, err := New(Config{Log: log.New(io.Discard, "", 0)})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	began := make(chan struct{})
	go func() {
		// A long search: four of forty powders.
		r, _ := http.NewRequest("POST", s.URL()+"api/job/match", strings.NewReader(doc("skin=light&target=skin:1,2,3&max=4&load-max=9")))
		r.Header.Set("Origin", "http://"+host(s))
		r.Header.Set(tokenHeader, s.guard.token)
		r.AddCookie(&http.Cookie{Name: cookieName(host(s)), Value: sessionOf(s)})
		close(began)
		if resp, err := http.DefaultClient.Do(r); err == nil {
			io.Copy(io.Discard, resp.Body)
			resp.Body.Close()
		}
	}()
	<-began
	time.Sleep(50 * time.Millisecond)
	start := time.Now()
	stop()
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(graceTimeout + 2*time.Second):
		t.Fatal("still serving")
	}
	if took := time.Since(start); took > graceTimeout {
		t.Errorf("took %v to stop", took)
	}
	if _, err := http.Get(s.URL()); err == nil {
		t.Error("still answers")
	}
}
