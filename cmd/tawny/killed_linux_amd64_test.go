package main

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"testing"

	"tawny/blend/book"
	"tawny/blend/store"
	"tawny/colour/parallel"
)

// asTawny makes the tests' own program be tawny, in a process that can be watched.
const asTawny = "TAWNY_TEST_AS_TAWNY"

func TestMain(m *testing.M) {
	if os.Getenv(asTawny) != "" {
		main()
	}
	debug.SetGCPercent(400) // hundreds of commands in one process
	os.Exit(m.Run())
}

// changes are the system calls that change what is on a disk, or see that it is there.
var changes = []uint64{
	syscall.SYS_WRITE, syscall.SYS_PWRITE64, syscall.SYS_WRITEV, syscall.SYS_FSYNC, syscall.SYS_FDATASYNC, syscall.SYS_FTRUNCATE, syscall.SYS_FALLOCATE,
	syscall.SYS_RENAME, syscall.SYS_RENAMEAT, 316 /* renameat2 */, syscall.SYS_LINK, syscall.SYS_LINKAT, syscall.SYS_UNLINK, syscall.SYS_UNLINKAT,
	syscall.SYS_MKDIR, syscall.SYS_MKDIRAT, syscall.SYS_FCHMOD, syscall.SYS_FCHMODAT,
}

// watch runs tawny in a process of its own and calls at before every one of its
// changes, when all of it waits: what the disk holds then is what ending it there
// with SIGKILL would leave, since the kernel keeps what a dead process wrote. It
// returns the exit code.
func watch(t *testing.T, args []string, at func()) int {
	t.Helper()
	runtime.LockOSThread() // a thread traces, not a process
	defer runtime.UnlockOSThread()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	said, err := os.Create(filepath.Join(t.TempDir(), "said"))
	if err != nil {
		t.Fatal(err)
	}
	defer said.Close()
	p, err := os.StartProcess(self, append([]string{"tawny"}, args...), &os.ProcAttr{
		Env: append(os.Environ(), asTawny+"=1"), Files: []*os.File{nil, said, said}, Sys: &syscall.SysProcAttr{Ptrace: true, Setpgid: true},
	})
	if err != nil {
		t.Skip("no process can be traced here:", err)
	}
	var state syscall.WaitStatus
	const exitKill = 0x100000 // PTRACE_O_EXITKILL
	if _, err := syscall.Wait4(p.Pid, &state, 0, nil); err != nil {
		t.Fatal(err)
	}
	if err := syscall.PtraceSetOptions(p.Pid, syscall.PTRACE_O_TRACECLONE|syscall.PTRACE_O_TRACESYSGOOD|exitKill); err != nil {
		t.Fatal(err)
	}
	within := map[int]bool{} // threads in the middle of a call
	for thread, signal := p.Pid, 0; ; signal = 0 {
		syscall.PtraceSyscall(thread, signal) // fails only for one that has ended
		thread, err = syscall.Wait4(-p.Pid, &state, syscall.WALL, nil)
		switch {
		case err == syscall.EINTR:
		case err != nil:
			t.Fatal(err)
		case state.Exited() && thread == p.Pid:
			if state.ExitStatus() != 0 {
				words, _ := os.ReadFile(said.Name())
				t.Logf("tawny %s: %s", strings.Join(args, " "), words)
			}
			return state.ExitStatus()
		case !state.Stopped():
		case state.StopSignal() == syscall.SIGTRAP|0x80:
			within[thread] = !within[thread]
			var r syscall.PtraceRegs
			if within[thread] && syscall.PtraceGetRegs(thread, &r) == nil && slices.Contains(changes, r.Orig_rax) {
				at()
			}
		case state.StopSignal() != syscall.SIGTRAP && state.StopSignal() != syscall.SIGSTOP:
			signal = int(state.StopSignal())
		}
	}
}

// named are a folder's files but those that nobody reads: what is not yet in place
// under its name.
func named(t *testing.T, dir string) map[string]string {
	t.Helper()
	return filesBut(t, dir, func(name string) bool { return strings.HasPrefix(name, store.Unfinished) })
}

// bookIn is what the book at path holds, as an export; empty where there is none. It
// opens and is sound.
func bookIn(t *testing.T, path string) string {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		return ""
	}
	b, err := book.Open(t.Context(), path)
	if err != nil {
		t.Error(err)
		return ""
	}
	defer b.Close()
	if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("%v %v", err, found)
	}
	var out bytes.Buffer
	if _, err := b.ExportJSON(t.Context(), &out, book.ExportOptions{Clients: true}); err != nil {
		t.Error(err)
	}
	return out.String()
}

