package main

import (
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"

	"tawny/blend/book"
	"tawny/cmd/tawny/page"
)

func newPage() *cobra.Command {
	cfg := page.Config{}
	var noOpen bool
	c := &cobra.Command{
		Use:   "page",
		Short: "Serve the bench as a page in your browser",
		Long: `Serves a page on this machine that does the whole job, step by step: who, look,
blend, make, keep, and the drawer. Powders added on it go into a drawer of your own;
until it has one, the built-in powders stand in. Nothing leaves the machine, and the
page needs no network. It ends with Ctrl-C.

Only this machine is let in, by an address with a key that works once, so that
other accounts of the machine stay out. With --lan a phone in the same private
network is let in too, by such a key with its QR code. What passes between the two
is not encrypted: use it in a network you trust. The page lists who is in, and
sends them out.`,
		Example: "  tawny page\n  tawny page --addr 127.0.0.1:8080 --no-open\n  tawny page --lan",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if cfg.Book == "" {
				path, err := book.DefaultPath()
				if err != nil {
					return err
				}
				cfg.Book = path
			}
			if cfg.Drawer == "" {
				cfg.Drawer = filepath.Join(filepath.Dir(cfg.Book), "drawer.csv")
			}
			out := c.OutOrStdout()
			cfg.Out = out
			cfg.Log = log.New(c.ErrOrStderr(), "tawny: ", 0)
			s, err := page.New(cfg)
			if err != nil {
				return usageError{err}
			}
			fmt.Fprintf(out, "The bench is at %s\nIts key works once; a fresh one is printed here then. Ctrl-C ends it.\n", s.OpenURL())
			if u := s.PhoneURL(); u != "" {
				page.PrintPhone(out, u)
			}
			if !noOpen {
				openBrowser(s.OpenURL(), out)
			}
			return s.Serve(c.Context())
		},
	}
	fs := c.Flags()
	fs.StringVar(&cfg.Addr, "addr", "", "host:port on this machine (default a free port)")
	fs.BoolVar(&cfg.LAN, "lan", false, "let a phone in the same private network in, by a key that works once")
	fs.StringVar(&cfg.Drawer, "drawer", "", "your drawer, a CSV file; made with its first powder (default drawer.csv beside the book)")
	fs.StringVar(&cfg.Book, "book", "", "the book's file (default TAWNY_BOOK, or book.db in your settings folder)")
	fs.BoolVar(&noOpen, "no-open", false, "do not open a browser")
	return c
}

// openBrowser asks the system to show an address. Where it cannot, the printed
// address stands.
func openBrowser(url string, out io.Writer) {
	name, args := "xdg-open", []string{url}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", url}
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		fmt.Fprintf(out, "No browser was opened (%v); open the address yourself.\n", err)
		return
	}
	go cmd.Wait()
}
