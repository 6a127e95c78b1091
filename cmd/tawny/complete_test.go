package main

import (
	"slices"
	"strings"
	"testing"
)

// complete asks for completions as a shell's script does.
func complete(t *testing.T, args ...string) (found []string, directive string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(mustRun(t, append([]string{"__complete"}, args...)...)), "\n")
	for _, l := range lines[:len(lines)-1] {
		word, _, _ := strings.Cut(l, "\t")
		found = append(found, word)
	}
	return found, lines[len(lines)-1]
}

func TestCompletion(t *testing.T) {
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2")
	t.Setenv("TAWNY_BOOK", file)
	for _, c := range []struct {
		line string // words with | between
		want []string
	}{
		{"match|--use|PALE", []string{"pale gold"}},
		{"match|--only|bronze,pale", []string{"bronze,pale gold"}},
		{"batch|--part|pale", []string{"pale gold="}},
		{"card|--illuminant|LED-B3", []string{"LED-B3"}},
		{"match|--second-light|stage", []string{"stage"}},
		{"match|--base|Everyday l", []string{"Everyday lotion"}},
		{"base|show|velvet", []string{"Velvet glow oil"}},
		{"match|--skin|ta", []string{"tan"}},
		{"match|--skin|client:", []string{"client:" + bookedDancer}},
		{"match|--apply|sh", []string{"sheer"}},
		{"match|--area|", []string{"body", "eyes", "lips"}},
		{"drawer|show|bronze s", []string{"bronze satin", "bronze sparkle"}},
		{"book|list|ba", []string{"batches"}},
		{"book|show|batch|", []string{"1"}},
		{"book|weigh|1|pale", []string{"pale gold="}},
		{"book|forget|d", []string{bookedDancer}},
		{"book|uses|G", []string{"G-0117", "G-0245"}},
		{"book|again|", []string{"1"}},
		{"book|save|--client|", []string{bookedDancer}},
		{"book|add|reading|lab:1,2,3|--seen|j", []string{"jar"}},
		{"match|--drawer|", []string{"csv"}}, // files of this ending
	} {
		found, directive := complete(t, strings.Split(c.line, "|")...)
		if strings.HasPrefix(c.line, "card") || len(c.want) > 1 {
			slices.Sort(found)
		}
		if !slices.Equal(found, c.want) {
			t.Errorf("%s: %v, want %v", c.line, found, c.want)
		}
		if !strings.HasPrefix(directive, ":") {
			t.Errorf("%s: no directive but %q", c.line, directive)
		}
	}
	// After a name comes its amount, without a space.
	if _, d := complete(t, "batch", "--part", "pale"); d != ":6" {
		t.Errorf("directive %s", d)
	}
	// Where there is no book there is nothing to offer, and none is made.
	t.Setenv("TAWNY_BOOK", t.TempDir()+"/none.db")
	if found, _ := complete(t, "book", "client", ""); len(found) > 0 {
		t.Errorf("clients %v of no book", found)
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		if out := mustRun(t, "completion", shell); !strings.Contains(out, "tawny") {
			t.Errorf("%s: no script", shell)
		}
	}
}

// A name that another program wrote is offered only where it steers no terminal.
func TestCompletionOffersOnlyText(t *testing.T) {
	if got := starting(words{"Ada", "Ad\x1b[2J", "Ad\u202e", "Ad\u009b2J"}, "ad"); !slices.Equal(got, words{"Ada"}) {
		t.Errorf("offered are %q", got)
	}
}
