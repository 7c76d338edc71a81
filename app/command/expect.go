package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
)

// expectModes are the modes in which a good machine shows something known.
var expectModes = []model.Mode{model.ModeContinuity, model.ModeOhms, model.ModeDiode, model.ModeVoltsDC}

func newExpect(console *Console) *cobra.Command {
	var mode string
	var when []string
	cmd := &cobra.Command{
		Use:   "expect FILE RED BLACK",
		Short: "what a good machine shows there, and through what",
		Long: `Says what the meter shows on these two terminals if the machine is as the map has
it: the resistance of the whole de-energised network between them, wires, coils
and lamps included, leads excluded; with --mode volts-dc the volts of the running
machine.`,
		Example: `  bellout expect lock.bellout G1:+ E1:+
  bellout expect lock.bellout G1:+ G1:- --mode continuity --when "unplugged J4; open S1:1-2"
  bellout expect lock.bellout A1:+ A1:- --mode volts-dc`,
		Args:              wants("FILE", "RED", "BLACK"),
		ValidArgsFunction: completeFrom(2, terminalNames),
		RunE: func(cmd *cobra.Command, args []string) error {
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			expectation, err := until(cmd.Context(), func() (faults.Expectation, error) { return expectFrom(machine, args[1], args[2], mode, when) })
			if err != nil {
				return fmt.Errorf("expect: %w", err)
			}
			if wantsJSON(cmd) {
				return console.printJSON(expectation)
			}
			return console.print(func(p *textout.Page) {
				layExpectation(p, expectation, slices.ContainsFunc(args[1:3], mainsName(machine)))
			})
		},
	}
	modeFlag(cmd, &mode, expectModes, "ohms")
	whenFlag(cmd, &when)
	return cmd
}

func expectFrom(machine *model.Machine, redText, blackText, modeText string, when []string) (faults.Expectation, error) {
	red, black, err := readTips(machine, redText, blackText)
	if err != nil {
		return faults.Expectation{}, err
	}
	mode, err := readMode(modeText, expectModes, model.ModeOhms)
	if err != nil {
		return faults.Expectation{}, err
	}
	conditions, err := readConditions(machine, when)
	if err != nil {
		return faults.Expectation{}, err
	}
	return faults.Expect(machine, red, black, mode, conditions)
}

func layExpectation(p *textout.Page, expectation faults.Expectation, mains bool) {
	if mains {
		p.Text(cautionMains)
	}
	p.Text(expectation.Words + beeps(expectation))
	if len(expectation.Through) > 0 {
		path := make([]string, len(expectation.Through))
		for i, ref := range expectation.Through {
			path[i] = ref.String()
		}
		p.Hanging("Through: ", strings.Join(path, " - "))
	}
}

// beeps says what is heard or shown, in the modes that do not show ohms.
func beeps(expectation faults.Expectation) string {
	switch {
	case expectation.Mode == model.ModeDiode && expectation.Known:
		return " The diode range shows " + expectation.Shows + "."
	case expectation.Mode == model.ModeDiode:
		return " The diode range shows " + expectation.Shows + ", or a junction's 0.2 to 0.8 V where one conducts."
	case expectation.Mode != model.ModeContinuity:
		return ""
	}
	switch expectation.Shows {
	case "beep":
		return " The meter beeps."
	case "silent":
		return " The meter stays silent."
	default:
		return " The meter shows " + expectation.Shows + "."
	}
}
