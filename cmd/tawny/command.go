package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/cmd/tawny/job"
	"tawny/colour/table"
)

// addJobs grows the tree of commands from the jobs, by their names.
func addJobs(root *cobra.Command) {
	book := &job.Book{}
	at := map[string]*cobra.Command{"": root}
	for _, j := range job.Jobs {
		if j.Follows {
			continue
		}
		above, last := "", j.Name
		if i := strings.LastIndexByte(j.Name, ' '); i >= 0 {
			above, last = j.Name[:i], j.Name[i+1:]
		}
		c := command(j, last, book)
		asks := func(field string) bool { return c.Flags().Lookup(field) != nil }
		if j.Name == "book" || j.Name == "reorder" || above == "" && (asks("skin") || asks("in-stock")) { // client:NAME, or lots
			c.PersistentFlags().StringVar(&book.File, "book", "", "the book's file (default TAWNY_BOOK, or book.db in your settings folder)")
		}
		at[above].AddCommand(c)
		at[j.Name] = c
	}
}

// command is a job as the command line has it.
func command(j *job.Job, last string, book *job.Book) *cobra.Command {
	c := &cobra.Command{Use: strings.TrimSpace(last + " " + j.Args), Short: j.Short, Long: j.Long, Example: j.Example}
	if j.New == nil {
		c.Args, c.RunE = cobra.ArbitraryArgs, unknownCommand
		return c
	}
	d := job.NewDoc(j)
	r := &invocation{doc: d, book: book}
	var args []*job.Field
	groups := []flagGroup{}
	for _, g := range d.Task.Groups {
		fg := flagGroup{title: g.Title, flags: pflag.NewFlagSet(g.Title, pflag.ContinueOnError)}
		for i := range g.Fields {
			f := d.Field(g.Fields[i].Name)
			if f.Arg {
				args = append(args, f)
				continue
			}
			flag := fg.flags.VarPF(flagValue{d, f, &r.faults}, f.Name, "", f.Words)
			if _, yes := f.To.(*bool); yes {
				flag.NoOptDefVal = "true"
			}
			flag.Hidden = f.Hidden
			c.Flags().AddFlag(flag)
			completeFlag(c, f)
		}
		groups = append(groups, fg)
	}
	c.Flags().BoolVar(&r.json, "json", false, "print the result as JSON at full precision")
	c.Flags().StringVar(&r.request, "request", "", "a saved request, or a result that holds it (JSON): what is not given is taken from it")
	groupedHelp(c, groups)
	c.ValidArgsFunction = completeArgs(args)
	c.Args = cobra.ArbitraryArgs
	c.RunE = func(c *cobra.Command, words []string) error { return r.run(c, args, words) }
	return c
}

// invocation is one command line of a job.
type invocation struct {
	doc     *job.Doc
	book    *job.Book
	json    bool
	request string
	faults  job.Faults // of its flags
}

func (r *invocation) run(c *cobra.Command, args []*job.Field, words []string) error {
	if err := r.fill(c, args, words); err != nil {
		return err
	}
	out := ""
	if f := r.doc.Field("out"); f != nil {
		out = f.Value().(string)
		if err := job.OpenOut(out); err != nil {
			return err
		}
	}
	report, stop := progress()
	r.book.Warn = func(err error) { fmt.Fprintln(c.ErrOrStderr(), "tawny:", table.Visible(says(err))) }
	env := &job.Env{Files: job.Disk, Now: time.Now, Progress: report, Book: *r.book, JSON: r.json, Sends: out != "", Out: out}
	result, err := r.doc.Do(c.Context(), env)
	stop()
	if err != nil {
		return err
	}
	if err := env.NoteFiles(c.Context()); err != nil {
		return err
	}
	// What the job did stands, in the book for one, and is told even where its
	// files cannot be written.
	paths, over, failed := job.WriteOut(out, env.Delivered)
	if out != "" && len(env.Delivered) == 0 {
		r.book.Warn(fmt.Errorf("this makes no file, so there is nothing in %s", out))
	}
	if r.json {
		data, err := job.Answer(r.doc, result)
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintln(c.OutOrStdout(), table.Visible(string(data))); err != nil {
			return err
		}
	} else {
		s := job.NewScreen(c.OutOrStdout())
		result.Show(s)
		s.Wrote(paths, over)
		if says := r.doc.Drawer(); says != "" {
			fmt.Fprintln(c.ErrOrStderr(), "tawny: the powders are", says)
		}
		if s.Err() != nil {
			return s.Err()
		}
	}
	if failed != nil {
		return failed
	}
	if f, ok := result.(interface{ Fault() error }); ok {
		return f.Fault()
	}
	return nil
}

