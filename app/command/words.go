package command

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bellout/model/wording"
)

// wants takes exactly the arguments that a command's Use line names.
func wants(names ...string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch missing := len(names) - len(args); {
		case missing == 1:
			return fmt.Errorf("%s: %s is missing; write bellout %s", cmd.Name(), names[len(args)], cmd.Use)
		case missing > 1:
			return fmt.Errorf("%s: %s are missing; write bellout %s", cmd.Name(), wording.And(names[len(args):]), cmd.Use)
		case len(args) > len(names):
			return fmt.Errorf("%s: %q is one word too many; write bellout %s, and quote what holds a space", cmd.Name(), args[len(names)], cmd.Use)
		}
		return nil
	}
}

// badFlag says where the right flags stand.
func badFlag(cmd *cobra.Command, err error) error {
	where := cmd.Name() + ": "
	if !cmd.HasParent() {
		where = ""
	}
	if value, is := errors.AsType[*pflag.InvalidValueError](err); is && value.GetFlag().Value.Type() == "bool" {
		err = fmt.Errorf("--%s: %q is neither true nor false; write --%[1]s alone", value.GetFlag().Name, value.GetValue())
	}
	return fmt.Errorf("%s%w; %s --help lists what it takes", where, err, cmd.CommandPath())
}

// minusSign stands for the "-" of a negative number while flags are read: to a
// flag reader -0.3 is the flag 0.
const minusSign = "\u2212"

// shieldNumbers marks the arguments that are negative numbers, so that a
// reading of -0.3 volts needs no "--" before it. Words that belong to a flag
// stay as they are; bare takes the mark off again.
func shieldNumbers(root *cobra.Command, args []string) []string {
	cmd, _, err := root.Find(args)
	if err != nil {
		cmd = root
	}
	shielded := append([]string{}, args...)
	for i := 0; i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			return shielded
		case isNegative(arg):
			shielded[i] = minusSign + arg[1:]
		case strings.HasPrefix(arg, "-") && takesNext(cmd, arg):
			i++
		}
	}
	return shielded
}

func isNegative(arg string) bool {
	return len(arg) > 1 && arg[0] == '-' && (arg[1] == '.' || arg[1] >= '0' && arg[1] <= '9')
}

// takesNext says whether a flag as written takes the next argument as its
// value.
func takesNext(cmd *cobra.Command, arg string) bool {
	name, long := strings.CutPrefix(arg, "--")
	var flag *pflag.Flag
	switch {
	case strings.Contains(arg, "="):
		return false
	case long:
		flag = cmd.Flag(name)
	case len(arg) == 2:
		flag = cmd.Flags().ShorthandLookup(arg[1:])
	}
	return flag != nil && flag.NoOptDefVal == ""
}

// bare takes off the mark of shieldNumbers.
func bare(arg string) string {
	if rest, marked := strings.CutPrefix(arg, minusSign); marked {
		return "-" + rest
	}
	return arg
}
