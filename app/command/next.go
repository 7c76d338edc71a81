package command

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults/nextprobe"
	"bellout/model"
)

const goalHelp = `What it looks for goes by --goal. locate: what may explain readings that surprise,
told apart by the touch that tells most for its trouble; and which part killed
the devices that failed. verify: proves the map with the fewest touches; a beep
between the ends of a chain proves the chain, and what a proof runs into is located
when nothing else is left to prove. map: wires that nobody has written
down, the likeliest partners first. Without --goal it locates what is wrong, then
maps what is missing, then verifies the rest.`

func newNext(console *Console) *cobra.Command {
	var words goalWords
	cmd := &cobra.Command{
		Use:   "next FILE",
		Short: "the probe worth making now, and why",
		Long: `Says where to put the tips now, what each answer would mean, what to unplug or
lift before, and what to mind. Nothing is stored: log stores what the meter
showed, and station does both, probe after probe.

` + goalHelp,
		Example: `  bellout next lock.bellout
  bellout next lock.bellout --goal verify
  bellout next lock.bellout --goal verify --clips
  bellout next lock.bellout --goal map --start J4`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			options, err := words.options()
			if err != nil {
				return fmt.Errorf("next: %w", err)
			}
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			if err := startsIn(machine, options.Start); err != nil {
				return fmt.Errorf("next: %w", err)
			}
			known, err := judged(cmd.Context(), machine)
			if err != nil {
				return err
			}
			proposal, err := proposed(cmd.Context(), nextprobe.New(known, options))
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(proposal)
			}
			return console.print(func(p *textout.Page) { layProposal(p, machine, args[0], proposal) })
		},
	}
	words.flags(cmd)
	return cmd
}

// proposed is the planner's next probe.
func proposed(ctx context.Context, planner *nextprobe.Planner) (nextprobe.Proposal, error) {
	return until(ctx, func() (nextprobe.Proposal, error) { return planner.Next(), nil })
}

// goalWords are --goal, --clips and --start as typed.
type goalWords struct {
	goal  string
	clips bool
	start string
}

func (w *goalWords) flags(cmd *cobra.Command) {
	names := make([]string, len(nextprobe.Goals))
	for i, goal := range nextprobe.Goals {
		names[i] = string(goal)
	}
	cmd.Flags().StringVar(&w.goal, "goal", "", "`GOAL` is "+strings.Join(names, ", ")+" (default by what the machine calls for)")
	cmd.Flags().BoolVar(&w.clips, "clips", false, "there are clip leads: join nets with them, and test many against many")
	cmd.Flags().StringVar(&w.start, "start", "", "mapping begins at `DEVICE`: the connector in front of you (default where the tips are, or at a supply)")
	completeFlag(cmd, "goal", names)
}

func (w *goalWords) options() (nextprobe.Options, error) {
	options := nextprobe.Options{Goal: nextprobe.Goal(w.goal), Looks: true, Clips: w.clips, Start: w.start}
	if w.goal == "" {
		return options, nil
	}
	names := make([]string, len(nextprobe.Goals))
	for i, goal := range nextprobe.Goals {
		if goal == options.Goal {
			return options, nil
		}
		names[i] = string(goal)
	}
	return options, fmt.Errorf("--goal: unknown goal %q; write one of %s", w.goal, strings.Join(names, ", "))
}

// startsIn says where a device to begin at is not in a machine.
func startsIn(machine *model.Machine, start string) error {
	if _, found := machine.Device(start); start != "" && !found {
		return fmt.Errorf("--start: no device %q in the file; write one that bellout nets lists, or leave --start out", start)
	}
	return nil
}

func layProposal(p *textout.Page, machine *model.Machine, file string, proposal nextprobe.Proposal) {
	if proposal.Done {
		p.Text(proposal.Reason)
		return
	}
	if proposal.Ask != nil {
		layAsk(p, machine, file, proposal)
		return
	}
	probe := proposal.Probe
	for _, step := range proposal.Prepare {
		p.Hanging(p.Paint(textout.Strong, "Before  "), sentence(step))
	}
	p.Hanging(p.Paint(textout.Red, "Red     "), whereTo(machine, probe.Red))
	p.Hanging("Black   ", whereTo(machine, probe.Black))
	p.Hanging("Mode    ", string(probe.Mode))
	p.Hanging("Why     ", fmt.Sprintf("%s (%s: %.2g bit)", proposal.Reason, proposal.Goal, proposal.GainBits))
	for _, answer := range proposal.Answers {
		p.Hanging("        ", answer.Shows+": "+answer.Means+".")
	}
	if proposal.Caution != "" {
		p.Hanging(p.Paint(textout.Yellow, "Caution "), proposal.Caution)
	}
	p.Gap()
	p.Text("Then: " + logLine(file, probe))
}

// layAsk prints a device to look at.
func layAsk(p *textout.Page, machine *model.Machine, file string, proposal nextprobe.Proposal) {
	device, _ := machine.Device(proposal.Ask.Device)
	for _, step := range proposal.Prepare {
		p.Hanging(p.Paint(textout.Strong, "Before  "), sentence(step))
	}
	where := []string{}
	for _, part := range []string{device.Title, device.Zone} {
		if part != "" {
			where = append(where, part)
		}
	}
	p.Hanging(p.Paint(textout.Strong, "Look at "), strings.TrimSpace(device.Ref+" "+strings.Join(where, ", ")))
	p.Hanging("Why     ", fmt.Sprintf("%s (%s: %.2g bit)", proposal.Reason, proposal.Goal, proposal.GainBits))
	for _, answer := range proposal.Answers {
		p.Hanging("        ", answer.Shows+": "+answer.Means+".")
	}
	if proposal.Caution != "" {
		p.Hanging(p.Paint(textout.Yellow, "Caution "), proposal.Caution)
	}
	p.Gap()
	line := fmt.Sprintf("bellout symptom %s %s WORD", file, device.Ref)
	if len(proposal.Ask.When) > 0 {
		line += fmt.Sprintf(" --when %q", proposal.Ask.When)
	}
	p.Text("Then: " + line)
}

// whereTo says where a tip goes: the terminal, what it belongs to, and in which
// zone that stands.
func whereTo(machine *model.Machine, ref model.TerminalRef) string {
	device, _ := machine.Device(ref.Device)
	parts := []string{}
	for _, part := range []string{device.Title, device.Zone} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	if len(parts) == 0 {
		return ref.String()
	}
	return ref.String() + " (" + strings.Join(parts, ", ") + ")"
}

// logLine is the command that stores what the probe shows.
func logLine(file string, probe *nextprobe.Probe) string {
	line := fmt.Sprintf("bellout log %s %s %s VALUE", file, probe.Red, probe.Black)
	if live := probe.Mode == model.ModeVoltsDC || probe.Mode == model.ModeVoltsAC; live {
		line += " --mode " + string(probe.Mode)
	}
	if len(probe.Conditions) > 0 {
		line += fmt.Sprintf(" --when %q", probe.Conditions)
	}
	return line
}

// sentence begins a phrase with a capital letter.
func sentence(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}
