package page

import (
	"context"
	"net"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
)

// places counts what is under way, by whom.
type places struct {
	mu    sync.Mutex
	busy  map[string]int
	freed chan struct{} // closed with the next place given back, where somebody waits for one
}

// shares are the places for a request: this machine's own, or those of its address
// and of the network together.
func shares(r *http.Request, ofHere, ofAddress, ofNetwork int) map[string]int {
	if fromHere(r) {
		return map[string]int{"here": ofHere}
	}
	return map[string]int{addressOf(r.RemoteAddr): ofAddress, "network": ofNetwork}
}

// wait takes a place for each name, once there is one.
func (p *places) wait(ctx context.Context, most map[string]int) (leave func(), err error) {
	for {
		p.mu.Lock()
		if p.freed == nil {
			p.freed = make(chan struct{})
		}
		freed := p.freed
		p.mu.Unlock()
		if leave, ok := p.take(most); ok {
			return leave, nil
		}
		select {
		case <-freed:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
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
		if p.freed != nil {
			close(p.freed)
			p.freed = nil
		}
	}), true
}

// Connections held open by a listener; a browser opens about six (common practice).
const (
	maxConnections = 128
	maxOfOneDevice = 32
)

// doorway is a listener with places. Connections beyond those are closed at once, so
// that idle ones do not use this machine up; and where all places are taken, the
// oldest that nobody was let in by makes room, of the address that has most of them:
// strangers with many addresses keep no device of yours out.
type doorway struct {
	net.Listener
	here bool // the loopback's, whose addresses anybody of this machine has: they tell nobody apart

	mu   sync.Mutex
	open []*connection // oldest first
}

func (d *doorway) Accept() (net.Conn, error) {
	for {
		c, err := d.Listener.Accept()
		if err != nil {
			return nil, err
		}
		in := &connection{TCPConn: c.(*net.TCPConn), door: d, foreign: sync.OnceValue(func() bool { return foreign(c) })}
		if !d.here {
			in.address = addressOf(c.RemoteAddr().String())
		}
		out, ok := d.place(in)
		if out != nil {
			out.TCPConn.Close()
		}
		if ok {
			return in, nil
		}
	}
}

// place takes a place for a connection, and returns the one to be closed for it,
// or the same where there is none.
func (d *doorway) place(in *connection) (out *connection, ok bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	of := map[string]int{}
	for _, c := range d.open {
		of[c.address]++
	}
	if !d.here && of[in.address] >= maxOfOneDevice {
		return in, false
	}
	if len(d.open) >= maxConnections {
		for _, c := range d.open {
			if !c.letIn.Load() && (out == nil || of[c.address] > of[out.address]) {
				out = c
			}
		}
		if out == nil {
			return in, false
		}
		d.leave(out)
	}
	d.open = append(d.open, in)
	return out, true
}

// leave gives a place back. d.mu must be held.
func (d *doorway) leave(c *connection) {
	d.open = slices.DeleteFunc(d.open, func(o *connection) bool { return o == c })
}

// connection is one that has a place.
type connection struct {
	*net.TCPConn
	door    *doorway
	address string
	foreign func() bool // it is of another account, asked once
	letIn   atomic.Bool // a request of somebody let in came by it
}

func (c *connection) Close() error {
	c.door.mu.Lock()
	c.door.leave(c)
	c.door.mu.Unlock()
	return c.TCPConn.Close()
}

// connectionKey leads from a request to its connection.
type connectionKey struct{}

// connectionOf is what a request came by, nil where it came by no listener of ours.
func connectionOf(r *http.Request) *connection {
	c, _ := r.Context().Value(connectionKey{}).(*connection)
	return c
}
