package page

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
)

// asksFor finds the jobs that the page's scripts and templates ask for.
var asksFor = regexp.MustCompile(`job: "([a-z -]+)"|(?:asked|withParts)\("([a-z -]+)"|href="/file/([a-z]+)/`)

// Every job is somewhere on the page, or says that it is for the command line.
func TestWhereEachJobIs(t *testing.T) {
	at := map[string][]string{}
	err := fs.WalkDir(assets, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := assets.ReadFile(path)
		for _, m := range asksFor.FindAllStringSubmatch(string(data), -1) {
			name := m[1] + m[2] + m[3]
			if job.Find(name) == nil {
				t.Errorf("%s asks for a job %q, which there is not", path, name)
			}
			at[name] = append(at[name], strings.TrimPrefix(path, "static/"))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range job.Jobs {
		why, command := byCommand[j.Name]
		switch on := len(at[j.Name]) > 0; {
		case j.New == nil:
		case on && (command || j.Local != ""):
			t.Errorf("%s is on the page (%v) and said to be for the command line", j.Name, at[j.Name])
		case on:
			t.Logf("%-18s %s", j.Name, at[j.Name][0])
		case j.Local != "":
			t.Logf("%-18s command line: %s", j.Name, j.Local)
		case command:
			t.Logf("%-18s command line: %s", j.Name, why)
		default:
			t.Errorf("%s is nowhere on the page", j.Name)
		}
		delete(at, j.Name)
	}
	for name := range byCommand {
		if job.Find(name) == nil {
			t.Errorf("there is no job %s", name)
		}
	}
}

// A box for a number has the limits its field has, and no second ones.
func TestBoxesHaveTheirFieldsLimits(t *testing.T) {
	typed := regexp.MustCompile(`<input id="[a-z-]+" name="([a-z-]+)" type="number"[^>]*>`)
	boxes := 0
	for _, page := range []string{"make", "look", "blend", "keep", "who", "drawer"} {
		data, err := assets.ReadFile("templates/" + page + ".html")
		if err != nil {
			t.Fatal(err)
		}
		for _, box := range typed.FindAllStringSubmatch(string(data), -1) {
			boxes++
			if !strings.Contains(box[0], `" "`+box[1]+`"}}`) {
				t.Errorf("%s.html: %s", page, box[0])
			}
		}
	}
	if boxes < 2 { // those of whole numbers; others are of text, for their commas
		t.Errorf("%d boxes found", boxes)
	}
	if f := rows("batch", "grams")[0]; f.Low != 1 || f.High != 1e6 {
		t.Errorf("grams run from %g to %g", f.Low, f.High)
	}
}
