package batch

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// The sheet never scrolls sideways, from a small phone to a desk.
func TestHTMLFitsWidth(t *testing.T) {
	browser := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			browser = path
			break
		}
	}
	if browser == "" {
		t.Skip("no Chromium to lay the sheet out")
	}
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 8, ContainerML: 30, Parts: []Part{{demoGold(), 4}, {demoRed(), 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := HTML(&page, b, nil); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	frame := `<body>`
	widths := []int{320, 390, 480, 721, 1280}
	for _, w := range widths {
		frame += fmt.Sprintf(`<iframe src="sheet.html" style="width:%dpx;height:400px;border:0"></iframe>`, w)
	}
	frame += `<pre id="said"></pre><script>onload = () => { for (const f of document.querySelectorAll("iframe"))
said.textContent += f.offsetWidth + ":" + f.contentDocument.documentElement.scrollWidth + "\n" }</script>`
	for name, text := range map[string][]byte{"sheet.html": page.Bytes(), "frame.html": []byte(frame)} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--allow-file-access-from-files", "--user-data-dir="+filepath.Join(dir, "profile"),
		"--virtual-time-budget=5000", "--dump-dom", "file://"+filepath.Join(dir, "frame.html")).Output()
	if err != nil {
		t.Skipf("Chromium does not run here: %v", err)
	}
	found := regexp.MustCompile(`(?m)(\d+):(\d+)$`).FindAllSubmatch(out, -1)
	if len(found) != len(widths) {
		t.Fatalf("%d widths measured of %d in %s", len(found), len(widths), out)
	}
	for _, m := range found {
		room, _ := strconv.Atoi(string(m[1]))
		if wide, _ := strconv.Atoi(string(m[2])); wide > room {
			t.Errorf("in %d px the sheet is %d px wide", room, wide)
		}
	}
}
