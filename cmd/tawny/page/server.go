package page

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"tawny/cmd/tawny/job"
)

//go:embed static templates
var assets embed.FS

// Config says how the page is served.
type Config struct {
	Addr   string    // host:port on this machine; "" for a free loopback port
	LAN    bool      // let devices on the local network in, each by a key
	Drawer string    // the drawer, a CSV file; "" for the built-in one
	Book   string    // the book's file; "" for no book
	Out    io.Writer // where fresh keys are printed; nil for nowhere
	Log    *log.Logger
}

// Server serves the page.
type Server struct {
	cfg     Config
	guard   *guard
	home    atomic.Pointer[home] // made anew once the drawer has changed
	drawers *job.Drawers
	long    chan struct{} // held by searches and exports, so that sliders stay quick
	drawing chan struct{} // held by the picture being drawn
	sending places        // held by files being sent in
	turns   turns
	sent    sent
	shelf   shelf

	listeners []net.Listener
	localURL  string
	lanHost   string
}

// How long a request may take. A slow sender is cut off; long work ends when
// it is done or its page goes away.
const (
	headerTimeout = 5 * time.Second
	bodyTimeout   = 60 * time.Second // a photo over a slow network
	stallTimeout  = 5 * time.Second  // of it, with nothing coming
	writeTimeout  = 120 * time.Second
	idleTimeout   = 2 * time.Minute
	graceTimeout  = 5 * time.Second
	maxHeader     = 32 << 10
)

// New opens the address but serves nothing yet.
func New(cfg Config) (*Server, error) {
	if cfg.Log == nil {
		cfg.Log = log.New(io.Discard, "", 0)
	}
	s := &Server{cfg: cfg, guard: newGuard(cfg.Log), drawers: &job.Drawers{Path: cfg.Drawer}}
	// One processor is left for what follows the slider.
	s.long = make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1))
	s.drawing = make(chan struct{}, 1)
	s.shelf.path = cfg.Book
	// A drawer that cannot be read is told before anything is served.
	if err := s.renew(); err != nil {
		return nil, err
	}
	if err := s.listen(); err != nil {
		return nil, err
	}
	s.shelf.begin()
	return s, nil
}

// listen opens the loopback port and, where asked, the same port on the local
// network.
func (s *Server) listen() error {
	addr := s.cfg.Addr
	if addr == "" {
		addr = "127.0.0.1:0"
	}
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return fmt.Errorf("address %q; host:port is accepted, such as 127.0.0.1:8080", addr)
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return fmt.Errorf("address %q: port %q; 0 to 65535 is accepted", addr, port)
	}
	if host == "" || host == "localhost" {
		host = "127.0.0.1"
	}
	ip := net.ParseIP(host)
	switch {
	case ip == nil:
		return fmt.Errorf("address %q: %q is no IP address; one of this machine's is accepted, such as 127.0.0.1", addr, host)
	case !ip.IsLoopback():
		return fmt.Errorf("address %q can be reached from outside this machine; a loopback address such as 127.0.0.1 is accepted, or --lan for your phone", addr)
	}
	l, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		return fmt.Errorf("cannot listen at %s: %w", addr, err)
	}
	s.listeners = append(s.listeners, &doorway{Listener: l, here: true})
	s.guard.door = newDoor(s.announce)
	at := l.Addr().(*net.TCPAddr)
	s.localURL = "http://" + at.String() + "/"
	s.guard.local[at.String()] = true
	s.guard.local[net.JoinHostPort("localhost", strconv.Itoa(at.Port))] = true
	if !s.cfg.LAN {
		return nil
	}
	near, err := lanAddress()
	if err != nil {
		s.Close()
		return err
	}
	l, err = net.Listen("tcp", net.JoinHostPort(near.String(), strconv.Itoa(at.Port)))
	if err != nil {
		s.Close()
		return fmt.Errorf("cannot listen on the local network: %w", err)
	}
	s.listeners = append(s.listeners, &doorway{Listener: l})
	s.lanHost = l.Addr().String()
	s.guard.lan[s.lanHost] = true
	return nil
}

// lanAddress is this machine's address on a private network (RFC 1918, RFC
// 4193): never a public one.
func lanAddress() (net.IP, error) {
	list, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	for _, a := range list {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() && n.IP.To4() != nil {
			return n.IP, nil
		}
	}
	return nil, errors.New("this machine is on no private network; --lan needs one, such as your own wireless network")
}

// OpenURL is the address that lets one browser of this machine in.
func (s *Server) OpenURL() string { return s.localURL + s.keyed() }

// PhoneURL is the address that lets one device on the local network in, or "".
func (s *Server) PhoneURL() string {
	if s.lanHost == "" {
		return ""
	}
	return "http://" + s.lanHost + "/" + s.keyed()
}

func (s *Server) keyed() string {
	s.guard.door.mu.Lock()
	defer s.guard.door.mu.Unlock()
	return enterPath[1:] + "?key=" + s.guard.door.key
}

// announce prints a fresh key after one was used.
func (s *Server) announce() {
	if s.cfg.Out == nil {
		return
	}
	fmt.Fprintf(s.cfg.Out, "\nA browser was let in. For another on this machine:\n  %s\n", s.OpenURL())
	if u := s.PhoneURL(); u != "" {
		PrintPhone(s.cfg.Out, u)
	}
}

var nothingHere = fault{Error: "there is nothing here; the page is at /"}

// Handler is the whole page, guarded.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.serveHome)
	mux.HandleFunc("GET /static/{file}", s.serveStatic)
	mux.HandleFunc(enterPath, s.serveEnter)
	mux.HandleFunc("/api/devices", s.failing(s.serveDevices))
	s.jobs(mux)
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		answer(w, http.StatusNotFound, nothingHere)
	})
	return s.guard.wrap(mux)
}

// Serve serves until ctx ends, then lets what is under way finish for a few
// seconds.
func (s *Server) Serve(ctx context.Context) error {
	defer s.Close()
	base, stop := context.WithCancel(context.Background())
	defer stop()
	h := &http.Server{
		Handler: s.Handler(), ErrorLog: s.cfg.Log, MaxHeaderBytes: maxHeader,
		ReadHeaderTimeout: headerTimeout, ReadTimeout: bodyTimeout, WriteTimeout: writeTimeout, IdleTimeout: idleTimeout,
		BaseContext: func(net.Listener) context.Context { return base },
		ConnContext: func(ctx context.Context, c net.Conn) context.Context {
			return context.WithValue(ctx, connectionKey{}, c)
		},
	}
	failed := make(chan error, len(s.listeners))
	var wg sync.WaitGroup
	for _, l := range s.listeners {
		wg.Go(func() {
			if err := h.Serve(l); !errors.Is(err, http.ErrServerClosed) {
				failed <- err
			}
		})
	}
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	stop() // long work ends now; what remains is short
	grace, cancel := context.WithTimeout(context.Background(), graceTimeout)
	defer cancel()
	if h.Shutdown(grace) != nil {
		h.Close()
	}
	wg.Wait()
	return err
}

// Close gives the addresses back and closes the book.
func (s *Server) Close() error {
	for _, l := range s.listeners {
		l.Close()
	}
	return s.shelf.close()
}
