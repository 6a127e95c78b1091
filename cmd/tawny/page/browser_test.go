package page

import (
	"context"
	"flag"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
)

// size is a screen the page must work on.
type size struct {
	name          string
	width, height int64
	phone         bool
}

var (
	phone   = size{"phone", 390, 844, true}
	desktop = size{"desktop", 1280, 900, false}
)

// browserPath finds a Chromium, or skips. With TAWNY_BROWSER=required a test
// that finds none fails.
func browserPath(t testing.TB) string {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes too long for -short")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	const how = "no browser: install Chromium (on Debian: apt-get install chromium) and run go test ./cmd/tawny/page again"
	if os.Getenv("TAWNY_BROWSER") == "required" {
		t.Fatal(how)
	}
	t.Skip(how)
	return ""
}

// complaints collects what the browser's console had to say.
type complaints struct {
	mu       sync.Mutex
	list     []string
	forgiven string // an address that is meant to be refused
	own      cdp.BrowserContextID
}

func (c *complaints) add(text string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.list = append(c.list, text)
}

// chromium is the browser of all tests, started with the first that wants one.
var chromium struct {
	once sync.Once
	ctx  context.Context
	err  error
	end  func()
}

func TestMain(m *testing.M) {
	flag.Set("test.parallel", "4") // unless -parallel says otherwise: most of the time they wait for the browser
	code := m.Run()
	if chromium.end != nil {
		chromium.end()
	}
	os.Exit(code)
}

func startBrowser(path string) {
	profile, err := os.MkdirTemp("", "tawny-browser-*")
	if err != nil {
		chromium.err = err
		return
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(profile),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("force-prefers-reduced-motion", true), // a click finds its place, not one scrolled past
	)
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, stop := chromedp.NewContext(alloc)
	chromium.ctx, chromium.err = ctx, chromedp.Run(ctx)
	chromium.end = func() {
		chromedp.Cancel(ctx) // waits until the browser has ended
		stop()
		stopAlloc()
		// Its last helpers may still be writing.
		for range 20 {
			if os.RemoveAll(profile) == nil {
				break
			}
			time.Sleep(50 * time.Millisecond)
		}
	}
}

// browse opens a page of a size that shares nothing with those of other tests but
// the browser. Faults in its console are collected and fail the test at its end.
func browse(t testing.TB, sz size) (context.Context, *complaints) {
	t.Helper()
	path := browserPath(t)
	chromium.once.Do(func() { startBrowser(path) })
	if chromium.err != nil {
		t.Fatalf("the browser did not start: %v", chromium.err)
	}
	all := cdp.WithExecutor(chromium.ctx, chromedp.FromContext(chromium.ctx).Browser)
	own, err := target.CreateBrowserContext().Do(all)
	if err != nil {
		t.Fatal(err)
	}
	window, err := target.CreateTarget("about:blank").WithBrowserContextID(own).WithNewWindow(true).Do(all)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := chromedp.NewContext(chromium.ctx, chromedp.WithTargetID(window))
	ctx, cancel := context.WithTimeout(ctx, 5*time.Minute)
	c := &complaints{own: own}
	chromedp.ListenTarget(ctx, func(e any) {
		switch e := e.(type) {
		case *runtime.EventExceptionThrown:
			c.add("exception: " + e.ExceptionDetails.Error())
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.APITypeError || e.Type == runtime.APITypeWarning {
				var words []string
				for _, a := range e.Args {
					words = append(words, string(a.Value))
				}
				c.add("console: " + strings.Join(words, " "))
			}
		case *cdplog.EventEntryAdded:
			if e.Entry.Level == cdplog.LevelError || e.Entry.Level == cdplog.LevelWarning {
				c.add("log: " + e.Entry.Text + " " + e.Entry.URL)
			}
		}
	})
	t.Cleanup(func() {
		cancel()
		stop()
		if err := target.DisposeBrowserContext(own).Do(all); err != nil {
			t.Error(err)
		}
		c.mu.Lock()
		defer c.mu.Unlock()
		for _, text := range c.list {
			if c.forgiven != "" && strings.Contains(text, c.forgiven) {
				continue
			}
			t.Errorf("the browser complained: %s", text)
		}
	})
	if err := chromedp.Run(ctx, cdplog.Enable(), runtime.Enable(), emulation.SetFocusEmulationEnabled(true), as(sz)); err != nil {
		t.Fatalf("no page was opened: %v", err)
	}
	return ctx, c
}

// as gives a page a size.
func as(sz size) chromedp.Action {
	dots := 1.0
	if sz.phone {
		dots = 2
	}
	return chromedp.Tasks{emulation.SetDeviceMetricsOverride(sz.width, sz.height, dots, sz.phone), emulation.SetTouchEmulationEnabled(sz.phone)}
}

// awaitPromise waits for what a script promised.
func awaitPromise(p *runtime.EvaluateParams) *runtime.EvaluateParams {
	return p.WithAwaitPromise(true)
}
