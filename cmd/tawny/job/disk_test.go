package job

import (
	"context"
	"errors"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tawny/blend/book"
	"tawny/blend/palette"
)

// Whatever a request names, a job reads it through the files it is lent: lent
// none, it finds nothing, though the file lies on this machine's disk.
func TestJobsReadOnlyWhatTheyAreLent(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	spectrum := func(header, at380, at730 string) string {
		return "wavelength," + header + "\n380," + at380 + "\n730," + at730 + "\n"
	}
	arm := write("arm.csv", "# specular: excluded\n"+spectrum("reflectance", "0.15", "0.55"))
	lamp := write("lamp.csv", spectrum("power", "40", "90"))
	prices := write("prices.csv", "# currency: EUR\nitem,price,per\nbronze,0.3,g\n")
	built, err := palette.Builtin(1.47)
	if err != nil {
		t.Fatal(err)
	}
	bronze, err := built.Find("bronze")
	if err != nil {
		t.Fatal(err)
	}
	row, err := palette.PutRow(nil, bronze, false)
	if err != nil {
		t.Fatal(err)
	}
	drawer := write("drawer.csv", string(row))
	baseText, err := os.ReadFile("../../../blend/batch/bases/everyday-lotion.csv")
	if err != nil {
		t.Fatal(err)
	}
	base := write("base.csv", string(baseText))
	const demo = "../../../testdata/"
	drawdowns, smear := demo+"fit/pale-gold-demo.csv", demo+"photo/smear-demo.jpg"

	for _, c := range []struct{ job, said string }{
		{"match", "target skin:1,2,3 max 1 skin " + arm},
		{"match", "skin tan max 1 target " + arm},
		{"match", "skin tan target skin:1,2,3 max 1 see 45=1@" + arm},
		{"match", "skin tan target skin:1,2,3 max 1 illuminant " + lamp},
		{"match", "skin tan target skin:1,2,3 max 1 second-light " + lamp},
		{"match", "skin tan target skin:1,2,3 max 1 base " + base},
		{"match", "skin tan target skin:1,2,3 max 1 drawer " + drawer},
		{"match", "target skin:1,2,3 max 1 skin lab:60,12,18;" + arm},
		{"match", "target skin:1,2,3 max 1 skin " + demo + "fit/skin-demo.csv#forearm"},
		{"compare", "skin tan target skin:1,6,3 max 1 base " + base},
		{"range", "target skin:1,2,3 max 1 on tan on " + arm},
		{"mend", "skin tan target skin:1,4,5 weighed bronze=4 made 200 reading " + arm},
		{"card", "skin tan part bronze=2 drawer " + demo + "none.csv"},
		{"chart", "part bronze=2 kind load skin " + arm},
		{"batch", "part bronze=2 prices " + prices},
		{"base show", "base " + base},
		{"base check", "base " + base},
		{"skin", "skin " + arm},
		{"drawer", "drawer " + drawer},
		{"drawer show", "drawer " + drawer + " powder bronze"},
		{"drawer add", "name x like gold colour " + arm},
		{"drawer add", "name x like gold photo " + smear + " patch grey-card@30%,9%,8%,13% area 15%,46%,25%,36%"},
		{"flake", "coat rutile:60 on " + arm},
		{"flake", "coat rutile:60 illuminant " + lamp},
		{"read", "file " + drawdowns},
		{"photo", "file " + smear},
		{"photo", "file " + smear + " strip " + demo + "photo/strip-demo.csv@60,40,680,100 area 120,260,200,200"},
		{"fit", "file " + drawdowns},
		{"lot", "file " + demo + "fit/pale-gold-lot-demo.csv"},
		{"book add reading", "client Ada colour " + arm},
		{"book add skin", "name arm colour " + arm},
		{"book add powder", "name bronze drawer " + drawer},
		{"book add photo", "client Ada file " + smear},
		{"book mend-record", "batch 1 add bronze=0.1 measured " + arm},
	} {
		ask := func(files fs.FS) error {
			j := Find(c.job)
			if j == nil {
				t.Fatalf("no job %q", c.job)
			}
			d := NewDoc(j)
			name := ""
			for _, w := range strings.Fields(c.said) {
				if name == "" && d.Field(w) != nil {
					name = w
					continue
				}
				if err := d.Put(name, w); err != nil {
					t.Fatalf("%s: %v", c.said, err)
				}
				name = ""
			}
			env := &Env{Files: files, Now: time.Now, Book: Book{File: filepath.Join(dir, "book.db")}}
			if _, err := env.AddClient(context.Background(), book.Client{Name: "Ada"}); err != nil && !errors.Is(err, ErrInput) {
				t.Fatal(err)
			}
			_, err := d.Do(context.Background(), env)
			return err
		}
		if err := ask(nil); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s, %s: lent no files: %v", c.job, c.said, err)
		}
		if err := ask(Disk); errors.Is(err, fs.ErrNotExist) && !strings.Contains(c.said, "none.csv") {
			t.Errorf("%s, %s: lent the disk: %v", c.job, c.said, err)
		}
	}
}

// Nothing that a job is made of opens a file by itself: the packages below this
// one have what they read handed to them, and here only the disk that a face
// lends, the book's own file and what is written by a command's wish.
func TestOnlyTheDiskOpensFiles(t *testing.T) {
	may := []string{
		"cmd/tawny/job/disk.go", "cmd/tawny/job/files.go", "cmd/tawny/job/screen.go", // screen looks at the terminal
		"cmd/tawny/job/book_open.go", "cmd/tawny/job/book_files.go",
	}
	root := "../../.."
	for _, top := range []string{"colour", "blend", "swatches", "cmd/tawny/job"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, e fs.DirEntry, err error) error {
			name, _ := filepath.Rel(root, path)
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || slices.Contains(may, name) || strings.HasPrefix(name, "blend/book/") || strings.HasPrefix(name, "blend/store/") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil || file.Name.Name == "main" {
				return err
			}
			for _, i := range file.Imports {
				if i.Path.Value == `"os"` {
					t.Errorf("%s imports os", name)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
