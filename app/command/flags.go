package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/graphs"
	"bellout/model"
)

// modeFlag adds --mode to a command that takes these modes.
func modeFlag(cmd *cobra.Command, into *string, modes []model.Mode, byDefault string) {
	words := modeWords(modes)
	cmd.Flags().StringVar(into, "mode", "", "the `MODE` of the meter: "+strings.Join(words, ", ")+" (default "+byDefault+")")
	completeFlag(cmd, "mode", words)
}

func modeWords(modes []model.Mode) []string {
	words := make([]string, len(modes))
	for i, mode := range modes {
		words[i] = string(mode)
	}
	return words
}

// whenFlag adds --when, what differs from the machine at rest.
func whenFlag(cmd *cobra.Command, into *[]string) {
	cmd.Flags().StringArrayVar(into, "when", nil,
		"what `DIFFERS` from the machine at rest, as in \"unplugged J4; lifted W12\"; may stand several times")
	words := make([]string, len(model.ConditionKinds))
	for i, kind := range model.ConditionKinds {
		words[i] = string(kind)
	}
	completeFlag(cmd, "when", words)
}

// readMode reads --mode; empty text is the mode that goes without saying.
func readMode(text string, modes []model.Mode, unsaid model.Mode) (model.Mode, error) {
	mode := model.Mode(text)
	switch {
	case text == "":
		return unsaid, nil
	case slices.Contains(modes, mode):
		return mode, nil
	}
	return "", fmt.Errorf("--mode: unknown mode %q; write one of %s", text, strings.Join(modeWords(modes), ", "))
}

// readConditions reads --when, however often it stands.
func readConditions(machine *model.Machine, when []string) (model.Conditions, error) {
	conditions, err := machine.ParseConditions(strings.Join(when, ";"))
	if err == nil {
		err = graphs.NoneOpensProtective(machine, conditions)
	}
	if err != nil {
		return nil, fmt.Errorf("--when: %w", err)
	}
	return conditions, nil
}

// readTips reads the two terminals that the tips are on.
func readTips(machine *model.Machine, red, black string) (redRef, blackRef model.TerminalRef, err error) {
	if redRef, err = machine.FindTerminal(red); err != nil {
		return redRef, blackRef, fmt.Errorf("RED: %w", err)
	}
	if blackRef, err = machine.FindTerminal(black); err != nil {
		return redRef, blackRef, fmt.Errorf("BLACK: %w", err)
	}
	if redRef == blackRef {
		return redRef, blackRef, fmt.Errorf("BLACK: both tips are on %s; write the other terminal", redRef)
	}
	return redRef, blackRef, nil
}
