package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/faults/causes"
	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/wording"
)

// suspectsShown is how many suspects a person sees; --json has them all.
const suspectsShown = 5

func newSuspects(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "suspects FILE",
		Short: "what the failed devices share, ranked",
		Long: `Looks at everything upstream that the failed devices have in common, each thing in
the ways in which it can kill: a supply that fails high, a return that opens now
and then, ripple in a shared return, a coil without a diode, heat. Each suspect is
weighed by the devices that died and by those that live on the same paths, by the
order in time, and by the readings at supplies. What the failed devices share and
no healthy one does stands first: a fuse, a plug, a piece of return, a cable.

Note the health of devices first (column health of devices.csv), and when they
failed. Parts that died and were replaced count too: replace --done keeps them,
history.csv brings older ones. A part that was put in clears only what came after
it. A device that is not on the map clears nobody.`,
		Example: `  bellout suspects lock.bellout
  bellout suspects lock.bellout --json`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			known, err := judged(cmd.Context(), machine)
			if err != nil {
				return err
			}
			ranking, err := until(cmd.Context(), func() (*causes.Ranking, error) {
				return causes.Rank(known.Analysis(), causes.KnownFrom(known), causes.DefaultWeights()), nil
			})
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(ranking)
			}
			return console.print(func(p *textout.Page) { layRanking(p, machine, ranking, known.Report().Proven) })
		},
	}
}

func layRanking(p *textout.Page, machine *model.Machine, ranking *causes.Ranking, proven faults.Proven) {
	if len(ranking.Failed) == 0 {
		p.Text("No device is noted as failed: write failed in the column health of devices.csv, and when in failed_at, then import.")
		return
	}
	p.Text("Failed: " + ranking.FailedText() + ".")
	p.Text(p.Paint(textout.Strong, ranking.Verdict.Words()))
	if ranking.Deaths < 3 && ranking.Verdict == causes.Undecided {
		p.Text("Fewer than three devices failed and no reading decides: that is too little to blame one thing.")
	}
	layShared(p, machine, ranking)
	for at, suspect := range ranking.Suspects {
		if at == suspectsShown {
			p.Gap()
			p.Text(fmt.Sprintf("%s more: --json lists them.", wording.Count(len(ranking.Suspects)-at, "suspect")))
			break
		}
		p.Gap()
		laySuspect(p, at+1, suspect)
	}
	p.Gap()
	layProven(p, proven)
	p.Gap()
	p.Text(beforeProbing(machine))
}

// sharedVerbs say by kind how devices hang on what they share: several, and one.
var sharedVerbs = map[string]string{
	"feed": "hang on", "return": "return over", "earth": "are earthed over", "mains": "have their mains over", "signal": "have a signal over",
	"cable": "run in cable", "zone": "sit in",
}

// layShared says first what the failed devices share, what no healthy one does before
// all else.
func layShared(p *textout.Page, machine *model.Machine, ranking *causes.Ranking) {
	const most, names = 4, 5
	for at, group := range causes.GroupedShared(ranking.Shared) {
		if at == most {
			break
		}
		who := judge.ListText(group.Failed, names)
		if len(group.Failed) == len(ranking.Failed) {
			who = allOf(len(group.Failed))
		}
		also := "no healthy device does"
		if len(group.Healthy) > 0 {
			also = judge.ListText(group.Healthy, 3) + " too, and live"
		}
		elements := strings.Split(group.Element, ", ")
		for i, element := range elements {
			if at := slices.IndexFunc(machine.Links, func(l model.Link) bool { return l.Place() == element }); at >= 0 {
				elements[i] = machine.LinkName(machine.Links[at])
			}
		}
		p.Hanging("", fmt.Sprintf("%s %s %s; %s.", who, sharedVerbs[group.Kind], judge.ListText(elements, names), also))
	}
}

func allOf(count int) string {
	words := []string{"", "", "Both", "All three", "All four", "All five", "All six"}
	if count < len(words) {
		return words[count]
	}
	return fmt.Sprintf("All %d", count)
}

// laySuspect prints a suspect, its heaviest lines for and against, and the
// probe that would settle it.
func laySuspect(p *textout.Page, rank int, suspect causes.Suspect) {
	heading := fmt.Sprintf("%d  %s, %s", rank, suspect.Place, suspect.Mechanism)
	p.Hanging("", p.Paint(textout.Strong, heading)+fmt.Sprintf("  %.1f points, %s of the suspicion given this map", suspect.Points, model.PercentText(suspect.Share)))
	const most = 3
	for _, against := range []bool{false, true} {
		shown := 0
		for _, line := range suspect.Evidence {
			if line.Points == 0 || (line.Points < 0) != against {
				continue
			}
			if shown++; shown > most {
				break
			}
			p.Hanging(fmt.Sprintf("   %+6.1f  ", line.Points), line.Text)
		}
	}
	if suspect.Next != nil {
		p.Hanging("   Measure: ", suspect.Next.Words())
	}
}
