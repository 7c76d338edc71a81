package bench

import (
	"path/filepath"

	"fyne.io/fyne/v2"

	"bellout/faults/nextprobe"
)

// What the next probe is for is kept beside the window's own settings, by file.
// What holds on the machine itself, the desk keeps in the file.
const keepGoal, keepClips = "bench goal ", "bench clips "

// keptFor is under what name a file's things are kept: its whole path, wherever
// the program was started; empty where no file is open.
func (b *Bench) keptFor() string {
	path := b.desk.View().Path
	if whole, err := filepath.Abs(path); err == nil && path != "" {
		return whole
	}
	return path
}

// bringBack goes on with the goal that this file had when it was open last.
func (b *Bench) bringBack() {
	path := b.keptFor()
	if path == "" || b.draft.kept {
		return
	}
	b.draft.kept = true
	kept := fyne.CurrentApp().Preferences()
	goal, clips := nextprobe.Goal(kept.String(keepGoal+path)), kept.Bool(keepClips+path)
	if goal != b.desk.View().Goal || clips != b.clips() {
		b.room.Memory[clipsMemory] = clips
		b.desk.SetGoal(goal, clips)
	}
}

// keepGoal keeps what the next probe is for.
func (b *Bench) keepGoal(goal nextprobe.Goal) {
	if path := b.keptFor(); path != "" {
		kept := fyne.CurrentApp().Preferences()
		kept.SetString(keepGoal+path, string(goal))
		kept.SetBool(keepClips+path, b.clips())
	}
}
