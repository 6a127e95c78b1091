package book

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"tawny/blend/store"
)

// The tests here run the test's own program again as another process, told by
// these what to do to which book.
const (
	childDoes = "BOOK_TEST_CHILD"
	childBook = "BOOK_TEST_PATH"
)

func TestMain(m *testing.M) {
	switch does := os.Getenv(childDoes); does {
	case "":
		os.Exit(m.Run())
	default:
		if err := child(does, os.Getenv(childBook)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

// children are what else a process of the tests can be told to do.
var children = map[string]func(ctx context.Context, path string) error{}

// child writes batches named after what it was told, saying the id of each
// once its write has returned: "batches NAME COUNT PAUSE". It says "ready" once
// it has the book open, and begins when told to or when nobody can tell it.
func child(does, path string) error {
	ctx := context.Background()
	if do := children[does]; do != nil {
		return do(ctx, path)
	}
	if step, ok := strings.CutPrefix(does, "restore killed at "); ok {
		return killedRestore(ctx, path, step)
	}
	var name string
	var n int
	var pause time.Duration
	if _, err := fmt.Sscanf(does, "batches %s %d %d", &name, &n, &pause); err != nil {
		return err
	}
	b, err := Open(ctx, path)
	if err != nil {
		return err
	}
	fmt.Println("ready")
	bufio.NewReader(os.Stdin).ReadString('\n')
	for i := range n {
		id, err := Add(ctx, b, smallBatch(fmt.Sprintf("%s %d", name, i)))
		if err != nil {
			return err
		}
		fmt.Println(id)
		time.Sleep(pause)
	}
	return b.Close()
}

func smallBatch(name string) Batch {
	return Batch{Name: name, MadeOn: "2026-03-01", PlannedG: 10, LoadPercent: 5, Weights: []Weight{
		{Role: "powder", Name: "Pale gold demo", PlannedG: 0.5, WeighedG: new(0.5)},
		{Role: "base", Name: "demo oil", PlannedG: 9.5, WeighedG: new(9.5)}}}
}

func startChild(t *testing.T, path, does string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self)
	cmd.Env = append(os.Environ(), childDoes+"="+does, childBook+"="+path)
	return cmd
}

// A process killed in the middle of 1,000 writes loses none that it was told
// had been written, and leaves a sound book. Killed three times over, each time
// a little later after a write, to meet different places in the next one.
func TestKilledInTheMiddleLosesNothing(t *testing.T) {
	t.Parallel()
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no SIGKILL")
	}
	path := filepath.Join(t.TempDir(), "book.db")
	said := map[int64]bool{}
	unsaid := 0
	for round, later := range []time.Duration{0, 300 * time.Microsecond, 700 * time.Microsecond} {
		writeUntilKilled(t, path, 100, later, said)
		b, err := Open(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		entries, err := b.List(t.Context(), Batches)
		if err != nil {
			t.Fatal(err)
		}
		there := map[int64]bool{}
		for _, e := range entries {
			there[e.ID] = true
		}
		for id := range said {
			if !there[id] {
				t.Errorf("round %d: batch %d was said to be written and is lost", round, id)
			}
		}
		// At most one a round was written and killed before it was said.
		if unsaid = len(there) - len(said); unsaid < 0 || unsaid > round+1 {
			t.Errorf("round %d: %d batches, %d said", round, len(there), len(said))
		}
		if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
			t.Errorf("round %d: check after the kill: %v %v", round, found, err)
		}
		b.Close()
	}
	t.Logf("killed 3 times; %d writes said, all there, and %d more", len(said), unsaid)
}

// writeUntilKilled has a process write 1,000 batches and kills it a little
// later than the nth; said gains every one it said was written.
func writeUntilKilled(t *testing.T, path string, n int, later time.Duration, said map[int64]bool) {
	t.Helper()
	cmd := startChild(t, path, "batches killed 1000 0")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	count := 0
	lines := bufio.NewScanner(out)
	lines.Scan() // ready
	for lines.Scan() {
		id, err := strconv.ParseInt(lines.Text(), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		said[id] = true
		if count++; count == n {
			time.Sleep(later)
			// SIGKILL. What it had said by then is in the pipe still, and is
			// read to the end.
			if err := cmd.Process.Kill(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := cmd.Wait(); err == nil || count < n || count >= 1000 {
		t.Fatalf("not killed in the middle: %v after %d writes", err, count)
	}
}

// Two processes write at once, having made the book at once, and each finds
// all of its own.
func TestTwoProcessesAtOnce(t *testing.T) {
	t.Parallel()
	const each = 40
	path := filepath.Join(t.TempDir(), "book.db")
	var wait, ready sync.WaitGroup
	ready.Add(2)
	for _, name := range []string{"left", "right"} {
		cmd := startChild(t, path, fmt.Sprintf("batches %s %d %d", name, each, time.Millisecond))
		begin, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		wait.Go(func() {
			lines := bufio.NewScanner(out)
			lines.Scan()
			ready.Done()
			ready.Wait()
			io.WriteString(begin, "\n")
			said := 0
			for lines.Scan() {
				said++
			}
			if err := cmd.Wait(); err != nil || said != each {
				t.Errorf("%s: said %d, %v", name, said, err)
			}
		})
	}
	ready.Wait()
	start := time.Now()
	wait.Wait()
	took := time.Since(start)
	b, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	entries, err := b.List(t.Context(), Batches)
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	turns, last := 0, ""
	for _, e := range entries {
		name, _, _ := strings.Cut(e.Title, " ")
		count[name]++
		if name != last {
			turns, last = turns+1, name
		}
	}
	if count["left"] != each || count["right"] != each {
		t.Errorf("in the book: %v, want %d of each", count, each)
	}
	// Both were let go at once; how often they take turns is SQLite's and the
	// scheduler's business, and is only told.
	if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
	left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), store.Unfinished+"*"))
	if len(left) > 0 {
		t.Errorf("left behind by making the book: %v", left)
	}
	t.Logf("2 × %d batches in %v, %d turns", each, took, turns)
}

// Several goroutines of one process write at once.
func TestGoroutinesAtOnce(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	var wait sync.WaitGroup
	for g := range 4 {
		wait.Go(func() {
			for i := range 10 {
				if _, err := Add(t.Context(), b, smallBatch(fmt.Sprint(g, i))); err != nil {
					t.Error(err)
				}
				if _, err := b.Stock(t.Context()); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	if entries, err := b.List(t.Context(), Batches); err != nil || len(entries) != 40 {
		t.Errorf("%d batches (%v), want 40", len(entries), err)
	}
}
