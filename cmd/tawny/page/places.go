package page

import (
	"net"
	"sync"
)

// places counts what is under way, by whom.
type places struct {
	mu   sync.Mutex
	busy map[string]int
}

// take takes a place for each name, where none of them has its most already.
func (p *places) take(most map[string]int) (leave func(), ok bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for who, n := range most {
		if p.busy[who] >= n {
			return nil, false
		}
	}
	if p.busy == nil {
		p.busy = map[string]int{}
	}
	for who := range most {
		p.busy[who]++
	}
	return sync.OnceFunc(func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for who := range most {
			if p.busy[who]--; p.busy[who] == 0 {
				delete(p.busy, who)
			}
		}
	}), true
}

// Connections held open from the network; a browser opens about six (common
// practice).
const (
	maxConnections = 128
	maxOfOneDevice = 32
)

// doorway is the network's listener: connections beyond those places are closed
// at once, so that idle ones do not use this machine up.
type doorway struct {
	net.Listener
	open places
}

func (d *doorway) Accept() (net.Conn, error) {
	for {
		c, err := d.Listener.Accept()
		if err != nil {
			return nil, err
		}
		leave, ok := d.open.take(map[string]int{addressOf(c.RemoteAddr().String()): maxOfOneDevice, "": maxConnections})
		if ok {
			return &connection{c, leave}, nil
		}
		c.Close()
	}
}

type connection struct {
	net.Conn
	leave func()
}

func (c *connection) Close() error {
	c.leave()
	return c.Conn.Close()
}
