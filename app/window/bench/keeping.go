package bench

import (
	"path/filepath"

	"fyne.io/fyne/v2"

	"bellout/faults/probing"
	"bellout/model"
)

// What was done to the machine outlives the program: a plug that is out is still
// out when the laptop ran down. It is no part of the map and no edit, so that it
// is kept beside the window's own settings, by file.
const keepHeld, keepGoal, keepClips = "bench held ", "bench goal ", "bench clips "

// keptFor is under what name a file's things are kept: its whole path, wherever
// the program was started; empty where no file is open.
func (b *Bench) keptFor() string {
	path := b.desk.View().Path
	if whole, err := filepath.Abs(path); err == nil && path != "" {
		return whole
	}
	return path
}

// bringBack asks about the conditions that held when this file was open last,
// and goes on with its goal. What the map does not have any more is left out.
func (b *Bench) bringBack() {
	path := b.keptFor()
	if path == "" || b.draft.kept {
		return
	}
	b.draft.kept = true
	kept := fyne.CurrentApp().Preferences()
	list := model.Conditions{}
	for _, text := range kept.StringList(keepHeld + path) {
		if conditions, err := b.desk.Machine().ParseConditions(text); err == nil {
			list = append(list, conditions...)
		}
	}
	if len(list) > 0 {
		b.desk.BringBack(list)
	}
	goal, clips := probing.Goal(kept.String(keepGoal+path)), kept.Bool(keepClips+path)
	if goal != b.desk.View().Goal || clips != b.clips() {
		b.room.Memory[clipsMemory] = clips
		b.desk.SetGoal(goal, clips)
	}
}

// keep keeps what is changed on the machine, that which is still to be put back
// included.
func (b *Bench) keep() {
	view := b.desk.View()
	if view.Path == "" || view.ReadOnly || !b.draft.kept {
		return
	}
	texts := []string{}
	for _, list := range []model.Conditions{b.desk.Conditions(), b.desk.ToPutBack()} {
		for _, condition := range list {
			texts = append(texts, condition.String())
		}
	}
	fyne.CurrentApp().Preferences().SetStringList(keepHeld+b.keptFor(), texts)
}

// keepGoal keeps what the next probe is for.
func (b *Bench) keepGoal(goal probing.Goal) {
	if path := b.keptFor(); path != "" {
		kept := fyne.CurrentApp().Preferences()
		kept.SetString(keepGoal+path, string(goal))
		kept.SetBool(keepClips+path, b.clips())
	}
}
