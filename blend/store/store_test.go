package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A link is followed, the permissions stay, and nothing is left beside.
func TestWriteFollowsAndKeeps(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real.csv"), filepath.Join(dir, "link.csv")
	if err := os.WriteFile(real, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.csv", link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	if err := Write(File{link, []byte("new")}); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 || read(t, real) != "new" {
		t.Errorf("the link is %v, the file %q", info.Mode(), read(t, real))
	}
	if info, _ := os.Stat(real); info.Mode().Perm() != 0o600 {
		t.Errorf("its permissions are %v", info.Mode())
	}
	if list, _ := os.ReadDir(dir); len(list) != 2 {
		t.Errorf("left beside: %v", list)
	}
}

// However a run is ended, at every step, the folder never holds files of two
// runs, and the next run finds all of one.
func TestSetIsNeverMixed(t *testing.T) {
	if os.Getenv("STORE_END_AT") != "" {
		endAtStep(t)
		return
	}
	names := []string{"card.png", "match.json", "sheet.txt"}
	ended := 0
	for step := 1; ; step++ {
		dir := t.TempDir()
		for _, n := range names {
			if err := os.WriteFile(filepath.Join(dir, n), []byte("old "+n), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		linkElsewhere(t, filepath.Join(dir, names[2]))
		c := exec.Command(os.Args[0], "-test.run", "TestSetIsNeverMixed")
		c.Env = append(os.Environ(), fmt.Sprintf("STORE_END_AT=%d", step), "STORE_DIR="+dir)
		err := c.Run()
		seen := map[string]int{}
		for _, n := range names {
			if data, err := os.ReadFile(filepath.Join(dir, n)); err == nil {
				run, _, _ := strings.Cut(string(data), " ")
				seen[run]++
			}
		}
		if len(seen) > 1 {
			t.Errorf("ended at step %d: the folder mixes %v", step, seen)
		}
		if err := settle(dir); err != nil {
			t.Errorf("ended at step %d: %v", step, err)
		}
		first, _, _ := strings.Cut(read(t, filepath.Join(dir, names[0])), " ")
		for _, n := range names {
			if got := read(t, filepath.Join(dir, n)); got != first+" "+n {
				t.Errorf("ended at step %d and settled: %s holds %q", step, n, got)
			}
		}
		if err == nil {
			break // it had no more steps
		}
		ended++
	}
	if ended < 10 {
		t.Errorf("only %d steps", ended)
	}
}

// linkElsewhere moves a file to another folder and leaves a link to it.
func linkElsewhere(t *testing.T, path string) {
	t.Helper()
	real := filepath.Join(t.TempDir(), "elsewhere")
	if err := os.Rename(path, real); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, path); err != nil {
		t.Skip("no symbolic links here:", err)
	}
}

// A list that came with a folder from somebody else leads nowhere outside it.
func TestForeignListIsRefused(t *testing.T) {
	dir, other := t.TempDir(), filepath.Join(t.TempDir(), "hers")
	if err := os.WriteFile(other, []byte("hers"), 0o600); err != nil {
		t.Fatal(err)
	}
	up, err := filepath.Rel(dir, other)
	if err != nil {
		t.Fatal(err)
	}
	for _, list := range []string{
		fmt.Sprintf(`{%q:".tawny-new-x"}`, up), fmt.Sprintf(`{%q:".tawny-new-x"}`, other),
		fmt.Sprintf(`{"card.png":%q}`, up), `{"card.png":"match.json"}`, `{"..":".tawny-new-x"}`, `nothing`,
	} {
		if err := os.WriteFile(filepath.Join(dir, pending), []byte(list), 0o644); err != nil {
			t.Fatal(err)
		}
		os.WriteFile(filepath.Join(dir, Unfinished+"x"), []byte("theirs"), 0o644)
		_, err := WriteSet(dir, File{"card.png", []byte("new")})
		if err == nil || read(t, other) != "hers" {
			t.Errorf("%s: %v; the other file holds %q", list, err, read(t, other))
		}
	}
}

// A set whose disk fails once its files go into place says that some are there.
func TestBegunIsSaid(t *testing.T) {
	defer func() { fault = func(string) error { return nil } }()
	dir := t.TempDir()
	set := []File{{"a", []byte("1")}, {"b", []byte("1")}}
	if _, err := WriteSet(dir, slices.Clone(set)...); err != nil {
		t.Fatal(err)
	}
	for at, want := range map[string]bool{"stage": false, "remove": true, "settled": true} {
		fault = func(step string) error {
			if step == at {
				return errors.New("broken")
			}
			return nil
		}
		if _, err := WriteSet(dir, slices.Clone(set)...); err == nil || errors.Is(err, ErrBegun) != want {
			t.Errorf("failing at %s: %v", at, err)
		}
		fault = func(string) error { return nil }
		if _, err := WriteSet(dir, slices.Clone(set)...); err != nil || read(t, filepath.Join(dir, "a")) != "1" {
			t.Errorf("after failing at %s: %v", at, err)
		}
	}
}

// However the adding of a powder is ended, at every step, the drawer is the old
// one or the new one, and names no spectrum that is not there.
func TestDrawerNamesWhatIsThere(t *testing.T) {
	if os.Getenv("STORE_END_AT") != "" {
		killAtStep()
		dir := os.Getenv("STORE_DIR")
		Write(File{filepath.Join(dir, "gold.csv"), []byte("spectrum")}, File{filepath.Join(dir, "drawer.csv"), []byte("old\ngold.csv\n")})
		return
	}
	ended := 0
	for step := 1; ; step++ {
		dir := t.TempDir()
		drawer := filepath.Join(dir, "drawer.csv")
		if err := os.WriteFile(drawer, []byte("old\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		c := exec.Command(os.Args[0], "-test.run", "TestDrawerNamesWhatIsThere")
		c.Env = append(os.Environ(), fmt.Sprintf("STORE_END_AT=%d", step), "STORE_DIR="+dir)
		err := c.Run()
		switch rows := read(t, drawer); rows {
		case "old\n":
		case "old\ngold.csv\n":
			if read(t, filepath.Join(dir, "gold.csv")) != "spectrum" {
				t.Errorf("ended at step %d: the spectrum is not whole", step)
			}
		default:
			t.Errorf("ended at step %d: the drawer is %q", step, rows)
		}
		if err == nil {
			break // it had no more steps
		}
		ended++
	}
	if ended != 4 {
		t.Errorf("%d steps, want 4: each file staged and renamed", ended)
	}
}

// However the making of a new file is ended, at every step, it is whole or not
// there; what is left goes with the first sweep an hour later.
func TestMadeWholeOrNot(t *testing.T) {
	if os.Getenv("STORE_END_AT") != "" {
		killAtStep()
		Make(filepath.Join(os.Getenv("STORE_DIR"), "book.db"), func(temp string) error { return os.WriteFile(temp, []byte("whole"), 0o600) })
		return
	}
	there := 0
	for step := 1; ; step++ {
		dir := t.TempDir()
		c := exec.Command(os.Args[0], "-test.run", "TestMadeWholeOrNot")
		c.Env = append(os.Environ(), fmt.Sprintf("STORE_END_AT=%d", step), "STORE_DIR="+dir)
		ended := c.Run() != nil
		if data, err := os.ReadFile(filepath.Join(dir, "book.db")); err == nil {
			there++
			if string(data) != "whole" {
				t.Errorf("ended at step %d: %q", step, data)
			}
		}
		left, _ := filepath.Glob(filepath.Join(dir, Unfinished+"*"))
		for _, name := range left {
			old := time.Now().Add(-2 * time.Hour)
			if err := os.Chtimes(name, old, old); err != nil {
				t.Fatal(err)
			}
		}
		if (len(left) > 0) != ended {
			t.Errorf("step %d: left %v", step, left)
		}
		if err := Beside(filepath.Join(dir, "book.db"), func(string) error { return nil }); err != nil {
			t.Fatal(err)
		}
		if left, _ := filepath.Glob(filepath.Join(dir, Unfinished+"*")); len(left) > 0 {
			t.Errorf("step %d: not swept %v", step, left)
		}
		if !ended {
			break
		}
	}
	if there != 2 {
		t.Errorf("it was there %d times, want after the last step and at the end", there)
	}
	// A file that is there stays.
	path := filepath.Join(t.TempDir(), "book.db")
	if err := os.WriteFile(path, []byte("hers"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Make(path, func(string) error { return nil }); !errors.Is(err, fs.ErrExist) || read(t, path) != "hers" {
		t.Errorf("%v, the file holds %q", err, read(t, path))
	}
}

// killAtStep makes this program kill itself at a step.
func killAtStep() {
	var at int
	fmt.Sscan(os.Getenv("STORE_END_AT"), &at)
	fault = func(string) error {
		if at--; at == 0 {
			p, _ := os.FindProcess(os.Getpid())
			p.Kill()
			select {}
		}
		return nil
	}
}

// endAtStep is the program that is ended.
func endAtStep(t *testing.T) {
	killAtStep()
	var files []File
	for _, n := range []string{"card.png", "match.json", "sheet.txt"} {
		files = append(files, File{n, []byte("new " + n)})
	}
	if _, err := WriteSet(os.Getenv("STORE_DIR"), files...); err != nil {
		t.Fatal(err)
	}
}

// A disk that fails at a step fails the write, and the old file stands.
func TestFaultLeavesTheOld(t *testing.T) {
	defer func() { fault = func(string) error { return nil } }()
	broken := errors.New("no space left")
	for _, at := range []string{"stage", "rename"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "drawer.csv")
		if err := os.WriteFile(path, []byte("old"), 0o644); err != nil {
			t.Fatal(err)
		}
		fault = func(step string) error {
			if step == at {
				return broken
			}
			return nil
		}
		if err := Write(File{path, []byte("new")}); !errors.Is(err, broken) || read(t, path) != "old" {
			t.Errorf("%s: %v, the file holds %q", at, err, read(t, path))
		}
		if list, _ := os.ReadDir(dir); len(list) != 1 {
			t.Errorf("%s: left beside: %v", at, list)
		}
	}
}

// Many writers at once lose nothing.
func TestLockedWritersLoseNothing(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "drawer.csv")
	var wg sync.WaitGroup
	for i := range 40 {
		wg.Go(func() {
			unlock, err := Lock(path)
			if err != nil {
				t.Error(err)
				return
			}
			defer unlock()
			data, _ := os.ReadFile(path)
			if err := Write(File{path, fmt.Appendf(data, "%d\n", i)}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if n := strings.Count(read(t, path), "\n"); n != 40 {
		t.Errorf("%d of 40 lines", n)
	}
}
