package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"tawny/cmd/tawny/job"
)

// manView is the pages written.
type manView struct {
	Dir   string   `json:"dir"`
	Pages []string `json:"pages"`
}

func newMan() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "man DIR",
		Short: "Write the manual pages",
		Long: `Writes a manual page for each command into a folder, in the form the man program
reads. In a folder of your MANPATH, such as ~/.local/share/man/man1, 'man tawny'
then shows them.`,
		Example: "  tawny man ~/.local/share/man/man1\n  tawny man pages && man ./pages/tawny-match.1",
		Args:    oneFolder,
		RunE: func(c *cobra.Command, args []string) error {
			v, err := writeManual(args[0])
			if err != nil {
				return err
			}
			return printed(c, asJSON, v, fmt.Sprintf("Wrote %d pages to %s; the first is tawny.1", len(v.Pages), v.Dir))
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	return c
}

// writeManual writes a page for each command of a tree of its own, so that what
// is done to its texts stays out of the help.
func writeManual(dir string) (*manView, error) {
	if err := job.OpenOut(dir); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, usageError{err}
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

func oneFolder(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usageError{fmt.Errorf("%s needs a folder, got %d words; see %s --help", c.CommandPath(), len(args), c.CommandPath())}
	}
	return nil
}

// printed answers a command that is no job.
func printed(c *cobra.Command, asJSON bool, v any, words string) error {
	if !asJSON {
		_, err := fmt.Fprintln(c.OutOrStdout(), words)
		return err
	}
	e := json.NewEncoder(c.OutOrStdout())
	e.SetIndent("", "  ")
	return e.Encode(v)
}
