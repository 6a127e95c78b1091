package main

import (
	_ "embed"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
)

// versionView is what a build knows of itself.
type versionView struct {
	Version  string `json:"version"`            // of the module; "devel" where it was built from a work tree
	Commit   string `json:"commit,omitempty"`   // of the sources, where they were under version control
	At       string `json:"at,omitempty"`       // the commit's time, RFC 3339
	Modified bool   `json:"modified,omitempty"` // the sources had changes of their own
	Go       string `json:"go"`
	System   string `json:"system"` // operating system and processor
}

// version reads what the Go tool stamped into the program.
func version() versionView {
	v := versionView{Version: "devel", Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return v
	}
	if info.Main.Version != "" && info.Main.Version != "(devel)" {
		v.Version = info.Main.Version
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Commit = s.Value
		case "vcs.time":
			v.At = s.Value
		case "vcs.modified":
			v.Modified = s.Value == "true"
		}
	}
	return v
}

// String is the version in one line. A version made from a commit names it
// already.
func (v versionView) String() string {
	s := v.Version
	if v.Commit != "" && !strings.Contains(s, v.Commit[:min(12, len(v.Commit))]) {
		s += fmt.Sprintf(", commit %.12s", v.Commit)
		if v.Modified {
			s += " with changes"
		}
	}
	if at, err := time.Parse(time.RFC3339, v.At); err == nil {
		s += " of " + at.Format("2 January 2006")
	}
	return fmt.Sprintf("%s, %s on %s", s, v.Go, v.System)
}

// notices are the licences of what the program is built from; .ci/notices writes
// them.
//
//go:embed notices.txt
var notices string

func newVersion() *cobra.Command {
	var asJSON, licences bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Say which tawny this is",
		Long: `Says the version, the commit it was built from and with what, as the Go tool
wrote them into the program. Give it when you report a fault.`,
		Example: "  tawny version\n  tawny version --json\n  tawny version --notices",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if licences {
				return printed(c, asJSON, struct {
					Notices string `json:"notices"`
				}{notices}, strings.TrimSuffix(notices, "\n"))
			}
			v := version()
			return printed(c, asJSON, v, "tawny "+v.String())
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	c.Flags().BoolVar(&licences, "notices", false, "print the licences of everything in the program")
	return c
}
