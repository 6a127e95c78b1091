package page

import (
	"bytes"
	"image"
	_ "image/jpeg" // for a photo's size
	_ "image/png"
	"io"
	"io/fs"
	"net/http"
	"slices"
	"sync"
	"testing/fstest"
	"time"
)

// Limits on a file that is sent in. A day's readings are about 100 kB, a phone's
// photo 3 to 12 MB (common practice); of 25 megapixels a JPEG takes about 40 MB
// once decoded, a 16-bit PNG 200 MB.
const (
	maxSent        = 25 << 20
	maxPhotoPixels = 25_000_000
)

// How many are on their way at a time, 100 MB together; others wait. Slow ones of the
// network leave this machine its own places, and another device one.
const (
	maxSendingHere    = 2
	maxSendingNetwork = 2
	maxSendingAddress = 1
)

// What is held of them, and for how long after it was last read.
const (
	maxHeld  = 2
	heldTime = 20 * time.Minute
)

// sent are the files a browser sent in, the one thing held between requests. Jobs
// read them as they read a disk's, by names that only their sender knows.
type sent struct {
	mu   sync.Mutex
	list []heldFile // oldest first
}

type heldFile struct {
	name  string
	data  []byte
	timer *time.Timer
}

func (f *sent) hold(data []byte) (name string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.list) == maxHeld {
		f.list[0].timer.Stop()
		f.list = slices.Delete(f.list, 0, 1)
	}
	name = secret()
	f.list = append(f.list, heldFile{name, data, time.AfterFunc(heldTime, func() { f.forget(name) })})
	return name
}

// Open opens a file that is held.
func (f *sent) Open(name string) (fs.File, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, h := range f.list {
		if same(h.name, name) {
			h.timer.Reset(heldTime)
			return fstest.MapFS{name: {Data: h.data}}.Open(name)
		}
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

func (f *sent) forget(name string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.list = slices.DeleteFunc(f.list, func(h heldFile) bool { return h.name == name })
}

// serveSent takes a file in and answers with the name that jobs know it by.
func (s *Server) serveSent(w http.ResponseWriter, r *http.Request) error {
	data, err := s.received(w, r)
	if c, _, no := image.DecodeConfig(bytes.NewReader(data)); no == nil && int64(c.Width)*int64(c.Height) > maxPhotoPixels {
		err = ask("the photo is %d × %d pixels; at most %d megapixels is accepted here, so share it at a smaller size", c.Width, c.Height, maxPhotoPixels/1_000_000)
	}
	if err != nil {
		return err
	}
	answer(w, http.StatusOK, map[string]string{"file": s.sent.hold(data)})
	return nil
}

// received reads a body of bounded size, in its turn.
func (s *Server) received(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	if r.ContentLength > maxSent {
		return nil, ask("the file is %.1f MB; at most %d MB is accepted", float64(r.ContentLength)/(1<<20), maxSent>>20)
	}
	leave, err := s.sending.wait(r.Context(), shares(r, maxSendingHere, maxSendingAddress, maxSendingNetwork))
	if err != nil {
		return nil, err
	}
	defer leave()
	var b bytes.Buffer
	if r.ContentLength > 0 {
		b.Grow(int(r.ContentLength) + bytes.MinRead) // a buffer that doubles takes three times as much
	}
	body := timedBody{http.MaxBytesReader(w, r.Body, maxSent), http.NewResponseController(w), time.Now().Add(bodyTimeout)}
	if _, err := b.ReadFrom(body); err != nil {
		return nil, ask("the file is over %d MB or broke off on its way", maxSent>>20)
	}
	return b.Bytes(), nil
}

// timedBody is a body that is cut off where nothing comes for a while, or where all of
// it takes too long.
type timedBody struct {
	io.Reader
	control *http.ResponseController
	end     time.Time
}

func (b timedBody) Read(to []byte) (int, error) {
	next := time.Now().Add(stallTimeout)
	if b.end.Before(next) {
		next = b.end
	}
	if err := b.control.SetReadDeadline(next); err != nil {
		return 0, err
	}
	return b.Reader.Read(to)
}
