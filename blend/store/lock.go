package store

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"
)

// Lock keeps other programs of this user from changing a file between reading
// and writing it. The lock is a file of its own in the user's cache folder, so
// that nothing is left beside hers; it ends with the program.
func Lock(path string) (unlock func(), err error) {
	l, err := lockOf(path, "")
	if err == nil {
		err = l.Lock()
	}
	if err != nil {
		return nil, fmt.Errorf("cannot lock %s: %w", path, Bare(err))
	}
	return func() { l.Unlock() }, nil
}

// Hold says that a file is in use until release is called, or the program
// ends: together with others who use it, or alone. It does not wait: ok is
// false where another's hold stands against it.
func Hold(path string, alone bool) (release func(), ok bool, err error) {
	for {
		l, err := lockOf(path, "in use")
		if err == nil && alone {
			ok, err = l.TryLock()
		} else if err == nil {
			ok, err = l.TryRLock()
		}
		if err != nil || !ok {
			return nil, false, Bare(err)
		}
		// The last to leave takes the lock's file away; one that was taken
		// away meanwhile keeps nobody out.
		mine, err := l.Stat()
		if there, thereErr := os.Stat(l.Path()); err == nil && thereErr == nil && os.SameFile(mine, there) {
			return func() { leave(l) }, true, nil
		}
		l.Close()
	}
}

func leave(l *flock.Flock) {
	if last, err := l.TryLock(); err == nil && last {
		os.Remove(l.Path())
	}
	l.Close()
}

// lockOf is the lock of a kind that goes with a file, symbolic links followed.
func lockOf(path, kind string) (*flock.Flock, error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if to, err := follow(whole); err == nil {
		whole = to
	}
	dir, err := os.UserCacheDir()
	if err == nil {
		dir = filepath.Join(dir, "tawny", "locks")
		err = os.MkdirAll(dir, 0o700)
	}
	if err != nil { // an account without a home
		dir = filepath.Join(os.TempDir(), fmt.Sprintf("tawny-locks-%d", os.Getuid()))
		err = os.MkdirAll(dir, 0o700)
	}
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256([]byte(whole + kind))
	return flock.New(filepath.Join(dir, hex.EncodeToString(sum[:12]))), nil
}
