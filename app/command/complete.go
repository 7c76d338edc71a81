package command

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/model"
)

// Shell completion: project files first, then what the named file holds. A file
// that cannot be read completes to nothing, the command itself says why.

func completeFile(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []string{"bellout"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeFrom completes the first argument to a project file and the next most
// ones to names that the machine in it holds.
func completeFrom(most int, names func(*model.Machine) []string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(args) == 0 {
			return completeFile(cmd, args, typed)
		}
		machine, err := readMachine(cmd.Context(), args[0])
		if err != nil || len(args) > most {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		fitting := slices.DeleteFunc(names(machine), func(name string) bool { return !strings.HasPrefix(name, typed) })
		slices.SortFunc(fitting, model.Compare)
		return fitting, cobra.ShellCompDirectiveNoFileComp
	}
}

func terminalNames(machine *model.Machine) []string {
	names := make([]string, len(machine.Terminals))
	for i, terminal := range machine.Terminals {
		names[i] = terminal.Ref().String()
	}
	return names
}

func deviceNames(machine *model.Machine) []string {
	names := make([]string, len(machine.Devices))
	for i, device := range machine.Devices {
		names[i] = device.Ref
	}
	return names
}

func wireAndLinkNames(machine *model.Machine) []string {
	var names []string
	for _, wire := range machine.Wires {
		names = append(names, wire.Name)
	}
	for _, link := range machine.Links {
		names = append(names, link.Place())
	}
	return names
}

// completeFlag offers fixed words for a flag.
func completeFlag(cmd *cobra.Command, flag string, words []string) {
	err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	if err != nil {
		panic(err) // the flag is named in this program, nowhere else
	}
}
