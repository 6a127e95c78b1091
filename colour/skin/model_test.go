package skin

import (
	"bytes"
	"errors"
	"strings"
	"testing"
)

func TestModelComesBackFromItsFile(t *testing.T) {
	m := Standard()
	var b bytes.Buffer
	if err := m.Write(&b, "note"); err != nil {
		t.Fatal(err)
	}
	back, err := ReadModel(&b)
	if err != nil {
		t.Fatal(err)
	}
	if back != m {
		t.Error("the model written and read is another")
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestModelWriteFails(t *testing.T) {
	m := Standard()
	if err := m.Write(failing{}, "note"); err == nil {
		t.Error("a failed write was not told")
	}
}

func TestReadModelRefuses(t *testing.T) {
	good := string(modelCSV)
	for name, text := range map[string]string{
		"empty":        "",
		"header":       strings.Replace(good, modelHeader, "wavelength,mean", 1),
		"band missing": good[:strings.LastIndex(strings.TrimSpace(good), "\n")+1],
		"band twice":   strings.Replace(good, "\n390,", "\n380,", 1),
		"band more":    good + "740,0,0,0,0\n",
		"not finite":   strings.Replace(good, "\n390,", "\n390,NaN,0,0,0\n400,", 1),
		"column more":  strings.Replace(good, "\n390,", "\n390,0,", 1),
		"low":          strings.Replace(good, "# low: ", "# low: x", 1),
		"subjects":     strings.Replace(good, "# subjects: ", "# subjects: 1,", 1),
		"hue":          strings.Replace(good, "# hue: ", "# hue: inf,", 1),
	} {
		if _, err := ReadModel(strings.NewReader(text)); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

func FuzzReadModel(f *testing.F) {
	f.Add(modelCSV)
	f.Add([]byte("# low: 1,2,3\nwavelength,mean,c1,c2,c3\n380,1,2,3,4\n"))
	f.Add([]byte("# subjects: 1e300,0,0,0,0,0\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := ReadModel(bytes.NewReader(b))
		if err != nil {
			return
		}
		m.At([3]float64{1, 2, 3}, true)
		m.Hue.At(50)
	})
}
