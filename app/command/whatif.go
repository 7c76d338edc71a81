package command

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
	"bellout/model/wording"
)

func newWhatIf(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "whatif FILE WIRE|A:1-2",
		Short: "that wire or link opens: what each device then sees",
		Long: `Opens one wire, or one link as DEVICE:FROM-TO, in the running machine and prints
the volts that each device then has between its feed and its return, the worst
first. A lost return can put the volts of one supply on the devices of another,
reversed: find those joints before they open.

The volts are computed with each load as a resistance and the whole machine on:
drivers on, and contacts that are open at rest closed, except the second throw of
a changeover and a contact that would join nets that must not meet.`,
		Example: `  bellout whatif lock.bellout W12
  bellout whatif lock.bellout F3:1-2`,
		Args:              wants("FILE", "WIRE|A:1-2"),
		ValidArgsFunction: completeFrom(1, wireAndLinkNames),
		RunE: func(cmd *cobra.Command, args []string) error {
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			result, err := until(cmd.Context(), func() (*faults.WhatIfResult, error) { return faults.WhatIf(machine, args[1]) })
			if err != nil {
				return fmt.Errorf("whatif: %w", err)
			}
			if wantsJSON(cmd) {
				return console.printJSON(result)
			}
			return console.print(func(p *textout.Page) { layWhatIf(p, machine, result) })
		},
	}
}

func layWhatIf(p *textout.Page, machine *model.Machine, result *faults.WhatIfResult) {
	if len(result.Sees) == 0 {
		p.Text(fmt.Sprintf("If %s opens, every device keeps its volts.", result.Opened))
		return
	}
	p.Text(fmt.Sprintf("If %s opens, %s:", result.Opened, wording.Count(len(result.Sees), "feed")+" see"+plural(len(result.Sees))+" other volts"))
	p.Gap()
	rows := make([][]string, len(result.Sees))
	for i, seen := range result.Sees {
		device, _ := machine.Device(seen.Device)
		rows[i] = []string{
			p.Paint(severityPaint[seen.Severity], string(seen.Severity)), seen.Terminal, device.Title, voltText(seen.Volt, "floats"), voltText(seen.Rated, "?"), inWords(seen),
		}
	}
	p.Table([]textout.Column{
		{Title: ""}, {Title: "terminal"}, {Title: "device", Wrap: true}, {Title: "sees V", Right: true}, {Title: "made for V", Right: true}, {Title: "", Wrap: true},
	}, rows)
}

func plural(count int) string {
	if count == 1 {
		return "s"
	}
	return ""
}

// inWords says what the numbers mean for the device.
func inWords(seen faults.Seen) string {
	volt, rated := seen.Volt.Value, seen.Rated.Value
	switch {
	case !seen.Volt.Known:
		return "nothing fixes its volts"
	case seen.Severity == faults.Fault && seen.Rated.Known && volt*rated < 0:
		return "reversed"
	case seen.Severity == faults.Fault:
		return "more than it stands"
	case math.Abs(volt) < 0.05*math.Abs(rated):
		return "off"
	case seen.Severity == faults.Warning:
		return "too little"
	default:
		return "within its limits"
	}
}

// voltText shows volts to three digits, as meters do.
func voltText(volts model.Optional, unknown string) string {
	if !volts.Known {
		return unknown
	}
	return model.Figures(volts.Value)
}
