package page

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tawny/colour"
)

// dragMark drags the middle of a frame to a place in the photo, in parts of
// its width and height.
func dragMark(n int, x, y float64) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		var p [4]float64
		if err := chromedp.Evaluate(fmt.Sprintf(`(() => {
			document.getElementById("photo").scrollTop = 0;
			const m = document.querySelectorAll(".mark")[%d].getBoundingClientRect(), f = document.getElementById("photo-frame").getBoundingClientRect();
			return [m.x + m.width / 2, m.y + m.height / 2, f.x + %g * f.width, f.y + %g * f.height];
		})()`, n, x, y), &p).Do(ctx); err != nil {
			return err
		}
		if err := input.DispatchMouseEvent(input.MousePressed, p[0], p[1]).WithButton(input.Left).WithClickCount(1).Do(ctx); err != nil {
			return err
		}
		for i := 1; i <= 4; i++ {
			t := float64(i) / 4
			if err := input.DispatchMouseEvent(input.MouseMoved, p[0]+t*(p[2]-p[0]), p[1]+t*(p[3]-p[1])).WithButton(input.Left).WithButtons(1).Do(ctx); err != nil {
				return err
			}
		}
		return input.DispatchMouseEvent(input.MouseReleased, p[2], p[3]).WithButton(input.Left).WithClickCount(1).Do(ctx)
	})
}

// press sends a key so many times.
func press(key string, n int, opts ...chromedp.KeyOption) chromedp.Action {
	var list chromedp.Tasks
	for range n {
		list = append(list, chromedp.KeyEvent(key, opts...))
	}
	return list
}

// A photo is sent, its frames are sized by keys and dragged by hand onto a
// known grey and a skin, and the colour is taken as the skin. The scene's
// colours are those it was rendered with (testdata/reading/make.py).
func TestPhotoInBrowser(t *testing.T) {
	photo, err := filepath.Abs(readingData + "scene.jpg")
	if err != nil {
		t.Fatal(err)
	}
	t.Parallel()
	shift := chromedp.KeyModifiers(input.ModifierShift)
	for _, sz := range []size{phone, desktop} {
		t.Run(sz.name, func(t *testing.T) {
			t.Parallel()
			s := serve(t, nil)
			ctx, _ := browse(t, sz)
			var label, address, result, untouched string
			err := chromedp.Run(ctx,
				letIn(s), chromedp.Navigate(s.URL()), until("blends are ranked", ranked),
				chromedp.Evaluate(`document.getElementById("skin-photo").open = true`, nil),
				chromedp.SetUploadFiles("#photo-file", []string{photo}),
				until("the photo is shown", `document.getElementById("photo").open && document.getElementById("photo-image").naturalWidth > 0`),
				chromedp.Sleep(300*time.Millisecond), // as long as a measurement would take to be asked for
				chromedp.Evaluate(`String(document.getElementById("photo-skin").disabled) + " " + document.getElementById("photo-result").textContent + document.getElementById("photo-next").textContent`, &untouched),
				chromedp.Evaluate(`(() => {
					const s = document.querySelector("#marks select");
					s.value = "own"; s.dispatchEvent(new Event("change"));
					const i = document.querySelector("#marks input");
					i.value = "lab:60,0,0"; i.dispatchEvent(new Event("change"));
					document.querySelectorAll(".mark")[0].focus();
				})()`, nil),
				press(kb.ArrowLeft, 7, shift), press(kb.ArrowUp, 5, shift),
				dragMark(0, 126.0/480, 38.0/340),
				chromedp.Evaluate(`document.querySelectorAll(".mark")[1].focus()`, nil),
				press(kb.ArrowLeft, 5, shift), press(kb.ArrowUp, 3, shift),
				dragMark(1, 200.0/480, 92.0/340),
				chromedp.Evaluate(`document.querySelectorAll(".mark")[0].getAttribute("aria-label")`, &label),
				until("a very light skin is measured", `!document.getElementById("photo-skin").disabled && /L\* (6[6-9]|7[0-6])/.test(document.getElementById("photo-result").textContent)`),
				chromedp.Text("#photo-result", &result),
				chromedp.Click("#photo-skin"),
				until("the skin is taken", `!document.getElementById("photo").open && location.search.includes("skin=lab")`),
				until("blends are ranked", ranked),
				chromedp.Evaluate(`new URLSearchParams(location.search).get("skin")`, &address),
			)
			if err != nil {
				chromedp.Run(ctx, chromedp.Text("#photo-result", &result))
				t.Fatalf("%v; measured %q, first frame %q", err, result, label)
			}
			if untouched != "true Now put the frame on the grey card." {
				t.Errorf("before a frame is placed: %q", untouched)
			}
			if !strings.Contains(label, "5 % wide") || !strings.Contains(label, "7 % high") {
				t.Errorf("the first frame says %q", label)
			}
			r, err := colour.ParseReading(address)
			if err != nil {
				t.Fatal(err)
			}
			// One grey settles light and tint only; the camera's own mixing of
			// colours stays in, hence the room.
			if d := colour.DeltaE00(r.Lab, colour.Lab{L: 71, A: 9, B: 15}); d > 6 {
				t.Errorf("measured %s, ΔE00 %.1f from the skin rendered", address, d)
			}
		})
	}
}
