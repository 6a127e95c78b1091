package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/cmd/tawny/work"
)

// sharedFlags binds what the jobs share.
type sharedFlags struct {
	in   work.Input
	demo bool
	json bool
	out  string
}

func (f *sharedFlags) bindSkin(fs *pflag.FlagSet) {
	fs.StringVar(&f.in.Skin, "skin", "", "the bare skin: a preset, a colour, a reflectance file, file#sample or client:NAME")
	fs.Float64Var(&f.in.Repeat, "repeat", 0, "how well the skin's reading repeats, ΔE00 (default by its kind)")
	fs.StringVar(&f.in.Illuminant, "illuminant", "D65", "light it is seen in: A, D50, D65, F2, F11, LED-B3, stage, 2700K or a CSV file")
	fs.StringVar(&f.in.Observer, "observer", "2", "standard observer: 2 or 10 degrees")
	fs.StringVar(&f.in.Second, "second-light", "stage", "second light, for the shift between lights")
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
}

func (f *sharedFlags) bindWorn(fs *pflag.FlagSet) {
	fs.StringVar(&f.in.Target, "target", "", "the shade wanted: a colour, a reflectance file or skin:dL,dC,dh")
	fs.StringVar(&f.in.Apply, "apply", "", "how thickly it is worn: sheer, smoothed, full or mg/cm² (default smoothed)")
	fs.Float64Var(&f.in.ApplySpread, "apply-spread", 0, "how much the amount put on varies, in % (default 25)")
	fs.Float64Var(&f.in.Tilt, "tilt", 0, "spread of the flakes' tilt in degrees (default that of the coverage)")
	fs.StringVar(&f.in.Drawer, "drawer", "", "your drawer, a CSV file (default the built-in one)")
	fs.StringVar(&f.in.Base, "base", "", "base the powders go into: its name or a CSV file (default "+work.DefaultBase+")")
	fs.Float64Var(&f.in.Grams, "grams", 0, "size of the batch in grams (default 100)")
	fs.IntVar(&f.in.Containers, "containers", 0, "instead of grams: how many containers")
	fs.Float64Var(&f.in.ML, "ml", 0, "content of one container in ml, with --containers")
	fs.Float64Var(&f.in.Balance, "balance", 0, "smallest step of the balance in grams (default 0.01)")
	fs.StringVar(&f.in.Area, "area", "body", "where it is worn: body, eyes or lips")
	fs.BoolVar(&f.demo, "demo", false, "fill in what is not given from an invented dance company; --skin and --target may name a dancer and a look")
	fs.StringVar(&f.out, "out", "", "folder to write the files into")
}

func (f *sharedFlags) bindMatch(fs *pflag.FlagSet) {
	fs.Float64Var(&f.in.Load, "load", 0, "all powders together, % w/w of the product, exactly (default 3)")
	fs.Float64Var(&f.in.LoadMax, "load-max", 0, "instead of --load: at most this much")
	fs.Float64Var(&f.in.LoadMin, "load-min", 0, "with --load-max: at least this much")
	fs.IntVar(&f.in.Most, "max", 3, "most powders in a blend, 1 to 4")
	fs.IntVar(&f.in.Keep, "keep", 5, "how many blends to report")
	fs.StringSliceVar(&f.in.Only, "only", nil, "choose from these powders only")
	fs.StringSliceVar(&f.in.Without, "without", nil, "leave these powders out")
	fs.StringSliceVar(&f.in.Must, "use", nil, "powders every blend must hold")
	fs.StringSliceVar(&f.in.AtMost, "at-most", nil, "limit a powder: 'pale gold=1.5' (% w/w of the product)")
	fs.StringSliceVar(&f.in.AtLeast, "at-least", nil, "require a powder: 'pale gold=0.5'")
	fs.BoolVar(&f.in.InStock, "in-stock", false, "keep each powder to the grams on hand")
	fs.Float64Var(&f.in.CostMax, "cost-max", 0, "most the powders of 100 g may cost")
	fs.BoolVar(&f.in.BothLights, "both-lights", false, "match under both lights together")
	fs.StringArrayVar(&f.in.See, "see", nil, "directions to match, with weights and perhaps a target each: diffuse=1, 45=0.5, 15=0.3@skin:12,6,8")
}

// input returns the job's input, the demo filled in. A load written as 0 is
// refused here, since 0 in an Input means the default.
func (f *sharedFlags) input(c *cobra.Command) (work.Input, error) {
	if err := noZero(c, "load", "load-max", "max", "grams", "balance", "containers", "ml", "keep", "tilt"); err != nil {
		return f.in, err
	}
	if f.demo {
		return f.in.Demo()
	}
	return f.in, nil
}

// noZero refuses flags given as 0 where 0 would stand for a default.
func noZero(c *cobra.Command, names ...string) error {
	for _, name := range names {
		if flag := c.Flags().Lookup(name); flag != nil && flag.Changed && flag.Value.String() == "0" {
			return usageError{fmt.Errorf("--%s is 0; more than 0 is accepted", name)}
		}
	}
	return nil
}

// answer prints v as JSON where asked, else calls screen.
func (f *sharedFlags) answer(c *cobra.Command, v any, screen func(*screen)) error {
	if f.json {
		return work.WriteJSON(c.OutOrStdout(), v)
	}
	s := newScreen(c.OutOrStdout())
	screen(s)
	return s.err
}
