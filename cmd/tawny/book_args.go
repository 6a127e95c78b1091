package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

// atMostOne refuses all but one word, which may be left out.
func atMostOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return usageError{fmt.Errorf("%q is not understood here; %s takes %s; see %s --help", args[1], c.CommandPath(), what, c.CommandPath())}
		}
		return nil
	}
}

// two wants two words.
func two(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 2 {
			return usageError{fmt.Errorf("%s needs %s, got %d words; put names with spaces in quotes; see %s --help", c.CommandPath(), what, len(args), c.CommandPath())}
		}
		return nil
	}
}

// oneName wants one word, of a name that is likely to have spaces.
func oneName(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 1 {
			return usageError{fmt.Errorf("%s needs %s, got %d words; put names with spaces in quotes; see %s --help", c.CommandPath(), what, len(args), c.CommandPath())}
		}
		return nil
	}
}
