package bench

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/look"
	"bellout/faults/nextprobe"
)

// goals is the row that says what the next probe is for.
type goals struct {
	bench  *Bench
	object *fyne.Container
	list   []*look.Press
	clips  *look.Press
}

const clipsMemory = "Bench.clips"

// theGoals are those of package probing, after the one that leaves it to the
// machine.
var theGoals = append([]nextprobe.Goal{""}, nextprobe.Locate, nextprobe.Verify, nextprobe.Map)

func newGoals(b *Bench) *goals {
	g := &goals{bench: b, object: container.New(&look.Flow{Gap: 4})}
	high := canvas.NewRectangle(color.Transparent) // of a press, which the cap stands beside
	high.SetMinSize(fyne.NewSize(1, look.NewPress("Map", "", nil).MinSize().Height))
	g.object.Add(container.NewStack(high, container.NewCenter(look.KeyCap("Ctrl G"))))
	for _, goal := range theGoals {
		words, _ := goalWords(goal)
		press := look.NewPress(words, "", b.act(func() { b.setGoal(goal) }))
		g.list = append(g.list, press)
		g.object.Add(press)
	}
	g.clips = look.NewPress("", "Ctrl Shift L", b.act(b.turnClips))
	g.object.Add(g.clips)
	return g
}

func (b *Bench) clips() bool {
	clips, _ := b.room.Memory[clipsMemory].(bool)
	return clips
}

func (b *Bench) setGoal(goal nextprobe.Goal) {
	b.desk.SetGoal(goal, b.clips())
	b.keepGoal(goal)
}

// turnClips says that there are clip leads, or none.
func (b *Bench) turnClips() {
	b.room.Memory[clipsMemory] = !b.clips()
	b.setGoal(b.desk.View().Goal)
	if b.clips() {
		b.panel.say(saidHint, "Clip leads: probes may be proposed for which two terminals are joined by a lead, to test several wires at once.")
		return
	}
	b.panel.say(saidHint, "No clip leads: only probes are proposed that need none.")
}

func (b *Bench) nextGoal() {
	for i, goal := range theGoals {
		if goal == b.desk.View().Goal {
			b.setGoal(theGoals[(i+1)%len(theGoals)])
			return
		}
	}
}

// keyWords are the keys of what there is no room for, in one line.
func (b *Bench) keyWords(alone, presses bool) string {
	goal, _ := goalWords(b.desk.View().Goal)
	clips := "no"
	if b.clips() {
		clips = "yes"
	}
	goal = "Ctrl G goal: " + strings.ToLower(goal)
	switch {
	case alone:
		return "F6 use · F7 skip · F8 swap tips · F9 unplugged · Ctrl U undo · Ctrl R strike out · " + goal + " · Ctrl Shift L clip leads: " + clips + " · Ctrl B back"
	case presses:
		return goal + " · Ctrl Shift L clip leads: " + clips
	}
	return "F6 use · F7 skip · F8 swap · Ctrl U undo · Ctrl G goal"
}

func (g *goals) show() {
	chosen := g.bench.desk.View().Goal
	for i, press := range g.list {
		on := theGoals[i] == chosen
		if press.Chosen != on {
			press.Chosen = on
			press.Refresh()
		}
	}
	words := "Clip leads: no"
	if g.bench.clips() {
		words = "Clip leads: yes"
	}
	if g.clips.Text != words {
		g.clips.Text, g.clips.Chosen = words, g.bench.clips()
		g.clips.Refresh()
	}
	if g.bench.panel != nil {
		g.bench.panel.layAgain() // the line of keys names the goal
	}
}
