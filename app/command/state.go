package command

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/model"
	"bellout/model/store"
)

func newState(console *Console) *cobra.Command {
	var forget bool
	cmd := &cobra.Command{
		Use:   "state FILE [NAME]",
		Short: "name the state of the machine as it is now, or list the names",
		Long: `Gives the machine as the file holds it now a name, as found or as repaired, by
which compare and reverify find it again whatever is edited or taken back later.
Without NAME it lists the names and when each was given. A name is no edit of the
map: taking back does not touch it, and --forget takes the name away, no more.`,
		Example: `  bellout state lock.bellout "as found"
  bellout state lock.bellout
  bellout state lock.bellout "as found" --forget`,
		Args: wantsOptional("FILE", "NAME"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			return completeFile(cmd, args, typed)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) == 1 && forget:
				return errors.New("state: --forget: which name? write bellout state FILE NAME --forget")
			case len(args) == 1:
				return listStates(cmd.Context(), args[0], console, wantsJSON(cmd))
			}
			return nameState(cmd.Context(), args[0], args[1], forget, console, wantsJSON(cmd))
		},
	}
	cmd.Flags().BoolVar(&forget, "forget", false, "take the name away; the file keeps what it holds")
	return cmd
}

type stateJSON struct {
	Name string `json:"name"`
	At   string `json:"at"`
}

func listStates(ctx context.Context, path string, console *Console, asJSON bool) error {
	file, err := openFile(ctx, path, store.ReadOnly)
	if err != nil {
		return err
	}
	states, err := file.States()
	if err := errors.Join(err, file.Close()); err != nil {
		return err
	}
	list := make([]stateJSON, len(states))
	for i, s := range states {
		list[i] = stateJSON{s.Name, model.FormatTime(s.At)}
	}
	if asJSON {
		return console.printJSON(struct {
			States []stateJSON `json:"states"`
		}{list})
	}
	return console.print(func(p *textout.Page) {
		if len(states) == 0 {
			p.Text(fmt.Sprintf("No state has a name yet; bellout state %s \"as found\" names the present one.", path))
			return
		}
		rows := make([][]string, len(states))
		for i, s := range states {
			rows[i] = []string{s.Name, s.At.Format(time.RFC3339)}
		}
		p.Table([]textout.Column{{Title: "state", Wrap: true}, {Title: "named"}}, rows)
	})
}

func nameState(ctx context.Context, path, name string, forget bool, console *Console, asJSON bool) error {
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(console.Now))
	if err != nil {
		return err
	}
	said := fmt.Sprintf("The machine as it is now is %q.", name)
	if forget {
		err, said = file.ForgetState(name), fmt.Sprintf("The name %q is gone; the file keeps what it holds.", name)
	} else {
		err = file.NameState(name)
	}
	if err := errors.Join(err, file.Close()); err != nil {
		return fmt.Errorf("state: %w", err)
	}
	if asJSON {
		return console.printJSON(struct {
			State     string `json:"state"`
			Forgotten bool   `json:"forgotten"`
		}{name, forget})
	}
	return console.print(func(p *textout.Page) { p.Text(said) })
}

// wantsOptional takes the first name as an argument that must stand, and the
// second as one that may.
func wantsOptional(name, optional string) cobra.PositionalArgs {
	least, most := wants(name), wants(name, optional)
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < 2 {
			return least(cmd, args)
		}
		return most(cmd, args)
	}
}
