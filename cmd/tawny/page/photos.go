package page

import (
	"bytes"
	"image"
	_ "image/jpeg" // for their sizes, before anything is decoded
	_ "image/png"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"sync"
	"time"

	"tawny/colour/reading"
)

// maxPhotoPixels bounds what a photo takes in memory: decoded, a JPEG of this
// size is about 40 MB and a 16-bit PNG 200 MB.
const maxPhotoPixels = 25_000_000

// Photos are the one thing held between requests: two at most, in memory, for
// as long as they are being marked.
const (
	maxPhotos = 2
	photoTime = 20 * time.Minute
)

type photos struct {
	mu   sync.Mutex
	list []heldPhoto // oldest first
}

type heldPhoto struct {
	id    string
	photo *reading.Photo
	timer *time.Timer
}

func (p *photos) hold(photo *reading.Photo) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.list) == maxPhotos {
		p.list[0].timer.Stop()
		p.list = append([]heldPhoto(nil), p.list[1:]...)
	}
	id := secret()
	p.list = append(p.list, heldPhoto{id, photo, time.AfterFunc(photoTime, func() { p.forget(id) })})
	return id
}

func (p *photos) find(id string) *reading.Photo {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, h := range p.list {
		if same(h.id, id) {
			h.timer.Reset(photoTime)
			return h.photo
		}
	}
	return nil
}

func (p *photos) forget(id string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	var rest []heldPhoto
	for _, h := range p.list {
		if h.id != id {
			rest = append(rest, h)
		}
	}
	p.list = rest
}

func (p *photos) drop() {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, h := range p.list {
		h.timer.Stop()
	}
	p.list = nil
}

// photoView is a photo as the page marks it.
type photoView struct {
	ID      string        `json:"id"`
	Width   int           `json:"width"`
	Height  int           `json:"height"`
	Profile string        `json:"profile"`
	Notes   reading.Notes `json:"notes"`
}

func (s *Server) servePhoto(w http.ResponseWriter, r *http.Request) {
	data, done, ok := s.received(w, r, maxPhotoBytes, "photo")
	if !ok {
		return
	}
	defer done()
	if c, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && int64(c.Width)*int64(c.Height) > maxPhotoPixels {
		s.fail(w, ask("", "the photo is %d × %d pixels; at most %d megapixels is accepted here, so share it at a smaller size", c.Width, c.Height, maxPhotoPixels/1_000_000))
		return
	}
	if err := take(r.Context(), s.long); err != nil {
		s.fail(w, err)
		return
	}
	defer give(s.long)
	p, err := reading.DecodePhoto("the photo", bytes.NewReader(data))
	if err != nil {
		s.fail(w, ask("", "%v", err))
		return
	}
	s.answer(w, photoView{s.photos.hold(p), p.Width, p.Height, p.Profile, p.Notes}, nil)
}

// rectangle is x,y,w,h in parts of the photo.
var rectangle = regexp.MustCompile(`^[0-9.]{1,8}%(,[0-9.]{1,8}%){3}$`)

// measured is what a photo gave.
type measured struct {
	reading.Result
	Skin   string  `json:"skin,omitempty"` // as the address carries it, unless refused
	Frames []frame `json:"frames"`         // the known patches' in their order, then the area's
	Says   string  `json:"says,omitempty"` // why the marks give nothing; the rest is then empty
}

// frame is whether one lies on a patch.
type frame struct {
	OK   bool   `json:"ok"`
	Says string `json:"says"`
}

// serveMeasure measures one area of a photo against what is known in it:
// "known" and "at" in pairs, and "area".
func (s *Server) serveMeasure(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxDocument))
	if err != nil {
		s.fail(w, ask("", "the marks are too many or broke off"))
		return
	}
	q, err := url.ParseQuery(string(body))
	if err != nil {
		s.fail(w, ask("", "the marks are not understood"))
		return
	}
	p := s.photos.find(q.Get("id"))
	if p == nil {
		s.fail(w, ask("photo", "the photo is no longer held; choose it again"))
		return
	}
	known, at := q["known"], q["at"]
	if len(known) == 0 || len(known) != len(at) || len(known) > 12 {
		s.fail(w, ask("known", "mark 1 to 12 known patches"))
		return
	}
	var marks reading.Marks
	for i, text := range known {
		list, _, err := reading.FindKnown(text)
		if err != nil {
			s.fail(w, ask("known", "%v", err))
			return
		}
		area, err := markedArea(p, at[i])
		if err != nil {
			s.fail(w, err)
			return
		}
		if len(list) == 1 {
			marks.Patches = append(marks.Patches, reading.Patch{Known: list[0], Area: area})
		} else {
			marks.Patches = append(marks.Patches, reading.Strip(area, list)...)
		}
	}
	if marks.Target, err = markedArea(p, q.Get("area")); err != nil {
		s.fail(w, err)
		return
	}
	if err := take(r.Context(), s.long); err != nil {
		s.fail(w, err)
		return
	}
	defer give(s.long)
	m, err := p.Measure(marks)
	v := measured{Result: m}
	if err != nil {
		// Frames on their way to their places overlap or hang over the edge: no
		// fault of anyone's.
		s.answer(w, measured{Says: err.Error()}, nil)
		return
	}
	for _, patch := range m.Patches {
		ok, says := patch.Lies()
		v.Frames = append(v.Frames, frame{ok, says})
	}
	ok, says := m.Lies()
	v.Frames = append(v.Frames, frame{ok, says})
	if got, err := m.Reading(); err == nil {
		v.Skin = got.String()
	}
	s.answer(w, v, nil)
}

func markedArea(p *reading.Photo, text string) (image.Rectangle, error) {
	if !rectangle.MatchString(text) {
		return image.Rectangle{}, ask("photo", "a mark at %q is not understood", text)
	}
	area, err := p.Area(text)
	if err != nil {
		return area, ask("photo", "%v", err)
	}
	return area, nil
}
