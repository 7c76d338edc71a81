package window

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// tour is a band above the work with five things to do, one after another. Each
// ends when the person has done it, by whatever key or click.
type tour struct {
	object *fyne.Container
	window *Window
}

// tourStep is one thing to do. began is the window when the step came up.
type tourStep struct {
	do, why string
	done    func(w *Window, began tourMoment) bool
}

// tourMoment is what steps compare with.
type tourMoment struct {
	readings, devices, wires int
	selection                session.Selection
}

func (w *Window) tourMoment() tourMoment {
	machine := w.desk.Machine()
	return tourMoment{len(machine.Readings), len(machine.Devices), len(machine.Wires), w.desk.Selection()}
}

// tourOfFaults is for a machine that is there, as the demo is.
var tourOfFaults = []tourStep{
	{"Press F3: what is wrong, worst first.", "Each finding says what, where and what to do.",
		func(w *Window, _ tourMoment) bool { return w.shown == room.Findings }},
	{"Click a finding, or a device on the chart (F2).", "Of a failed device you see what feeds it, and what it shares with the others that failed.",
		func(w *Window, began tourMoment) bool {
			at := w.desk.Selection()
			return at != began.selection && (at.Kind == session.Device || at.Kind == session.Finding)
		}},
	{"Press F6: the tips stand on the suggested probe.", "Bellout picks the probe that rules out most. Plug out first, and do what it lists.",
		func(w *Window, _ tourMoment) bool { return w.desk.Placed() }},
	{"Type what the meter shows, such as b for a beep or 0.4, and press Enter.", "It is on disk before the answer appears. Ctrl U takes it back.",
		func(w *Window, began tourMoment) bool { return len(w.desk.Machine().Readings) > began.readings }},
	{"Press F5: net list, wire list and drawings on paper.", "They follow the map, so they stay true.",
		func(w *Window, _ tourMoment) bool { return w.shown == room.Sheets }},
}

// tourOfMapping is for a machine of one's own that is empty.
var tourOfMapping = []tourStep{
	{"Add a supply: type G1 supply 24V 5A and press Enter.", "One line a part: name, kind, volts, amps.",
		func(w *Window, began tourMoment) bool { return len(w.desk.Machine().Devices) > began.devices }},
	{"Add what hangs on it: type E1 lamp 24V 0.5A and press Enter.", "A kind brings its terminals with it.",
		func(w *Window, began tourMoment) bool { return len(w.desk.Machine().Devices) > began.devices }},
	{"Join them: type G1:+ E1:+ RD and press Enter.", "A wire is two terminals; colour and gauge are welcome.",
		func(w *Window, began tourMoment) bool { return len(w.desk.Machine().Wires) > began.wires }},
	{"Press F2, then F6: the chart, and the tips on the suggested probe.", "Power off and plug out before you measure ohms.",
		func(w *Window, _ tourMoment) bool { return w.shown == room.Chart && w.desk.Placed() }},
	{"Type what the meter shows, such as b for a beep, and press Enter.", "The wire is proven, or you know where it is not.",
		func(w *Window, began tourMoment) bool { return len(w.desk.Machine().Readings) > began.readings }},
}

// touring is a tour that is under way; it outlives a change of theme.
type touring struct {
	steps []tourStep
	at    int
	began tourMoment
}

const tourMemory = "Window.tour"

var tourKey = keys.CtrlShift(fyne.KeyF1)

func newTour(w *Window) *tour {
	t := &tour{object: container.New(&look.Rows{}), window: w}
	w.keys.Add(keys.Action{Name: "Start or end the tour in five steps", Group: groupWindow, Key: tourKey, Do: t.toggle,
		Able: func() bool { return w.desk.View().Path != "" && !w.desk.View().ReadOnly }})
	w.room.Listen(func(session.Changed) { t.follow() })
	t.show()
	return t
}

func (t *tour) under() *touring {
	under, _ := t.window.memory[tourMemory].(*touring)
	return under
}

func (t *tour) toggle() {
	if t.under() != nil {
		t.end("Tour ended.")
		return
	}
	if t.window.empty {
		t.begin(tourOfMapping)
		t.window.goTo(room.Parts)
		return
	}
	t.begin(tourOfFaults)
}

func (t *tour) begin(steps []tourStep) {
	t.window.memory[tourMemory] = &touring{steps: steps, began: t.window.tourMoment()}
	t.show()
	t.follow()
}

// Tour begins the tour of a machine that is being opened, for whoever starts the
// program for the first time.
func (w *Window) Tour() { w.tour.begin(tourOfFaults) }

func (t *tour) end(says string) {
	delete(t.window.memory, tourMemory)
	t.show()
	t.window.desk.Say(says)
}

// follow goes on where the step was done.
func (t *tour) follow() {
	under := t.under()
	if under == nil || !under.steps[under.at].done(t.window, under.began) {
		return
	}
	under.at++
	under.began = t.window.tourMoment()
	if under.at == len(under.steps) {
		t.end("That was the tour. F1 lists every key.")
		return
	}
	t.show()
}

func (t *tour) show() {
	t.object.RemoveAll()
	if under := t.under(); under != nil {
		t.object.Add(t.band(under))
	}
	t.object.Refresh()
	if frame := t.window.frame; frame != nil {
		frame.Refresh()
	}
}

func (t *tour) band(under *touring) fyne.CanvasObject {
	now, step := look.Now(), under.steps[under.at]
	count := look.Line(fmt.Sprintf("%d of %d", under.at+1, len(under.steps)), now.Accent, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true})
	words := container.New(&look.Rows{Gap: 1},
		look.NewParagraph(step.do, now.Size(theme.SizeNameSubHeadingText), now.Ink, fyne.TextStyle{Bold: true}), look.SoftProse(step.why))
	end := container.NewVBox(look.NewPress("End tour", "", t.toggle))
	body := container.NewBorder(nil, nil, container.NewPadded(container.NewVBox(count)), end, words)
	ground := canvas.NewRectangle(now.Chosen)
	return container.NewStack(ground, container.New(layout.NewCustomPaddedLayout(6, 6, 12, 12), body))
}
