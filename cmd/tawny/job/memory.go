package job

import (
	"bytes"
	"io/fs"
	"path"
	"time"
)

// Memory is files that lie on no disk, by name.
type Memory map[string][]byte

// Open opens a file.
func (m Memory) Open(name string) (fs.File, error) {
	data, ok := m[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &memoryFile{bytes.NewReader(data), name}, nil
}

type memoryFile struct {
	*bytes.Reader
	name string
}

func (f *memoryFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f *memoryFile) Close() error               { return nil }
func (f *memoryFile) Name() string               { return path.Base(f.name) }
func (f *memoryFile) Mode() fs.FileMode          { return 0o444 }
func (f *memoryFile) ModTime() time.Time         { return time.Time{} }
func (f *memoryFile) IsDir() bool                { return false }
func (f *memoryFile) Sys() any                   { return nil }
