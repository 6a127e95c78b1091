package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/colour/table"
)

// words are completions: each a word, or a word, a tab and what it means.
type words = []cobra.Completion

// completer lists what may stand at a place of a command line. Whatever goes
// wrong, there is just nothing to offer.
type completer func(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective)

const (
	onlyThese = cobra.ShellCompDirectiveNoFileComp
	orAFile   = cobra.ShellCompDirectiveDefault
	thenMore  = cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
)

// listWords completes what a field lists.
var listWords = map[string]completer{
	"skin":        skinWords,
	"light":       lightWords,
	"observer":    fixed("2\tdegrees, the usual", "10\tdegrees"),
	"coverage":    coverageWords,
	"area":        fixed("body", "eyes", "lips"),
	"base":        baseWords,
	"csv":         csvFile,
	"folder":      folder,
	"file":        anyFile,
	"powder":      powderWords,
	"powders":     listOf(powderWords),
	"powder=":     before("=", powderWords),
	"book powder": bookPowderWords,
	"client":      clientWords,
	"lot":         lotWordsOf,
	"batch":       batchWords,
	"kind":        kindWords,
	"record":      recordWordsOf,
	"weight":      weighWords,
	"how":         fixed("instrument", "photo", "by eye", "typed"),
	"seen":        fixed("skin", "jar", "drawdown", "powder", "card"),
	"source":      fixed("modelled", "guessed", "measured", "demo"),
}

// completeFlag registers what may stand behind a field's flag.
func completeFlag(c *cobra.Command, f *job.Field) {
	words := listWords[f.Lists]
	if len(f.Choices) > 0 {
		words = fixed(f.Choices...)
	}
	if words == nil {
		return
	}
	if err := c.RegisterFlagCompletionFunc(f.Name, cobra.CompletionFunc(words)); err != nil {
		panic(err) // not so: the flag is there and has none
	}
}

// completeArgs completes the words of a command line by their fields.
func completeArgs(args []*job.Field) cobra.CompletionFunc {
	return func(c *cobra.Command, done []string, begun string) ([]cobra.Completion, cobra.ShellCompDirective) {
		at := min(len(done), len(args)-1)
		if at < 0 || len(done) >= len(args) && !args[at].Rest {
			return nil, onlyThese
		}
		words := listWords[args[at].Lists]
		if words == nil {
			return nil, onlyThese
		}
		return words(c, done, begun)
	}
}

func folder(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}

func anyFile(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	return nil, orAFile
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

func fixed(list ...string) completer {
	return func(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
		return starting(list, begun), onlyThese
	}
}

// before completes the name of "name=amount" and waits for the amount.
func before(end string, f completer) completer {
	return func(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
		list, _ := f(c, args, begun)
		for i, w := range list {
			name, means, described := strings.Cut(w, "\t")
			list[i] = name + end
			if described {
				list[i] += "\t" + means
			}
		}
		return list, thenMore
	}
}

// listOf completes the last of names with commas between.
func listOf(f completer) completer {
	return func(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
		done, last := "", begun
		if at := strings.LastIndexByte(begun, ','); at >= 0 {
			done, last = begun[:at+1], begun[at+1:]
		}
		list, _ := f(c, args, last)
		for i := range list {
			list[i] = done + list[i]
		}
		return list, thenMore
	}
}

func csvFile(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	return words{"csv"}, cobra.ShellCompDirectiveFilterFileExt
}

func skinWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, k := range skin.Presets() {
		list = append(list, fmt.Sprintf("%s\tITA %.0f°, a stand-in for a reading", k.Name, k.ITA))
	}
	clients, _ := clientWords(c, args, "")
	for _, name := range clients {
		list = append(list, "client:"+name)
	}
	return starting(list, begun), orAFile
}

func lightWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, l := range colour.Illuminants() {
		list = append(list, l.Name+"\t"+l.Plain)
	}
	return starting(list, begun), orAFile
}

func coverageWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, f := range film.Coverages {
		list = append(list, fmt.Sprintf("%s\t%g mg/cm²: %s", f.Name, f.MgPerCM2, skin.AmountWords(f.MgPerCM2)))
	}
	return starting(list, begun), onlyThese
}

func baseWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	bases, err := batch.Builtin()
	if err != nil {
		return nil, orAFile
	}
	var list words
	for _, b := range bases {
		list = append(list, b.Name+"\t"+string(b.Kind))
	}
	return starting(list, begun), orAFile
}

// powderWords lists the powders of the drawer the command line names.
func powderWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	file := ""
	if f := c.Flags().Lookup("drawer"); f != nil {
		file = f.Value.String()
	}
	p, err := (&job.Env{Files: job.Disk}).OpenDrawer(file, film.DefaultIndex)
	if err != nil {
		return nil, onlyThese
	}
	var list words
	for _, g := range p.Pigments {
		list = append(list, g.Name+"\t"+g.Family)
	}
	return starting(list, begun), onlyThese
}

func kindWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, k := range book.Kinds {
		list = append(list, string(k))
	}
	return starting(list, begun), onlyThese
}

// entriesOf lists a kind of the book the command line names; none where there
// is no book.
func entriesOf(c *cobra.Command, kind string) []book.Entry {
	k := job.Book{}
	if f := c.Flags().Lookup("book"); f != nil {
		k.File = f.Value.String()
	}
	ctx := c.Context()
	if ctx == nil {
		ctx = context.Background()
	}
	v, err := k.List(ctx, kind)
	if err != nil {
		return nil
	}
	return v.Records
}

func clientWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, e := range entriesOf(c, string(book.Clients)) {
		list = append(list, e.Title)
	}
	return starting(list, begun), onlyThese
}

func bookPowderWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, e := range entriesOf(c, string(book.Powders)) {
		list = append(list, e.Title+"\t"+e.Says)
	}
	return starting(list, begun), onlyThese
}

// lotWordsOf lists the numbers on the bags.
func lotWordsOf(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	var list words
	for _, e := range entriesOf(c, string(book.Lots)) {
		if powder, lot, ok := strings.Cut(e.Title, ", lot "); ok {
			list = append(list, fmt.Sprintf("%s\t%s, %s", lot, powder, e.Says))
		}
	}
	return starting(list, begun), onlyThese
}

func batchWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	return numbersOf(c, string(book.Batches), begun), onlyThese
}

func numbersOf(c *cobra.Command, kind, begun string) words {
	var list words
	for _, e := range entriesOf(c, kind) {
		list = append(list, fmt.Sprintf("%d\t%s", e.ID, e.Title))
	}
	return starting(list, begun)
}

// recordWordsOf completes a kind and then the number of a record.
func recordWordsOf(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	switch len(args) {
	case 0:
		return kindWords(c, args, begun)
	case 1:
		return numbersOf(c, args[0], begun), onlyThese
	}
	return nil, onlyThese
}

// weighWords completes a batch and then the names on its sheet.
func weighWords(c *cobra.Command, args []string, begun string) (words, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return batchWords(c, args, begun)
	}
	k := job.Book{}
	if f := c.Flags().Lookup("book"); f != nil {
		k.File = f.Value.String()
	}
	v, err := k.Show(c.Context(), string(book.Batches), args[0])
	if err != nil {
		return nil, onlyThese
	}
	var list words
	for _, w := range v.Record.(book.Batch).Weights {
		list = append(list, fmt.Sprintf("%s=\t%.2f g planned", w.Name, w.PlannedG))
	}
	return starting(list, begun), thenMore
}
