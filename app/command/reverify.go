package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/changes"
	"bellout/app/textout"
	"bellout/model"
)

func newReverify(console *Console) *cobra.Command {
	var words sidesWords
	cmd := &cobra.Command{
		Use:   "reverify FILE [AFTER]",
		Short: "what must be verified again after a change, and why, as probes",
		Long: `Lists the probes that verify again what a change touched: wires that are new or
moved, wires at a device that was replaced, wires whose proof no longer holds, the
ends of wires that were taken out, nets that must be apart. Each says because of
what. A probe whose answer is in the file since the change is no longer listed.
In the window the bench takes them one by one.

` + sidesHelp,
		Example: `  bellout reverify lock.bellout --from "as found"
  bellout reverify before.bellout after.bellout --json`,
		Args:              wantsOptional("FILE", "AFTER"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			sides, err := words.look(cmd.Context(), "reverify", args)
			if err != nil {
				return err
			}
			again, err := until(cmd.Context(), func() (*changes.Again, error) { return sides.Again(cmd.Context()) })
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(again)
			}
			file := args[len(args)-1]
			return console.print(func(p *textout.Page) { layAgain(p, sides.After, file, again) })
		},
	}
	words.flags(cmd)
	return cmd
}

func layAgain(p *textout.Page, machine *model.Machine, file string, again *changes.Again) {
	if again.Empty() {
		p.Text("Nothing has to be verified again.")
		return
	}
	if again.Live != "" {
		p.Text(p.Paint(textout.Red, again.Live))
		p.Gap()
	}
	if len(again.Checks) > 0 {
		p.Hanging(p.Paint(textout.Yellow, "Caution "), beforeProbing(machine))
		p.Gap()
	}
	isMains := mainsSide(machine)
	for i, check := range again.Checks {
		probe := check.Proposal.Probe
		p.Hanging(p.Paint(textout.Strong, fmt.Sprintf("%-8d", i+1)), "Because "+strings.Join(check.Because, "; ")+".")
		for _, step := range check.Proposal.Prepare {
			p.Hanging("Before  ", sentence(step))
		}
		p.Hanging(p.Paint(textout.Red, "Red     "), whereTo(machine, probe.Red))
		p.Hanging("Black   ", whereTo(machine, probe.Black))
		p.Hanging("Mode    ", string(probe.Mode))
		for _, answer := range check.Proposal.Answers {
			p.Hanging("        ", answer.Shows+": "+answer.Means+".")
		}
		if len(check.Proves) > 0 {
			p.Hanging("Proves  ", strings.Join(check.Proves, ", "))
		}
		if isMains(probe.Red) || isMains(probe.Black) {
			p.Hanging(p.Paint(textout.Yellow, "Caution "), cautionMains)
		}
		p.Hanging("Then    ", logLine(file, probe))
		p.Gap()
	}
	if len(again.Left) > 0 {
		p.Text("To be looked at without the meter: no touch that may be asked for proves these.")
		for _, left := range again.Left {
			p.Hanging("  ", left.What+": "+left.Why+".")
		}
	}
}
