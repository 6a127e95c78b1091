package job

import (
	"cmp"
	"strings"

	"tawny/colour/skin"
	"tawny/testdata/demo"
)

// Demo fills in what is not given from the invented dance company: its first
// dancer and first look, or those named as skin and target.
func (in Input) Demo() (Input, error) {
	dancer, look := demo.Dancers()[0], demo.Looks()[0]
	if d, ok := demo.FindDancer(in.Skin); ok {
		dancer, in.Skin = d, ""
	}
	if l, ok := demo.FindLook(in.Target); ok {
		look, in.Target = l, ""
	}
	if in.Skin != "" && !strings.ContainsAny(in.Skin, ":#./") {
		if _, err := skin.Find(in.Skin); err != nil {
			return in, inputf("no dancer or preset is called %q; the demo's dancers are %s", in.Skin, listed(demo.Dancers(), ", ", func(d demo.Dancer) string { return d.Name }))
		}
	}
	if in.Skin == "" {
		in.Skin = dancer.Skin
		if in.Title == "" { // a title of one's own is not for her
			in.demoDancer = dancer.Name
		}
	}
	if in.Target == "" {
		in.Target = look.Target
		in.demoLook = look.Name
	}
	if in.Load == 0 && in.LoadMax == 0 {
		in.Load = look.Load
	}
	in.Apply, in.Base = orElse(in.Apply, trimNumber(look.Apply)), orElse(in.Base, look.Base)
	if in.Grams == 0 && in.Containers == 0 {
		in.Grams = look.Grams
	}
	in.Balance = cmp.Or(in.Balance, look.BalanceG)
	return in, nil
}

// DemoTitle names a demo job, or "".
func (in Input) DemoTitle() string {
	return strings.TrimSpace(in.demoLook + around(" for ", in.demoDancer, ""))
}

// note is the line under a card's title.
func (in Input) note() string {
	if in.demoDancer != "" || in.demoLook != "" {
		return "demo: invented dancer and look, modelled powders"
	}
	return ""
}

// on is the input for one of several skins, of the demo's dancers one by name.
func (in Input) on(name string) Input {
	in.Skin, in.demoDancer = name, ""
	if d, ok := demo.FindDancer(name); ok && in.demo {
		in.Skin, in.demoDancer = d.Skin, d.Name
	}
	return in
}
