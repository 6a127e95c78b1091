package page

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"net"
	"net/http/httptest"
	"net/url"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"tawny/cmd/tawny/job"
	"tawny/colour"
)

const readingData = "../../../testdata/reading/"

// answered reads a JSON answer.
func answered[T any](t testing.TB, s *Server, path, body string) (v T) {
	t.Helper()
	r := call(t, s, "POST", path, body, nil)
	got := text(t, r)
	if r.StatusCode != 200 {
		t.Fatalf("%s: answered %d %.300s", path, r.StatusCode, got)
	}
	if err := json.Unmarshal([]byte(got), &v); err != nil {
		t.Fatalf("%s: %v in %.300s", path, err, got)
	}
	return v
}

// send sends a file in, and returns what jobs know it by.
func send(t testing.TB, s *Server, body string) string {
	t.Helper()
	return answered[struct{ File string }](t, s, "/api/file", body).File
}

// A file of readings that the browser sends comes back as skins that the
// address can carry, colours kept.
func TestReadingFile(t *testing.T) {
	s := serve(t, nil)
	var rows strings.Builder
	rows.WriteString("name")
	for nm := 380; nm <= 730; nm += 10 {
		fmt.Fprintf(&rows, ",R%d", nm)
	}
	rows.WriteString("\ninner arm")
	var want colour.Spectrum
	for j := range want {
		want[j] = 0.25 + 0.008*float64(j)
		fmt.Fprintf(&rows, ",%.4f", want[j])
	}
	rows.WriteString("\n")
	v := answered[job.ReadResult](t, s, "/api/job/read", doc("file="+send(t, s, rows.String())))
	if len(v.Samples) != 1 || v.Samples[0].Name != "inner arm" {
		t.Fatalf("read as %+v", v)
	}
	live := answered[struct {
		Skin struct {
			Lab         colour.Lab
			Method      string
			Reflectance []float64
		}
	}](t, s, "/api/job/live", doc(url.Values{"skin": {v.Samples[0].Reading}}.Encode()))
	// The address keeps ten-thousandths, so the colour is the reading's to
	// far under what anyone sees.
	if d := colour.DeltaE00(live.Skin.Lab, colour.D65.Lab(&want)); d > 0.02 {
		t.Errorf("the skin is ΔE00 %.3f from the reading", d)
	}
	if !strings.Contains(live.Skin.Method, "measured") {
		t.Errorf("the spectrum was had by %q", live.Skin.Method)
	}
	for name, body := range map[string]string{"nothing": "", "a picture": "\x89PNG\r\n\x1a\n", "words": "hello, world\n"} {
		r := call(t, s, "POST", "/api/job/read", doc("file="+send(t, s, body)), nil)
		if got := text(t, r); r.StatusCode != 422 || !strings.Contains(got, "the file") {
			t.Errorf("%s: answered %d %s", name, r.StatusCode, got)
		}
	}
}

