package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/colour/table"
)

// words are completions: each a word, or a word, a tab and what it means.
type words = []cobra.Completion

// offer is what may stand at a place of a command line.
type offer struct {
	list   func(c *cobra.Command, args []string) words // what goes wrong leaves nothing to offer
	commas bool                                        // several may stand there, with commas between
	end    string                                      // goes on from a word, before an amount
	then   cobra.ShellCompDirective
}

const (
	onlyThese = cobra.ShellCompDirectiveNoFileComp
	orAFile   = cobra.ShellCompDirectiveDefault
	thenMore  = cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
)

// offers are by what a field lists.
var offers = map[string]offer{
	"skin":        {list: skinWords, then: orAFile},
	"light":       {list: lightWords, then: orAFile},
	"observer":    fixed("2\tdegrees, the usual", "10\tdegrees"),
	"coverage":    {list: coverageWords, then: onlyThese},
	"area":        fixed("body", "eyes", "lips"),
	"base":        {list: baseWords, then: orAFile},
	"csv":         {list: fixed("csv").list, then: cobra.ShellCompDirectiveFilterFileExt},
	"folder":      {list: fixed().list, then: cobra.ShellCompDirectiveFilterDirs},
	"file":        {list: fixed().list, then: orAFile},
	"powder":      {list: powderWords, then: onlyThese},
	"powders":     {list: powderWords, commas: true, then: thenMore},
	"powder=":     {list: powderWords, end: "=", then: thenMore},
	"book powder": {list: bookPowderWords, then: onlyThese},
	"client":      {list: clientWords, then: onlyThese},
	"lot":         {list: lotWords, then: onlyThese},
	"batch":       {list: numbersOf(string(book.Batches)), then: onlyThese},
	"kind":        fixed(each(book.Kinds, func(k book.Kind) string { return string(k) })...),
	"record":      {list: func(c *cobra.Command, args []string) words { return numbersOf(args[0])(c, args) }, then: onlyThese},
	"weight":      {list: weighWords, end: "=", then: thenMore},
	"how":         fixed("instrument", "photo", "by eye", "typed"),
	"seen":        fixed("skin", "jar", "drawdown", "powder", "card"),
	"source":      fixed("modelled", "guessed", "measured", "demo"),
}

func fixed(list ...string) offer {
	return offer{list: func(*cobra.Command, []string) words { return list }, then: onlyThese}
}

// complete offers what goes on from what was begun.
func (o offer) complete(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	list, done := o.list(c, args), ""
	if o.then == cobra.ShellCompDirectiveFilterFileExt {
		return list, o.then // what files end in
	}
	if o.commas {
		at := strings.LastIndexByte(begun, ',') + 1
		done, begun = begun[:at], begun[at:]
	}
	return each(starting(list, begun), func(w string) string {
		name, means, described := strings.Cut(w, "\t")
		if described {
			means = "\t" + means
		}
		return done + name + o.end + means
	}), o.then
}

// starting keeps the words that go on from what was begun, capitals aside, and none
// that would steer a terminal.
func starting(list words, begun string) words {
	var kept words
	for _, w := range list {
		if len(w) >= len(begun) && strings.EqualFold(w[:len(begun)], begun) && table.Visible(w) == w {
			kept = append(kept, w)
		}
	}
	return kept
}

// completeFlag registers what may stand behind a field's flag.
func completeFlag(c *cobra.Command, f *job.Field) {
	o, ok := offers[f.Lists]
	if len(f.Choices) > 0 {
		o, ok = fixed(f.Choices...), true
	}
	if !ok {
		return
	}
	if err := c.RegisterFlagCompletionFunc(f.Name, o.complete); err != nil {
		panic(err) // not so: the flag is there and has none
	}
}

