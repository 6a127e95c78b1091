package main

import (
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// everyCommand is the whole tree but for cobra's own.
func everyCommand(c *cobra.Command, do func(*cobra.Command)) {
	for _, sub := range c.Commands() {
		if sub.Name() != "help" && sub.Name() != "completion" {
			do(sub)
			everyCommand(sub, do)
		}
	}
}

// Commands below commands explain themselves with an example too.
func TestEveryHelpHasAnExample(t *testing.T) {
	everyCommand(newRoot(), func(c *cobra.Command) {
		if !strings.Contains(c.Example, c.CommandPath()) || c.Long == "" || c.Short == "" {
			t.Errorf("%s: no example of itself, or no help", c.CommandPath())
		}
	})
}

func TestManHasAPageForEach(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "man1")
	if out := mustRun(t, "man", dir); !strings.Contains(out, "pages to "+dir) {
		t.Errorf("says %s", out)
	}
	n := 1
	everyCommand(newRoot(), func(c *cobra.Command) {
		n++
		page, err := os.ReadFile(filepath.Join(dir, strings.ReplaceAll(c.CommandPath(), " ", "-")+".1"))
		if err != nil {
			t.Error(err)
			return
		}
		for _, part := range []string{".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH EXAMPLE"} {
			if !strings.Contains(string(page), part) {
				t.Errorf("%s: no %s", c.CommandPath(), part)
			}
		}
	})
	if files, _ := filepath.Glob(filepath.Join(dir, "*")); len(files) != n {
		t.Errorf("%d pages for %d commands", len(files), n)
	}
	// Columns keep their lines.
	page, err := os.ReadFile(filepath.Join(dir, "tawny.1"))
	if err != nil || !strings.Contains(string(page), "as a photo has it\n") {
		t.Errorf("the columns of the help ran together: %v", err)
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"man"}, {"man", file}, {"man", dir, "more"}, {"version", "more"}} {
		if code, _, _ := tawny(t, args...); code != exitInput {
			t.Errorf("%v: exit %d", args, code)
		}
	}
}

func TestVersion(t *testing.T) {
	t.Parallel()
	v := fromJSON[versionView](t, mustRun(t, "version", "--json"))
	if v.Version == "" || !strings.HasPrefix(v.Go, "go1.") || !strings.Contains(v.System, "/") {
		t.Errorf("%+v", v)
	}
	if a, b := mustRun(t, "version"), mustRun(t, "--version"); a != b || !strings.HasPrefix(a, "tawny "+v.Version) {
		t.Errorf("version says %q, --version %q", a, b)
	}
	licences := mustRun(t, "version", "--notices")
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, m := range info.Deps {
			if !usedByTestsOnly(m.Path) && !strings.Contains(licences, "==== "+m.Path+" "+m.Version+" ====") {
				t.Errorf("no licence of %s %s", m.Path, m.Version)
			}
		}
	}
	v = versionView{Version: "v1.2.0", Commit: "0123456789abcdef", At: "2026-05-31T10:00:00Z", Modified: true, Go: "go1.26", System: "linux/amd64"}
	if got, want := v.String(), "v1.2.0, commit 0123456789ab with changes of 31 May 2026, go1.26 on linux/amd64"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// usedByTestsOnly says whether a module of a test binary is not in the program.
func usedByTestsOnly(path string) bool {
	return strings.HasPrefix(path, "github.com/chromedp/") || path == "pgregory.net/rapid"
}
