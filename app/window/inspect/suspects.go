package inspect

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults/causes"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// suspectMost is how many suspects are listed.
const suspectMost = 3

// evidenceMost is how many lines for, and how many against, each of them shows.
const evidenceMost = 3

// showSuspects lists what the failed devices share, best first.
func (i *Inspector) showSuspects() {
	ranking := i.upstream.Ranking
	if ranking == nil {
		return
	}
	i.heading("What the failed devices share")
	i.say(fmt.Sprintf("Failed: %s. %s", ranking.FailedText(), ranking.Verdict.Words()))
	for at, suspect := range ranking.Suspects {
		if at == suspectMost {
			break
		}
		i.showSuspect(at, suspect)
	}
}

func (i *Inspector) showSuspect(at int, suspect causes.Suspect) {
	t := look.Now()
	heading := look.Line(fmt.Sprintf("%d  %s, %s", at+1, suspect.Place, suspect.Mechanism), t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true})
	share := look.Line(model.PercentText(suspect.Share), t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true})
	card := []fyne.CanvasObject{container.NewBorder(nil, nil, nil, share, heading)}
	for _, against := range []bool{false, true} {
		shown := 0
		for _, line := range suspect.Evidence {
			if line.Points == 0 || (line.Points < 0) != against {
				continue
			}
			if shown++; shown > evidenceMost {
				break
			}
			points := look.Line(pointsWords(line.Points), t.Soft, theme.SizeNameText, fyne.TextStyle{Monospace: true})
			card = append(card, container.New(&look.Leading{Gap: 10}, points, look.Prose(line.Text)))
		}
	}
	if suspect.Next != nil {
		key := ""
		if at == 0 {
			key = "Ctrl Shift T"
		}
		press := look.NewPress("Take this probe", key, func() { i.take(suspect.Next) })
		press.Primary = at == 0
		card = append(card, look.Prose("Measure: "+suspect.Next.Words()), press)
	}
	i.add(look.Card(card...))
}

// pointsWords is what a line of evidence weighs, as wide whether it has one digit
// before the point or two, so that what is said beside them stands in one line.
func pointsWords(points float64) string { return fmt.Sprintf("%+5.1f", points) }

// settling is the probe of the first suspect; nil if there is none.
func (i *Inspector) settling() *causes.Probe {
	if i.upstream.Ranking == nil || i.shown.Kind != session.Device || len(i.upstream.Ranking.Suspects) == 0 {
		return nil
	}
	return i.upstream.Ranking.Suspects[0].Next
}

func (i *Inspector) takeSettling() {
	if probe := i.settling(); probe != nil {
		i.take(probe)
	}
}

func (i *Inspector) take(probe *causes.Probe) {
	conditions, err := i.room.Session.Machine().ParseConditions(strings.Join(probe.Conditions, ";"))
	if err != nil {
		i.room.Session.Complain(err)
		return
	}
	i.room.Touch(func() {
		i.room.Session.TakeFor(nextprobe.Probe{Red: probe.Red, Black: probe.Black, Mode: probe.Mode, Conditions: conditions},
			"What it shows would settle whether the devices failed of what they share.", probe.Caution())
	})
}
