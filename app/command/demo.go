package command

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/importer"
	"bellout/app/textout"
	"bellout/assets"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

func newDemo(console *Console) *cobra.Command {
	var state string
	cmd := &cobra.Command{
		Use:   "demo FILE",
		Short: "write the demo machine into a new file",
		Long: `Writes Lantern Lock, a working model of a canal lock that travels with an
exhibition, into a new project file: as it was found, with its faults and the
readings that were taken, or as it was after the repair.`,
		Example: `  bellout demo lock.bellout
  bellout demo repaired.bellout --state as-repaired`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			counts, err := writeDemo(cmd.Context(), args[0], state)
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(demoAnswer{File: args[0], State: state, Added: counts.Added})
			}
			return console.print(func(p *textout.Page) {
				p.Text(fmt.Sprintf("%s: Lantern Lock %s. %s", args[0], strings.ReplaceAll(state, "-", " "), counts))
				p.Text(fmt.Sprintf("Next: bellout check %s", args[0]))
			})
		},
	}
	cmd.Flags().StringVar(&state, "state", assets.AsFound, "the `STATE` it comes in: "+strings.Join(assets.DemoStates, " or "))
	completeFlag(cmd, "state", assets.DemoStates)
	return cmd
}

type demoAnswer struct {
	File  string              `json:"file"`
	State string              `json:"state"`
	Added map[model.Table]int `json:"added"`
}

func writeDemo(ctx context.Context, path, state string) (tally, error) {
	if !slices.Contains(assets.DemoStates, state) {
		return tally{}, fmt.Errorf("demo: no state %q; write --state with one of %s", state, strings.Join(assets.DemoStates, ", "))
	}
	content, err := tables.ReadFS(ctx, assets.Demo(state), "the demo machine")
	if err != nil {
		return tally{}, err
	}
	var counts tally
	err = store.Make(path, func(file *store.File) error {
		edit, err := importer.Take(ctx, file, content)
		if err != nil {
			return err
		}
		counts = tallyOf(edit)
		counts.Added[model.TablePhoto]++
		return addDemoPhoto(file)
	})
	return counts, err
}

// WriteDemo writes the demo machine, as it was found, into a new file, for
// whoever starts the program without one.
func WriteDemo(ctx context.Context, path string) error {
	_, err := writeDemo(ctx, path, assets.AsFound)
	return err
}
