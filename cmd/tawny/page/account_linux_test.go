package page

import (
	"net"
	"net/http"
	"os"
	"runtime"
	"syscall"
	"testing"
)

// Another account of this machine is refused even with a session, over IPv4 and
// over IPv6's form of it.
func TestOtherAccountIsRefused(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only the administrator can be another account")
	}
	s := serve(t, nil)
	in := sessionOf(s)
	ask := func(dial func() (net.Conn, error), uid int) int {
		status := make(chan int)
		go func() {
			runtime.LockOSThread() // not unlocked: the thread ends with its other account
			defer close(status)
			syscall.Setfsuid(uid)
			c, err := dial()
			if err != nil {
				t.Error(err)
				return
			}
			defer c.Close()
			client := http.Client{Transport: &http.Transport{Dial: func(string, string) (net.Conn, error) { return c, nil }}}
			r, _ := http.NewRequest("GET", s.URL(), nil)
			r.AddCookie(&http.Cookie{Name: cookieName(host(s)), Value: in})
			resp, err := client.Do(r)
			if err != nil {
				t.Error(err)
				return
			}
			resp.Body.Close()
			status <- resp.StatusCode
		}()
		return <-status
	}
	plain := func() (net.Conn, error) { return net.Dial("tcp", host(s)) }
	mapped := func() (net.Conn, error) { return overIPv6(s.listeners[0].Addr().(*net.TCPAddr).Port) }
	for name, dial := range map[string]func() (net.Conn, error){"IPv4": plain, "IPv6's form of it": mapped} {
		for uid, want := range map[int]int{0: 200, 65534: 403} {
			if got := ask(dial, uid); got != want {
				t.Errorf("account %d over %s: answered %d, want %d", uid, name, got, want)
			}
		}
	}
}

// overIPv6 connects to ::ffff:127.0.0.1, which the net package would do over
// IPv4.
func overIPv6(port int) (net.Conn, error) {
	fd, err := syscall.Socket(syscall.AF_INET6, syscall.SOCK_STREAM, 0)
	if err != nil {
		return nil, err
	}
	f := os.NewFile(uintptr(fd), "socket")
	defer f.Close()
	to := syscall.SockaddrInet6{Port: port, Addr: [16]byte(net.IPv4(127, 0, 0, 1).To16())}
	if err := syscall.Connect(fd, &to); err != nil {
		return nil, err
	}
	return net.FileConn(f)
}
