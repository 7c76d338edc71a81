package window

import (
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/faults/nextprobe"
)

// lineMemory is where the line that adds a part is kept while the place is made
// anew; whoever sends a person there may put a beginning into it.
const lineMemory = "Parts.line"

// beginning is what the window shows while there is no machine: how to get one.
func (w *Window) beginning() fyne.CanvasObject {
	t := look.Now()
	title, under := "New machine", "Pick a start. You can undo everything."
	if w.desk.View().Path == "" {
		title, under = "No file is open", "Open one, or begin a new one. A machine is one file, with every reading in it."
	}
	list := container.NewVBox(
		look.Line(title, t.Ink, look.SizeBench, fyne.TextStyle{Bold: true}), look.Prose(under), spaced(),
	)
	if w.desk.View().Path == "" {
		list.Add(container.NewHBox(primary(look.NewPress("New file", "Ctrl N", w.askNew)), look.NewPress("Open a file", "Ctrl O", w.askOpen)))
		others := container.NewHBox()
		w.offerDemo(others)
		list.Add(others)
		list.Add(spaced())
		w.addRecent(list)
	} else {
		if what := w.desk.View().Redo; what != "" { // the machine was taken back
			again := look.NewPress("Make again", "Ctrl Y", w.desk.Redo)
			list.Add(container.NewHBox(again, container.NewCenter(look.Caption(what))))
		}
		for _, way := range []struct {
			title, words, press string
			key                 keys.Key
			do                  func()
		}{
			{"From a supply", "Write down one supply and go outward from it: its rails, then what hangs on them.", "Add a supply", supplyKey, w.beginSupply},
			{"From a table", "A folder of CSV files, or a workbook with one sheet a table. All or nothing: if one row is wrong, nothing is changed.", "Import a table", tableKey, w.askImport},
			{"From a connector", "Nothing is written down yet: name one plug and its pins, and the bench says where to put the tips.", "Add a connector", connectorKey, w.beginConnector},
		} {
			list.Add(look.Gap(4))
			list.Add(look.Card(
				look.Line(way.title, t.Accent, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}),
				look.Prose(way.words), container.NewHBox(look.NewPress(way.press, way.key.String(), way.do), layout.NewSpacer()),
			))
		}
		list.Add(look.Gap(4))
		others := container.NewHBox(look.NewPress("Tour in five steps", tourKey.String(), w.tour.toggle))
		w.offerDemo(others)
		list.Add(others)
	}
	return container.New(&column{width: 760}, list)
}

// offerDemo adds the way to the demo machine.
func (w *Window) offerDemo(row *fyne.Container) {
	if w.Demo == nil {
		return
	}
	row.Add(look.NewPress("Look at the demo machine", "", func() {
		path, err := w.Demo()
		if err != nil {
			w.desk.Complain(err)
			return
		}
		w.open(path, w.told)
	}))
}

// The keys of the three ways. S as in supply, T as in table, X as the letter of a
// connector in IEC 81346.
var supplyKey, tableKey, connectorKey = keys.CtrlShift(fyne.KeyS), keys.Ctrl(fyne.KeyT), keys.CtrlShift(fyne.KeyX)

func (w *Window) beginSupply() { w.beginWith("G1 supply ") }

func (w *Window) beginConnector() {
	w.desk.SetGoal(nextprobe.Map, false)
	w.beginWith("J1 plug ")
}

func primary(press *look.Press) *look.Press {
	press.Primary = true
	return press
}

// addRecent lists the files that were open lately.
func (w *Window) addRecent(list *fyne.Container) {
	recent := w.keep.recent()
	if len(recent) == 0 {
		return
	}
	list.Add(look.Line("Recent", look.Now().Soft, theme.SizeNameText, fyne.TextStyle{Bold: true}))
	for _, path := range recent {
		open := look.NewPress(filepath.Base(path), "", func() { w.open(path, w.told) })
		list.Add(container.NewHBox(open, container.NewCenter(look.Caption(filepath.Dir(path)))))
	}
}

// beginWith goes to the parts, with a line begun.
func (w *Window) beginWith(line string) {
	w.memory[lineMemory] = line
	w.goTo(room.Parts)
}

// askImport asks for a folder of tables, or a workbook.
func (w *Window) askImport() {
	start := ""
	if path := w.desk.View().Path; path != "" {
		start = filepath.Dir(path) + string(filepath.Separator)
	}
	w.askPath("Read a folder of CSV files, or a workbook", "Read", start, w.desk.Import, nil)
}
