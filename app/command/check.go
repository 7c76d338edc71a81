package command

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
	"bellout/model/wording"
)

func newCheck(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE",
		Short: "every finding, and how much of the map is proven",
		Long: `Judges the map and the readings by every rule and prints what it finds, the
worst first: what is wrong and where, how sure that is given this map, and what
to measure next. At the end it says how much of the map the readings prove.

Exits 1 when there is a fault, 0 when there is none, whatever the warnings.`,
		Example: `  bellout check lock.bellout
  bellout check lock.bellout --json`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return check(cmd.Context(), args[0], console, wantsJSON(cmd))
		},
	}
}

func check(ctx context.Context, path string, console *Console, asJSON bool) error {
	machine, err := readMachine(ctx, path)
	if err != nil {
		return err
	}
	known, err := judged(ctx, machine)
	if err != nil {
		return err
	}
	report := known.Report()
	if asJSON {
		err = console.printJSON(report)
	} else {
		err = console.print(func(p *textout.Page) { layReport(p, machine, report) })
	}
	if err == nil && slices.ContainsFunc(report.Findings, func(f faults.Finding) bool { return f.Severity == faults.Fault }) {
		err = errFaultFound
	}
	return err
}

func layReport(p *textout.Page, machine *model.Machine, report *faults.Report) {
	layFindings(p, machine, report.Findings)
	switch {
	case len(report.Findings) > 0:
		p.Text(countFindings(report.Findings))
	case len(machine.Terminals) == 0:
		p.Text("No findings, since the map is empty: bellout import FILE DIR brings devices and wires in.")
	case len(report.Unexplained) > 0:
		p.Text("No findings: nothing on this map breaks a rule.")
	default:
		p.Text("No findings: nothing on this map, nor in its readings, breaks a rule.")
	}
	for _, unexplained := range report.Unexplained {
		p.Text(unexplained.Words)
	}
	layProven(p, report.Proven)
	p.Gap()
	p.Text(beforeProbing(machine))
}

func layProven(p *textout.Page, proven faults.Proven) {
	p.Text(fmt.Sprintf("Proven by readings: %d of %s, %d of %s.",
		proven.Wires, wording.Count(proven.OfWires, "wire"), proven.Separations, wording.Count(proven.OfSeparations, "separation")))
}

// countFindings says how many findings of each severity there are.
func countFindings(findings []faults.Finding) string {
	counts := map[faults.Severity]int{}
	for _, finding := range findings {
		counts[finding.Severity]++
	}
	var parts []string
	for _, severity := range severities {
		if counts[severity] > 0 {
			parts = append(parts, wording.Count(counts[severity], string(severity)))
		}
	}
	return strings.Join(parts, ", ") + "."
}