// maxRequest bounds a saved request: one that leaves out most of a large drawer
// is about 10 kB, a result of 20 blends that holds its request about 190 kB.
const maxRequest = 256 << 10

// fill puts the command line's words and the saved request into the document;
// the flags are in it already.
func (r *invocation) fill(c *cobra.Command, args []*job.Field, words []string) error {
	for i, f := range args {
		switch {
		case i >= len(words):
		case f.Rest:
			for _, w := range words[i:] {
				r.faults.Note(r.doc.Put(f.Name, w))
			}
			words = words[:i+1]
		default:
			r.faults.Note(r.doc.Put(f.Name, words[i]))
		}
	}
	if len(words) > len(args) {
		return usageError{fmt.Errorf("%q is not understood here; put names with spaces in quotes; see %s --help", words[len(args)], c.CommandPath())}
	}
	if r.request == "" || len(r.faults) > 0 {
		return r.faults.Err()
	}
	f, err := os.Open(r.request)
	if err != nil {
		return usageError{fmt.Errorf("--request: %w", err)}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxRequest+1))
	if err != nil {
		return usageError{fmt.Errorf("--request: %w", err)}
	}
	if len(data) > maxRequest {
		return usageError{fmt.Errorf("--request: %s is over %d kB; a saved request is shorter", r.request, maxRequest>>10)}
	}
	name, err := job.JobOf(data)
	if err != nil {
		return usageError{fmt.Errorf("--request: %s: %w", r.request, err)}
	}
	if name != "" && name != r.doc.Job.Name {
		return usageError{fmt.Errorf("--request: %s is for tawny %s", r.request, name)}
	}
	return r.doc.Read(data)
}

// flagValue is a field as a flag. Its fault waits for those of the others.
type flagValue struct {
	d      *job.Doc
	f      *job.Field
	faults *job.Faults
}

func (v flagValue) Set(text string) error {
	v.faults.Note(v.d.Put(v.f.Name, text))
	return nil
}

func (v flagValue) String() string {
	if v.d == nil || !v.d.Given(v.f.Name) {
		return ""
	}
	return fmt.Sprint(v.f.Value())
}

// Type is how the help writes what stands behind a flag.
func (v flagValue) Type() string {
	switch v.f.To.(type) {
	case *bool:
		return "bool"
	case *float64, **float64:
		return "number"
	case *int, *int64:
		return "whole"
	case *[]string, *[]float64:
		return "list"
	}
	return "text"
}

// says writes an error as the command line calls things.
func says(err error) string {
	return job.Say(err, func(field string) string { return "--" + field })
}

// flagGroup is the flags of one subject in the help.
type flagGroup struct {
	title string
	flags *pflag.FlagSet
}

// groupedHelp writes the flags by subject.
func groupedHelp(c *cobra.Command, groups []flagGroup) {
	c.SetUsageFunc(func(c *cobra.Command) error {
		var b strings.Builder
		fmt.Fprintf(&b, "Usage:\n  %s\n", c.UseLine())
		if c.HasExample() {
			fmt.Fprintf(&b, "\nExamples:\n%s\n", c.Example)
		}
		for _, g := range groups {
			if g.flags.HasAvailableFlags() {
				fmt.Fprintf(&b, "\n%s:\n%s", g.title, g.flags.FlagUsages())
			}
		}
		general := pflag.NewFlagSet("", pflag.ContinueOnError)
		c.Flags().VisitAll(func(f *pflag.Flag) {
			for _, g := range groups {
				if g.flags.Lookup(f.Name) != nil {
					return
				}
			}
			general.AddFlag(f)
		})
		fmt.Fprintf(&b, "\nGeneral:\n%s", general.FlagUsages())
		_, err := c.OutOrStderr().Write([]byte(b.String()))
		return err
	})
}