// A command ended at any step that it takes on the disk leaves a book that opens and
// is sound and has all of what was asked or nothing; files written beside it are
// whole, or not there under their names.
func TestCommandsEndedAtEveryStep(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	start := t.TempDir()
	in := func(dir string) string { return filepath.Join(dir, "book.db") }
	run := func(args ...string) { mustRun(t, append(args, "--book", in(start))...) }
	run("book", "add", "lot", "G-0117", "--powder", "pale gold", "--grams", "50")
	run("book", "add", "client", bookedDancer)
	run("book", "add", "reading", "lab:64.1,11.3,14.4", "--client", bookedDancer)
	run("book", "backup", filepath.Join(start, "old.db"))
	run("book", "save", "--client", bookedDancer, "--part", "pale gold=2", "--title", "Ada's gold (demo)", "--grams", "100")
	run("book", "export", filepath.Join(start, "whole.json"), "--clients")
	before := contents(t, start)

	for _, c := range []struct {
		says    string
		new     bool   // the book is a new one
		file    string // what is written beside the book
		nothing bool   // the book's records stay as they are
		gone    string // is in no byte of the book and its backups once it is done
	}{
		{says: "book add client Bel", new: true},
		{says: "book add lot B-9 --powder bronze --grams 20"},
		{says: "book save --skin tan --part bronze=2 --grams 50 --out DIR/out", file: "out"},
		{says: "book weigh 1 --as-planned --made 99"},
		{says: "book forget 1 --yes", gone: "Ada"},
		{says: "book restore DIR/old.db"},
		{says: "book backup DIR/new.db", file: "new.db", nothing: true},
		{says: "book export DIR/csv --clients", file: "csv", nothing: true},
		{says: "book import DIR/whole.json", new: true},
		{says: "book delete batch 1 --yes"},
	} {
		t.Run(strings.ReplaceAll(c.says, "DIR/", ""), func(t *testing.T) {
			dir := t.TempDir()
			put := func(to string, files map[string]string, from string) {
				for name, data := range files {
					name = filepath.Join(to, strings.TrimPrefix(name, from))
					if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
						t.Error(err)
					}
					if err := os.WriteFile(name, []byte(data), 0o600); err != nil {
						t.Error(err)
					}
				}
			}
			put(dir, before, start)
			if c.new {
				os.Remove(in(dir))
			}
			states := []map[string]string{contents(t, dir)}
			steps, last := 0, named(t, dir)
			take := func() {
				if now := named(t, dir); !maps.Equal(now, last) {
					states, last = append(states, contents(t, dir)), now
				}
				steps++
			}
			args := strings.Fields(strings.ReplaceAll(c.says, "DIR", dir) + " --book " + in(dir))
			if code := watch(t, args, take); code != 0 {
				t.Fatalf("exit %d", code)
			}
			take()
			beside := func(state map[string]string) map[string]string {
				files := maps.Clone(state)
				maps.DeleteFunc(files, func(name, _ string) bool {
					return c.file == "" || !strings.HasPrefix(name, filepath.Join(dir, c.file)) || strings.Contains(name, "/.tawny-")
				})
				return files
			}
			after := beside(states[len(states)-1])
			old, done := bookIn(t, in(dir)+"none"), bookIn(t, in(dir))
			if !c.new {
				old = bookIn(t, in(start))
			}
			if (old == done) != c.nothing || c.file != "" && len(after) == 0 {
				t.Fatal("it did nothing, or changed what it should not")
			}
			parallel.For(0, len(states), func(n int) {
				state := states[n]
				there := t.TempDir()
				put(there, state, dir)
				defer os.RemoveAll(there)
				empty := c.new && strings.Count(bookIn(t, in(there)), `{"id"`) == 0
				if got := bookIn(t, in(there)); got != old && got != done && !empty {
					t.Errorf("after step %d the book is neither as it was nor as it is to be:\n%.300s", n, got)
				} else if c.gone != "" && got == done {
					for name, data := range contents(t, there) {
						if strings.HasPrefix(name, in(there)) && strings.Contains(data, c.gone) {
							t.Errorf("after step %d, and the next opening, %s has %s still", n, name, c.gone)
						}
					}
				}
				for name, data := range beside(state) {
					if data != after[name] {
						t.Errorf("after step %d %s is not whole", n, name)
					}
				}
			})
			t.Logf("%d steps, %d of them with a disk of their own", steps, len(states))
			if steps < 8 {
				t.Error("so few steps cannot be all")
			}
		})
	}
}
