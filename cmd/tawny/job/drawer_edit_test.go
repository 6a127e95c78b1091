package job

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/film"
)

// What a supplier says goes over what was guessed, and nothing else changes.
func TestDrawerEdit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	for _, name := range []string{"fair gold", "fair bronze"} {
		if _, err := Add(desk, AddInput{Name: name, Like: strings.Fields(name)[1], INCI: "Mica, Titanium Dioxide, Iron Oxides", CI: "77019, 77891, 77491", Drawer: path}); err != nil {
			t.Fatal(err)
		}
	}
	before, err := desk.OpenDrawer(path, film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	edit := func(said map[string]string) (*DrawerEdited, error) {
		said["drawer"] = path
		body, err := json.Marshal(said)
		if err != nil {
			t.Fatal(err)
		}
		d := NewDoc(drawerEditJob)
		if err := d.Read(body); err != nil {
			return nil, err
		}
		r, err := d.Do(context.Background(), desk)
		if err != nil {
			return nil, err
		}
		return r.(*DrawerEdited), nil
	}
	text := func() string {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	was := text()
	for _, bad := range []map[string]string{{"powder": "fair gold", "density": "99"}, {"powder": "fair gold", "areas": "hair"}, {"powder": "fair gold", "inci": "Mica=60;Titanium Dioxide=60"}, {"powder": "nobody's", "density": "3"}} {
		if _, err := edit(bad); err == nil || text() != was {
			t.Errorf("%v: %v, and the drawer is\n%s", bad, err, text())
		}
	}
	if r, err := edit(map[string]string{"powder": "fair gold"}); err != nil || r.Written || r.Says["areas"] == "" || text() != was {
		t.Errorf("with nothing given: %+v, %v", r, err)
	}
	if _, err := edit(map[string]string{"powder": "Fair Gold", "density": "2,91", "oil": "62", "inci": "Mica=60;Titanium Dioxide=40"}); err != nil {
		t.Fatal(err)
	}
	after, err := desk.OpenDrawer(path, film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	gold, old := *after.Pigments[0], before.Pigments[0]
	if gold.Density != 2.91 || gold.OilAbsorption != 62 || gold.INCI[0].Percent != 60 || gold.INCI[0].Estimated {
		t.Errorf("the gold is %+v", gold)
	}
	gold.Density, gold.OilAbsorption, gold.INCI = old.Density, old.OilAbsorption, old.INCI
	if got, want := gold.Row(), old.Row(); strings.Join(got, ",") != strings.Join(want, ",") || after.Pigments[1].Cell("density_g_cm3") != before.Pigments[1].Cell("density_g_cm3") {
		t.Errorf("the rest is %v, not %v", got, want)
	}
}