// completeArgs completes the words of a command line by their fields.
func completeArgs(args []*job.Field) cobra.CompletionFunc {
	return func(c *cobra.Command, done []string, begun string) (words, cobra.ShellCompDirective) {
		at := min(len(done), len(args)-1)
		if at < 0 || len(done) >= len(args) && !args[at].Rest {
			return nil, onlyThese
		}
		o, ok := offers[args[at].Lists]
		if !ok {
			return nil, onlyThese
		}
		return o.complete(c, done, begun)
	}
}

// each is a word for each of a list.
func each[T any](list []T, word func(T) string) (out words) {
	for _, x := range list {
		out = append(out, word(x))
	}
	return out
}

func skinWords(c *cobra.Command, args []string) words {
	presets := each(skin.Presets(), func(k skin.Skin) string {
		return fmt.Sprintf("%s\tITA %.0f°, a stand-in for a reading", k.Name, k.ITA)
	})
	return append(presets, each(clientWords(c, args), func(name string) string { return "client:" + name })...)
}

func lightWords(*cobra.Command, []string) words {
	return each(colour.Illuminants(), func(l colour.Illuminant) string { return l.Name + "\t" + l.Plain })
}

func coverageWords(*cobra.Command, []string) words {
	return each(film.Coverages[:], func(f film.Coverage) string {
		return fmt.Sprintf("%s\t%g mg/cm²: %s", f.Name, f.MgPerCM2, skin.AmountWords(f.MgPerCM2))
	})
}

func baseWords(*cobra.Command, []string) words {
	return each(batch.Builtin(), func(b batch.Base) string { return b.Name + "\t" + string(b.Kind) })
}

// flag is what the command line gave a flag, "" where there is none.
func flag(c *cobra.Command, name string) string {
	if f := c.Flags().Lookup(name); f != nil {
		return f.Value.String()
	}
	return ""
}

// powderWords lists the powders of the drawer the command line names.
func powderWords(c *cobra.Command, _ []string) words {
	p, err := (&job.Env{Files: job.Disk}).OpenDrawer(flag(c, "drawer"), film.DefaultIndex)
	if err != nil {
		return nil
	}
	return each(p.Pigments, func(g *palette.Pigment) string { return g.Name + "\t" + g.Family })
}

// entriesOf has a word for each record of a kind in the book the command line names;
// none where there is no book.
func entriesOf(c *cobra.Command, kind string, word func(book.Entry) string) words {
	ctx := c.Context()
	if ctx == nil {
		ctx = context.Background()
	}
	v, err := job.Book{File: flag(c, "book")}.List(ctx, kind)
	if err != nil {
		return nil
	}
	return each(v.Records, word)
}

func clientWords(c *cobra.Command, _ []string) words {
	return entriesOf(c, string(book.Clients), func(e book.Entry) string { return e.Title })
}

func bookPowderWords(c *cobra.Command, _ []string) words {
	return entriesOf(c, string(book.Powders), func(e book.Entry) string { return e.Title + "\t" + e.Says })
}

// lotWords lists the numbers on the bags.
func lotWords(c *cobra.Command, _ []string) words {
	return entriesOf(c, string(book.Lots), func(e book.Entry) string {
		powder, lot, _ := strings.Cut(e.Title, ", lot ")
		return fmt.Sprintf("%s\t%s, %s", lot, powder, e.Says)
	})
}

func numbersOf(kind string) func(*cobra.Command, []string) words {
	return func(c *cobra.Command, _ []string) words {
		return entriesOf(c, kind, func(e book.Entry) string { return fmt.Sprintf("%d\t%s", e.ID, e.Title) })
	}
}

// weighWords lists the names on a batch's sheet.
func weighWords(c *cobra.Command, args []string) words {
	v, err := job.Book{File: flag(c, "book")}.Show(c.Context(), string(book.Batches), args[0])
	if err != nil {
		return nil
	}
	return each(v.Record.(*book.Batch).Weights, func(w book.Weight) string { return fmt.Sprintf("%s\t%.2f g planned", w.Name, w.PlannedG) })
}
