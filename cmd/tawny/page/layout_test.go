package page

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The small and the narrow: phones upright and lying, and a laptop's window at
// 200 and 400 per cent, which leaves a half and a quarter of its width and height
// (WCAG 2.2, 1.4.10 asks for 320 by 256).
var narrow = []size{
	{"small phone", 360, 640, true},
	{"large phone", 430, 932, true},
	{"phone lying", 844, 390, true},
	{"200 per cent", 640, 450, false},
	{"400 per cent", 320, 225, false},
}

// What stands still over the page while it is scrolled leaves the content at least
// half of the screen, and nothing is wider than the screen, at each step.
func TestNarrowScreens(t *testing.T) {
	const covered = `(() => {
		scrollTo(0, document.documentElement.scrollHeight / 3);
		let rows = 0;
		for (let y = 1; y < innerHeight; y += 4) {
			const e = document.elementFromPoint(innerWidth / 2, y);
			const over = e?.closest(".stage, .steps");
			if (over && ["fixed", "sticky"].includes(getComputedStyle(over).position)) rows++;
		}
		return rows * 4 / innerHeight;
	})()`
	t.Parallel()
	s := serve(t, nil)
	ctx, _ := browse(t, narrow[0])
	if err := chromedp.Run(ctx, letIn(s), chromedp.Navigate(s.URL()), until("blends are ranked", ranked)); err != nil {
		t.Fatal(err)
	}
	for _, step := range []string{"who", "look", "blend", "make", "keep", "drawer"} {
		if err := chromedp.Run(ctx, as(narrow[0]), onto(step)); err != nil {
			t.Fatal(err)
		}
		for _, sz := range narrow {
			var got float64
			if err := chromedp.Run(ctx, as(sz), laidOut, shown(t, sz, step), chromedp.Evaluate(covered, &got)); err != nil {
				t.Fatal(err)
			}
			if got > 0.5 {
				t.Errorf("%s, %s: %.0f %% of the screen is covered", sz.name, step, 100*got)
			}
		}
	}
}

// laidOut waits until the page has been drawn twice.
var laidOut = chromedp.Evaluate(`new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(0))))`, nil, awaitPromise)

// BenchmarkFirstView opens the page on a phone four times as slow as this machine:
// how long until it is painted, and how far what is seen shifts before the picture
// is there. 300 ms and 0.02 are wanted.
func BenchmarkFirstView(b *testing.B) {
	s := serve(b, nil)
	ctx, _ := browse(b, phone)
	const watch = `window.shift = 0; new PerformanceObserver((l) => { for (const e of l.getEntries()) if (!e.hadRecentInput) window.shift += e.value; }).observe({ type: "layout-shift", buffered: true });`
	if err := chromedp.Run(ctx, letIn(s), emulation.SetCPUThrottlingRate(4), chromedp.ActionFunc(func(ctx context.Context) error {
		_, err := cdppage.AddScriptToEvaluateOnNewDocument(watch).Do(ctx)
		return err
	})); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		var got string
		if err := chromedp.Run(ctx, chromedp.Navigate(s.URL()), until("pictured", pictured),
			chromedp.Evaluate(`JSON.stringify([performance.getEntriesByName("first-contentful-paint")[0].startTime, window.shift, performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd])`, &got)); err != nil {
			b.Fatal(err)
		}
		var v [3]float64
		if err := json.Unmarshal([]byte(got), &v); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(v[0], "first-paint-ms")
		b.ReportMetric(v[2], "ready-ms")
		b.ReportMetric(v[1], "layout-shift")
	}
}
