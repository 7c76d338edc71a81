package command

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"bellout/app/changes"
	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
	"bellout/model/store"
)

// sidesWords say which two machines are held against each other: two states of
// one file, or two files.
type sidesWords struct{ from, to string }

func (w *sidesWords) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&w.from, "from", "", "the `STATE` before, as in \"as found\"")
	cmd.Flags().StringVar(&w.to, "to", "", "the `STATE` after (default the machine as it is now)")
}

const sidesHelp = `Either two named states of one file, --from and --to, or two files, the one from
before first; --to left out is the machine as it is now.`

func newCompare(console *Console) *cobra.Command {
	var words sidesWords
	cmd := &cobra.Command{
		Use:   "compare FILE [AFTER]",
		Short: "what differs between two states, or two files",
		Long: `Says what became of the machine: wires added, removed, moved, devices replaced,
readings that no longer hold, findings that went and that came.

` + sidesHelp,
		Example: `  bellout compare lock.bellout --from "as found" --to "as repaired"
  bellout compare lock.bellout --from "as found"
  bellout compare before.bellout after.bellout --json`,
		Args:              wantsOptional("FILE", "AFTER"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			sides, err := words.look(cmd.Context(), "compare", args)
			if err != nil {
				return err
			}
			report := sides.Report()
			if wantsJSON(cmd) {
				return console.printJSON(report)
			}
			return console.print(func(p *textout.Page) { layComparison(p, sides, report) })
		},
	}
	words.flags(cmd)
	return cmd
}

// look reads both sides and judges them.
func (w *sidesWords) look(ctx context.Context, command string, args []string) (*changes.Sides, error) {
	if len(args) == 2 {
		if w.from != "" || w.to != "" {
			return nil, fmt.Errorf("%s: two files are held against each other as they are now; leave --from and --to out, or name one file", command)
		}
		before, err := readMachine(ctx, args[0])
		if err != nil {
			return nil, err
		}
		after, err := readMachine(ctx, args[1])
		if err != nil {
			return nil, err
		}
		return looked(ctx, args[0], before, args[1], after)
	}
	if w.from == "" {
		return nil, fmt.Errorf("%s: --from is missing; write the name of a state (bellout state %s lists them), or name a second file", command, args[0])
	}
	file, err := openFile(ctx, args[0], store.ReadOnly)
	if err != nil {
		return nil, err
	}
	before, err := file.MachineAt(w.from)
	after, to := file.Machine(), "now"
	if err == nil && w.to != "" {
		to = w.to
		after, err = file.MachineAt(w.to)
	}
	if err := errors.Join(err, file.Close()); err != nil {
		return nil, fmt.Errorf("%s: %w", command, err)
	}
	return looked(ctx, w.from, before, to, after)
}

// looked is changes.Look that ends with ctx.
func looked(ctx context.Context, from string, before *model.Machine, to string, after *model.Machine) (*changes.Sides, error) {
	return until(ctx, func() (*changes.Sides, error) { return changes.Look(ctx, from, before, to, after) })
}

// mostShown is how many rows of one group are printed; JSON has all.
const mostShown = 40

// layComparison prints conclusions first, then what was worked on; readings, of
// which a session brings a hundred, are counted, and those named that changed a
// conclusion.
func layComparison(p *textout.Page, sides *changes.Sides, r *changes.Report) {
	p.Text(p.Paint(textout.Strong, r.From+" -> "+r.To))
	if r.Empty() {
		p.Gap()
		p.Text("Nothing differs.")
		return
	}
	layFindingsOf(p, "Findings gone", r.Gone)
	layFindingsOf(p, "Findings new", r.New)
	if len(r.Gone)+len(r.New) == 0 {
		p.Gap()
		p.Text("No finding went, and none came.")
	}
	for _, group := range r.Wiring() {
		p.Gap()
		p.Text(p.Paint(textout.Strong, fmt.Sprintf("%s: %d", group.Title, len(group.Entries))))
		for i, entry := range group.Entries {
			if i == mostShown {
				p.Hanging("  ", fmt.Sprintf("and %d more; --json lists all", len(group.Entries)-mostShown))
				break
			}
			p.Hanging("  ", entry.Words)
		}
	}
	layReadings(p, r.Readings(), sides.Telling(r))
	p.Gap()
	p.Text(fmt.Sprintf("Proven: %d of %d wires, was %d of %d; %d of %d pairs of nets apart, was %d of %d.",
		r.ProvenAfter.Wires, r.ProvenAfter.OfWires, r.ProvenBefore.Wires, r.ProvenBefore.OfWires,
		r.ProvenAfter.Separations, r.ProvenAfter.OfSeparations, r.ProvenBefore.Separations, r.ProvenBefore.OfSeparations))
}

func layReadings(p *textout.Page, groups []changes.Group, telling []changes.Telling) {
	if len(groups) == 0 {
		return
	}
	p.Gap()
	for _, group := range groups {
		p.Text(p.Paint(textout.Strong, fmt.Sprintf("%s: %d", group.Title, len(group.Entries))))
	}
	if len(telling) == 0 {
		p.Text("None of them brought or settled a finding; --json lists them.")
		return
	}
	p.Text("Those that brought or settled a finding; --json lists all:")
	for i, t := range telling {
		if i == mostShown {
			p.Hanging("  ", fmt.Sprintf("and %d more", len(telling)-mostShown))
			break
		}
		p.Hanging("  ", t.Words+": "+t.Why)
	}
}

func layFindingsOf(p *textout.Page, title string, findings []faults.Finding) {
	if len(findings) == 0 {
		return
	}
	p.Gap()
	p.Text(p.Paint(textout.Strong, fmt.Sprintf("%s: %d", title, len(findings))))
	for _, finding := range findings {
		p.Hanging("  ", p.Paint(severityPaint[finding.Severity], finding.Headline)+" ("+ruleWords(finding)+", "+howSure(finding)+")")
	}
}
