package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"tawny/cmd/tawny/work"
)

// manView is the pages written.
type manView struct {
	Dir   string   `json:"dir"`
	Pages []string `json:"pages"`
}

func newMan() *cobra.Command {
	f := &sharedFlags{}
	c := &cobra.Command{
		Use:   "man DIR",
		Short: "Write the manual pages",
		Long: `Writes a manual page for each command into a folder, in the form the man program
reads. In a folder of your MANPATH, such as ~/.local/share/man/man1, 'man tawny'
then shows them.`,
		Example: "  tawny man ~/.local/share/man/man1\n  tawny man pages && man ./pages/tawny-match.1",
		Args:    oneFile("a folder"),
		RunE: func(c *cobra.Command, args []string) error {
			v, err := writeManual(args[0])
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) {
				s.line("Wrote %s to %s; the first is tawny.1", plural(len(v.Pages), "page"), v.Dir)
			})
		},
	}
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON")
	return c
}

// writeManual writes a page for each command of a tree of its own, so that what
// is done to its texts stays out of the help.
func writeManual(dir string) (*manView, error) {
	if err := work.OpenOut(dir); err != nil {
		return nil, err
	}
	if err := work.MakeOut(dir); err != nil {
		return nil, err
	}
	root := newRoot()
	root.InitDefaultHelpFlag()
	layOut(root)
	v := version()
	// The pages of one build are the same whenever they are written.
	at, err := time.Parse(time.RFC3339, v.At)
	if err != nil {
		at = time.Now()
	}
	header := &doc.GenManHeader{Section: "1", Source: "tawny " + v.Version, Manual: "tawny", Date: &at}
	if err := doc.GenManTree(root, header, dir); err != nil {
		return nil, fmt.Errorf("manual pages: %w", err)
	}
	found, err := fs.Glob(os.DirFS(dir), "tawny*.1")
	return &manView{filepath.Clean(dir), found}, err
}

// columns matches text set in columns, which must keep its lines.
var columns = regexp.MustCompile(`(?m)\S {3,}\S|^ {2,}\S`)

// layOut fences the paragraphs of the long helps that are set in columns: a
// manual page fills all others.
func layOut(c *cobra.Command) {
	var paragraphs []string
	for p := range strings.SplitSeq(c.Long, "\n\n") {
		if columns.MatchString(p) {
			p = "```\n" + p + "\n```"
		}
		paragraphs = append(paragraphs, p)
	}
	c.Long = strings.Join(paragraphs, "\n\n")
	c.DisableAutoGenTag = true
	for _, sub := range c.Commands() {
		layOut(sub)
	}
}