// A photo with known colours in it measures its skins: the scene is rendered
// with known ones (testdata/reading/make.py).
func TestPhoto(t *testing.T) {
	s := serve(t, nil)
	data, err := os.ReadFile(readingData + "scene.jpg")
	if err != nil {
		t.Fatal(err)
	}
	held := send(t, s, string(data))
	type area struct {
		Lab              colour.Lab
		Verdict, Reading string
		Marks            []job.MarkOnPatch
	}
	type photo struct {
		Width, Height int
		Areas         []area
	}
	p := answered[photo](t, s, "/api/job/photo", doc("file="+held))
	f, err := os.Open(readingData + "scene.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c := csv.NewReader(f)
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	q := url.Values{"file": {held}}
	areas := map[string]string{}
	labs := map[string]colour.Lab{}
	for _, row := range rows[1:] {
		var n [7]float64
		for i := range n {
			n[i], _ = strconv.ParseFloat(row[i+1], 64)
		}
		at := fmt.Sprintf("%.3f%%,%.3f%%,%.3f%%,%.3f%%", 100*n[3]/float64(p.Width), 100*n[4]/float64(p.Height), 100*n[5]/float64(p.Width), 100*n[6]/float64(p.Height))
		if strings.HasPrefix(row[0], "skin") {
			areas[row[0]], labs[row[0]] = at, colour.Lab{L: n[0], A: n[1], B: n[2]}
		} else if len(q["patch"]) < 12 {
			q.Add("patch", fmt.Sprintf("lab:%g,%g,%g@%s", n[0], n[1], n[2], at))
		}
	}
	for name, at := range areas {
		q.Set("area", at)
		m := answered[photo](t, s, "/api/job/photo", doc(q.Encode())).Areas[0]
		if len(m.Marks) != 13 {
			t.Errorf("%s: %d marks are told of, not 13", name, len(m.Marks))
		}
		if d := colour.DeltaE00(m.Lab, labs[name]); d > 3 {
			t.Errorf("%s: ΔE00 %.1f off (%s)", name, d, m.Verdict)
		}
		if _, err := (&job.Env{}).ReadColour(m.Reading); err != nil {
			t.Errorf("%s: the address cannot carry %q", name, m.Reading)
		}
	}
	// No file is opened by the name of a known patch, and no photo without its key.
	for field, value := range map[string]string{"patch": readingData + "scene.csv#A1@1,1,9,9", "strip": "/etc/passwd@1,1,9,9", "area": "1,1,1,1", "file": readingData + "scene.jpg"} {
		bad := url.Values{}
		for k, v := range q {
			bad[k] = append([]string(nil), v...)
		}
		bad.Set(field, value)
		r := call(t, s, "POST", "/api/job/photo", doc(bad.Encode()), nil)
		if got := text(t, r); r.StatusCode != 422 {
			t.Errorf("%s=%q: answered %d %s", field, value, r.StatusCode, got)
		}
	}
}

// sender is a file on its way from an address, with the other end of its connection.
type sender struct {
	*httptest.ResponseRecorder
	net.Conn // where the server reads
	from     net.Conn
	ended    chan error
}

func (s *sender) Write(b []byte) (int, error) { return s.ResponseRecorder.Write(b) }

// SetReadDeadline sets it also where the sender has ended, as a network's connection
// does.
func (s *sender) SetReadDeadline(t time.Time) error {
	if err := s.Conn.SetReadDeadline(t); !errors.Is(err, io.ErrClosedPipe) {
		return err
	}
	return nil
}

// sends begins a file from an address: a first piece, and nothing more.
func sends(s *Server, address string) *sender {
	here, from := net.Pipe()
	f := &sender{httptest.NewRecorder(), here, from, make(chan error, 1)}
	r := httptest.NewRequest("POST", "/api/file", here)
	r.RemoteAddr = address + ":1"
	go func() {
		_, err := s.received(f, r)
		f.ended <- err
	}()
	go from.Write([]byte("begun"))
	return f
}

// rests ends the file as its sender does.
func (s *sender) rests() error {
	s.from.Close()
	return <-s.ended
}

// However many files are sent at once, only so many are held, in turn.
func TestFilesAreHeldInTurn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &Server{}
		var list []*sender
		for i := range 60 {
			list = append(list, sends(s, []string{"127.0.0.1", "192.168.1.7", "192.168.1.8", "192.168.1.9"}[i%4]))
		}
		synctest.Wait()
		held := s.sending.busy
		if held["here"] != maxSendingHere || held["network"] != maxSendingNetwork || len(held) != 2+maxSendingNetwork/maxSendingAddress {
			t.Errorf("held are %v", held)
		}
		for _, f := range list {
			f.from.Close()
		}
		for _, f := range list {
			if err := <-f.ended; err != nil {
				t.Error(err)
			}
		}
		if len(held) != 0 {
			t.Errorf("%v are still held", held)
		}
	})
}

// Files of a device that come to a stop leave room for another device's and this
// machine's, and are cut off; so is one that comes too slowly.
func TestStoppedFilesLeaveRoom(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &Server{}
		start := time.Now()
		var stopped []*sender
		for range 4 {
			stopped = append(stopped, sends(s, "192.168.1.7"))
		}
		synctest.Wait()
		for _, address := range []string{"192.168.1.8", "127.0.0.1"} {
			if err := sends(s, address).rests(); err != nil || time.Since(start) > 0 {
				t.Errorf("%s: %v after %v", address, err, time.Since(start))
			}
		}
		for _, f := range stopped {
			if err := <-f.ended; err == nil {
				t.Error("a file that stopped was taken for whole")
			}
		}
		if took := time.Since(start); took != 4*stallTimeout {
			t.Errorf("four were cut off after %v", took)
		}
		slow := sends(s, "192.168.1.7")
		for range 100 {
			time.Sleep(stallTimeout - time.Second)
			slow.from.SetWriteDeadline(time.Now().Add(time.Second))
			slow.from.Write([]byte("x"))
		}
		if err := <-slow.ended; err == nil {
			t.Error("a slow file was not cut off")
		}
	})
}

// Photos that are too large, or none, are refused before they are decoded.
func TestPhotoLimits(t *testing.T) {
	s := serve(t, nil)
	var huge bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&huge, image.NewGray(image.Rect(0, 0, 6000, 5000))); err != nil {
		t.Fatal(err)
	}
	for name, body := range map[string]string{"30 megapixels": huge.String(), "over the limit": strings.Repeat("a", maxSent+1)} {
		r := call(t, s, "POST", "/api/file", body, nil)
		if got := text(t, r); r.StatusCode != 422 || strings.Contains(got, "goroutine") {
			t.Errorf("%s: answered %d %.200s", name, r.StatusCode, got)
		}
	}
	for name, body := range map[string]string{"nothing": "", "a script": "<script>", "half a picture": huge.String()[:25]} {
		r := call(t, s, "POST", "/api/job/photo", doc("file="+send(t, s, body)), nil)
		if got := text(t, r); r.StatusCode != 422 || strings.Contains(got, "goroutine") {
			t.Errorf("%s: answered %d %.200s", name, r.StatusCode, got)
		}
	}
	first := send(t, s, "one")
	for range maxHeld {
		send(t, s, "another")
	}
	if _, err := s.sent.Open(first); len(s.sent.list) != maxHeld || err == nil {
		t.Errorf("%d files are held", len(s.sent.list))
	}
}
