package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/colour"
)

// errUsage marks a command line that cobra could not make sense of.
var errUsage = errors.New("usage")

type usageError struct{ error }

func (usageError) Is(target error) bool { return target == errUsage }

const rootHelp = `tawny blends mica powders and pigments to a shade on a given skin.

Give it a skin, a target, a load and a base; it tries every blend of a few
powders from your drawer and tells which come nearest, what each looks like on
that skin, and how to weigh it.

A colour is written   lab:64.1,11.3,14.4      L*, a*, b* (D65, 2°)
                      lab:64,11,14@A/10/de    under another light
                      lch:64.1,18.3,51.9      lightness, chroma, hue in degrees
                      #b98a6e                 sRGB, as a photo has it
                      reading.csv             wavelength,reflectance
                      readings.csv#wrist      a sample of an instrument's file (tawny read)
                      lab:…; lab:…; lab:…     repeats of one place, averaged
How it was read ends  /di and /de             sphere with and without gloss
                      /45                     45°:0°
                      /photo                  a photo or the eye; without any, /di
A target may also be  skin:3,5,8              the skin, 3 lighter, 5 stronger,
                                              8° turned towards yellow

A number may have its unit after it: --load '4 %', --grams '25 g'.

Exit codes: 0 done, 1 failed, 2 the request makes no sense and nothing was
written, or what was checked is at fault, 3 a fault of tawny itself, 130
interrupted. NO_COLOR turns colour off.`

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:           "tawny",
		Short:         "Blend shimmer pigments to a shade on skin",
		Long:          rootHelp,
		Example:       "  tawny match --demo --out demo\n  tawny match --skin tan --target skin:4,6,10 --load 4 --grams 250 --out gold",
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.ArbitraryArgs,
		RunE:          unknownCommand,
	}
	root.Version = version().String()
	root.SetVersionTemplate("tawny {{.Version}}\n")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		if args := c.Flags().Args(); c == root && len(args) > 0 {
			return unknownCommand(c, args) // the word is the fault, not its flag
		}
		var unknown *pflag.NotExistError
		if errors.As(err, &unknown) && renamedFlags[unknown.GetSpecifiedName()] != "" {
			return usageError{fmt.Errorf("--%s is now --%s", unknown.GetSpecifiedName(), renamedFlags[unknown.GetSpecifiedName()])}
		}
		switch {
		case unknown == nil:
		case unknown.GetSpecifiedName() == "client" && c.Flags().Lookup("skin") != nil:
			return usageError{errors.New("--client is not understood here; --skin client:NAME is accepted")}
		case unknown.GetSpecifiedName() == "skin" && c.CommandPath() == "tawny book add client":
			return usageError{errors.New("--skin is not understood here; tawny book add reading deep --client NAME --new-client adds a client with a skin")}
		}
		hint := ""
		if unknown != nil {
			var names []string
			c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
			if near := colour.NearBy(unknown.GetSpecifiedName(), names); near != "" {
				hint = "; did you mean --" + near + "?"
			}
		}
		return usageError{fmt.Errorf("%w%s; see %s --help", err, hint, c.CommandPath())}
	})
	addJobs(root)
	root.AddCommand(newPage(), newVersion(), newMan())
	return root
}

// Names of the first edition and today's, so that a maker's notes still lead
// somewhere.
var (
	renamedCommands = map[string]string{"palette": "drawer", "correct": "mend", "correct-record": "mend-record"}
	renamedFlags    = map[string]string{"palette": "drawer", "growth": "grow", "grade": "size", "stock": "grams"}
)

func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usageError{fmt.Errorf("%q is not understood here; see %s --help", args[0], c.CommandPath())}
	}
	return nil
}

// unknownCommand shows the help, or names the nearest command to a wrong one.
func unknownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return c.Help()
	}
	if now := renamedCommands[args[0]]; now != "" {
		return usageError{fmt.Errorf("%[1]s %[2]s is now %[1]s %[3]s", c.CommandPath(), args[0], now)}
	}
	hint := ""
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = fmt.Sprintf("; did you mean %q?", near[0])
	}
	return usageError{fmt.Errorf("no command %q%s; see %s --help", args[0], hint, c.CommandPath())}
}
