package command

import (
	"context"
	"errors"
	"fmt"
	"image/png"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
)

const rootHelp = `Bellout keeps the map of a machine that you wired yourself, with every reading
of your meter beside it, and says what is wrong with the wiring: rails that meet,
returns that are shared or lost, joints that opened, wires that no fuse protects.
It compares each reading with what the whole network should show, so that a coil
that beeps is not taken for a short.

Start with a folder of CSV files (the README has the format), or with the demo
machine. Then log what the meter shows, and check.

Unplug the machine before you measure ohms. Bellout never says that a circuit is
safe to touch; the mains side is for licensed people.`

const rootExample = `  bellout demo lock.bellout             a machine to play with
  bellout check lock.bellout            what is wrong with it
  bellout import mine.bellout folder    your own machine, from CSV
  bellout nets mine.bellout             what joins what
  bellout log mine.bellout G1:+ F1:1 beep`

// usage is the part of a help below its text: how to write it, examples, and
// flags on lines that fit.
const usage = `Usage:{{if .Runnable}}
  {{.UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{.CommandPath}} COMMAND{{end}}{{if .HasExample}}

Examples:
{{.Example}}{{end}}{{if .HasAvailableSubCommands}}

Commands:{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}

Flags:
{{.LocalFlags.FlagUsagesWrapped 80 | trimTrailingWhitespaces}}{{end}}{{if .HasAvailableInheritedFlags}}

On every command:
{{.InheritedFlags.FlagUsagesWrapped 80 | trimTrailingWhitespaces}}{{end}}{{if .HasAvailableSubCommands}}

{{.CommandPath}} COMMAND --help says more about a command.{{end}}
`

func newRoot(console *Console) *cobra.Command {
	var picture target
	root := &cobra.Command{
		Use:               "bellout [FILE]",
		Short:             "what is wrong with the wiring of a machine that you built",
		Long:              rootHelp,
		Example:           rootExample,
		Version:           version(),
		Args:              cobra.ArbitraryArgs,
		SilenceErrors:     true,
		SilenceUsage:      true,
		DisableAutoGenTag: true,
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runRoot(cmd, args, console, picture)
		},
	}
	root.SuggestionsMinimumDistance = 2 // letters that a mistyped command may be away
	root.SetUsageTemplate(usage)
	root.SetVersionTemplate("bellout {{.Version}}\n")
	root.SetFlagErrorFunc(badFlag)
	root.PersistentFlags().Bool("json", false, "print JSON")
	root.Flags().StringVar(&picture.path, "picture", "", "save a picture of the window in `OUT.png` and do not open it")
	picture.replaceFlag(root)
	root.SetHelpCommand(newHelp())
	root.AddCommand(
		newDemo(console),
		newImport(console),
		newExport(console),
		newNets(console),
		newLog(console),
		newSymptom(console),
		newCheck(console),
		newExpect(console),
		newTrace(console),
		newWhatIf(console),
		newNext(console),
		newStation(console),
		newSuspects(console),
		newState(console),
		newCompare(console),
		newReverify(console),
		newReplace(console),
		newMerge(console),
	)
	addCompletion(root)
	return root
}

// addCompletion adds cobra's scripts for the shells. A shell that it does not
// know is bad input, not a call for help.
func addCompletion(root *cobra.Command) {
	root.InitDefaultCompletionCmd("completion")
	for _, cmd := range root.Commands() {
		if cmd.Name() == "completion" {
			cmd.Short = "the script that completes words in your shell"
			cmd.Args = func(_ *cobra.Command, args []string) error {
				if len(args) > 0 {
					return fmt.Errorf("completion: no shell %q; write bash, zsh, fish or powershell", args[0])
				}
				return nil
			}
			cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
		}
	}
}

// runRoot is bellout without a command: the window, or, where there is no
// display, what check says of a file.
func runRoot(cmd *cobra.Command, args []string, console *Console, picture target) error {
	if picture.replace && picture.path == "" {
		return errors.New("--replace goes with --picture OUT.png; leave it out")
	}
	if len(args) == 0 {
		switch {
		case picture.path != "":
			return errors.New("--picture: of which file? write bellout FILE --picture OUT.png")
		case console.Window != nil:
			if opened, err := console.openWindow(cmd.Context(), ""); opened {
				return err
			}
		}
		return cmd.Help()
	}
	file := bare(args[0])
	if _, err := os.Stat(file); err != nil {
		if near := cmd.SuggestionsFor(file); len(near) > 0 {
			return fmt.Errorf("no command and no file %q; did you mean %s?", file, strings.Join(near, " or "))
		}
		return fmt.Errorf("no command and no file %q; bellout --help lists the commands, bellout demo FILE makes a file", file)
	}
	if len(args) > 1 {
		return fmt.Errorf("%q is a file, and what follows it is one word too many; write the command first, as in bellout check %s", file, file)
	}
	switch {
	case picture.path != "":
		if console.Picture == nil {
			return errors.New("--picture: this program was built without a window")
		}
		if err := picture.check(); err != nil {
			return err
		}
		show, err := console.Picture(cmd.Context(), file)
		if err != nil {
			return err
		}
		if err := picture.write(cmd.Context(), func(to io.Writer) error { return png.Encode(to, show) }); err != nil {
			return err
		}
		return console.print(func(p *textout.Page) { p.Text("The window on " + file + " is in " + picture.path + ".") })
	case console.Window != nil && !wantsJSON(cmd):
		if opened, err := console.openWindow(cmd.Context(), file); opened {
			return err
		}
	}
	return check(cmd.Context(), file, console, wantsJSON(cmd))
}

// openWindow opens the window and waits until it is closed. Where the display
// takes none it says why in one line, and the caller does what it does without a
// display.
func (c *Console) openWindow(ctx context.Context, file string) (opened bool, err error) {
	err = c.Window(ctx, file)
	if !errors.Is(err, ErrNoWindow) {
		return true, err
	}
	_, _ = fmt.Fprintln(c.Err, "bellout: "+oneLine(err.Error()))
	return false, nil
}

// newHelp is `bellout help COMMAND`; an unknown command is bad input.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "help about a command",
		RunE: func(cmd *cobra.Command, args []string) error {
			topic, _, err := cmd.Root().Find(args)
			if err != nil || topic == nil || topic == cmd.Root() && len(args) > 0 {
				return fmt.Errorf("help: no command %q; bellout --help lists them", strings.Join(args, " "))
			}
			topic.InitDefaultHelpFlag()
			return topic.Help()
		},
	}
}

func wantsJSON(cmd *cobra.Command) bool {
	on, err := cmd.Flags().GetBool("json")
	return err == nil && on
}

// version is the module's version, or the commit that it was built from.
func version() string {
	build, known := debug.ReadBuildInfo()
	if !known {
		return "of unknown version"
	}
	text := build.Main.Version
	if text == "" || text == "(devel)" {
		text = "development"
	}
	return text + " (" + build.GoVersion + ")"
}
