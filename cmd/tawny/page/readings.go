package page

import (
	"bytes"
	"net/http"

	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/reading"
)

func (s *Server) readings(mux *http.ServeMux) {
	mux.HandleFunc("POST /api/reading", s.serveReading)
	mux.HandleFunc("POST /api/photo", s.servePhoto)
	mux.HandleFunc("POST /api/photo/measure", s.serveMeasure)
}

// Limits on what is sent in. A day's readings are about 100 kB, a phone's
// photo 3 to 12 MB (common practice).
const (
	maxReadingBytes = 4 << 20
	maxPhotoBytes   = 25 << 20
	maxSamples      = 200 // listed of one file
	maxSending      = 4   // files held at a time, 100 MB together; others wait
)

// received reads a body of at most so many bytes. Where it is ok, done is to be
// called once the data are no longer held.
func (s *Server) received(w http.ResponseWriter, r *http.Request, most int64, what string) (data []byte, done func(), ok bool) {
	if r.ContentLength > most {
		s.fail(w, ask("", "the %s is %.1f MB; at most %d MB is accepted", what, float64(r.ContentLength)/(1<<20), most>>20))
		return nil, nil, false
	}
	if err := take(r.Context(), s.sending); err != nil {
		s.fail(w, err)
		return nil, nil, false
	}
	var b bytes.Buffer
	if r.ContentLength > 0 {
		b.Grow(int(r.ContentLength) + bytes.MinRead) // a buffer that doubles takes three times as much
	}
	if _, err := b.ReadFrom(http.MaxBytesReader(w, r.Body, most)); err != nil {
		give(s.sending)
		s.fail(w, ask("", "the %s is over %d MB or broke off on its way", what, most>>20))
		return nil, nil, false
	}
	return b.Bytes(), func() { give(s.sending) }, true
}

// sampleView is one reading to choose.
type sampleView struct {
	Name string     `json:"name"`
	Lab  colour.Lab `json:"lab"`
	Skin string     `json:"skin"` // as the address carries it
}

// serveReading reads an instrument's file that the browser sends; it never
// touches this machine's disk.
func (s *Server) serveReading(w http.ResponseWriter, r *http.Request) {
	data, done, ok := s.received(w, r, maxReadingBytes, "file")
	if !ok {
		return
	}
	defer done()
	samples, notes, err := reading.Parse("the file", bytes.NewReader(data))
	if err != nil {
		s.fail(w, ask("", "%v", err))
		return
	}
	v := struct {
		Samples []sampleView  `json:"samples"`
		Notes   reading.Notes `json:"notes"`
	}{Notes: notes}
	for i, m := range samples {
		if i == maxSamples {
			v.Notes = append(v.Notes, "only the first of the file's readings are listed")
			break
		}
		one := sampleView{Name: m.Name, Lab: m.Lab}
		switch {
		case m.Spectrum != nil:
			one.Skin = job.FormatBands(m.Reading)
		case m.Viewing == nil || m.Viewing == colour.D65:
			one.Skin = m.Reading.String()
		default:
			continue // L*a*b* under another light: nothing the address can carry
		}
		v.Samples = append(v.Samples, one)
	}
	if len(v.Samples) == 0 {
		s.fail(w, ask("", "the file has no reading under D65 and no spectrum; one of these is needed"))
		return
	}
	s.answer(w, v, nil)
}
