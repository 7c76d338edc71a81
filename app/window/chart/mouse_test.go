package chart

import (
	"math"
	"reflect"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/model"
)

func TestAClickPutsTheTips(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Terminal, Name: "X23:1"})
	h.click(h.at(t, session.Selection{Kind: session.Terminal, Name: "X23:1"}), 0)
	h.click(h.at(t, session.Selection{Kind: session.Terminal, Name: "X23:3"}), fyne.KeyModifierShift)
	if red, black := h.desk.Tip(session.Red).String(), h.desk.Tip(session.Black).String(); red != "X23:1" || black != "X23:3" {
		t.Errorf("red is on %q, black on %q; want X23:1 and X23:3", red, black)
	}
}

func TestAClickSelectsAndWhatIsJoinedStandsOut(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Wire, Name: "W206"})
	h.choose(session.Selection{})
	if h.lit.On() {
		t.Fatal("something stands out with nothing selected")
	}
	at, _ := h.scene.Plan.Wire("W206")
	runs := h.scene.Runs(at)
	var where drawing.Point
	most := 0.0
	for i := 1; i < len(runs); i++ {
		if length := math.Abs(runs[i].X-runs[i-1].X) + math.Abs(runs[i].Y-runs[i-1].Y); length > most {
			most, where = length, drawing.Point{X: (runs[i].X + runs[i-1].X) / 2, Y: (runs[i].Y + runs[i-1].Y) / 2}
		}
	}
	w, hgt := h.sheet.extent()
	h.look(h.keep.camera.CentredOn(where, w, hgt))
	p := h.keep.camera.ToScreen(where)
	h.click(fyne.NewPos(float32(p.X), float32(p.Y)), 0)
	if got := h.desk.Selection(); got.Kind != session.Wire || got.Name != "W206" {
		t.Fatalf("selected is %+v, want W206", got)
	}
	if !h.lit.On() || h.lit.Kinds[0] < 2 {
		t.Errorf("%d wires stand out, want those of its net", h.lit.Kinds[0])
	}
	h.click(fyne.NewPos(3, 3), 0)
	h.choose(session.Selection{})
	if h.lit.On() {
		t.Error("a click on the bare sheet should let nothing stand out")
	}
}

func TestTheWheelZoomsAboutThePointer(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	at := fyne.NewPos(300, 200)
	before, scale := h.keep.camera.ToScene(point(at)), h.keep.camera.Scale
	for range 5 {
		h.sheet.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: at}, Scrolled: fyne.NewDelta(0, 25)})
	}
	after := h.keep.camera.ToScene(point(at))
	if math.Abs(before.X-after.X)+math.Abs(before.Y-after.Y) > 1e-6 || h.keep.camera.Scale < 2*scale {
		t.Errorf("from %v at %v to %v at %v", before, scale, after, h.keep.camera.Scale)
	}
}

func (h *house) drag(from, to fyne.Position) {
	h.sheet.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: from}, Button: desktop.MouseButtonPrimary})
	const steps = 5
	dx, dy := (to.X-from.X)/steps, (to.Y-from.Y)/steps
	for i := float32(1); i <= steps; i++ {
		h.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(from.X+i*dx, from.Y+i*dy)}, Dragged: fyne.NewDelta(dx, dy)})
	}
	h.sheet.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: to}, Button: desktop.MouseButtonPrimary})
	h.sheet.DragEnd()
}

func TestADragOnTheSheetPansAndSelectsNothing(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	camera := h.keep.camera
	h.drag(fyne.NewPos(5, 5), fyne.NewPos(105, 55))
	want := camera.Panned(100, 50)
	if math.Abs(h.keep.camera.Origin.X-want.Origin.X)+math.Abs(h.keep.camera.Origin.Y-want.Origin.Y) > 1e-6 {
		t.Errorf("the chart lies at %v, want %v", h.keep.camera.Origin, want.Origin)
	}
	if h.desk.Selection().Kind != session.Nothing || h.keep.whole {
		t.Error("a drag selected something, or the chart would jump back")
	}
}

func TestADraggedBoxStaysWhereItWasPutAndUndoBringsItBack(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "M3"})
	h.choose(session.Selection{})
	box := func() drawing.Box {
		at, _ := h.scene.Plan.Box("M3")
		return h.scene.BoxOf(at)
	}
	before := box()
	from := h.at(t, session.Selection{Kind: session.Device, Name: "M3"})
	h.drag(from, from.Add(fyne.NewPos(float32(64*h.keep.camera.Scale), float32(40*h.keep.camera.Scale))))
	after := box()
	if math.Abs(after.Min.X-before.Min.X-64) > 8 || math.Abs(after.Min.Y-before.Min.Y-40) > 8 {
		t.Errorf("dragged by 64, 40 the box went from %v to %v", before.Min, after.Min)
	}
	row, there := placeOf(h.desk.Machine(), "M3")
	if !there || !row.Pinned {
		t.Fatalf("the file keeps %+v, want a pinned place", row)
	}
	// The place survives that everything is made anew, as when the file is opened again.
	h.memory = map[string]any{}
	h.make(t, true, 900, 600)
	if again := box(); math.Abs(again.Min.X-after.Min.X) > 8 || math.Abs(again.Min.Y-after.Min.Y) > 8 {
		t.Errorf("opened again the box stands at %v, want %v", again.Min, after.Min)
	}
	h.desk.Undo()
	if _, there := placeOf(h.desk.Machine(), "M3"); there {
		t.Error("after undo the file still keeps its place")
	}
}

func TestUndoOfADragBringsTheBoxBack(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "M3"})
	h.choose(session.Selection{})
	at, _ := h.scene.Plan.Box("M3")
	before, plan := h.scene.BoxOf(at), h.scene.Plan
	from := h.at(t, session.Selection{Kind: session.Device, Name: "M3"})
	h.drag(from, from.Add(fyne.NewPos(80, 60)))
	h.desk.Undo()
	if !reflect.DeepEqual(h.scene.Plan, plan) {
		t.Error("after undo the picture is not the one before the drag")
	}
	at, _ = h.scene.Plan.Box("M3")
	if after := h.scene.BoxOf(at); math.Abs(after.Min.X-before.Min.X) > 8 || math.Abs(after.Min.Y-before.Min.Y) > 8 {
		t.Errorf("after undo it stands at %v, before the drag it was %v", after.Min, before.Min)
	}
}

func TestHoverSaysWhatLiesThere(t *testing.T) {
	h := open(t, demoDesk(t), false, 1400, 600)
	h.found(session.Selection{Kind: session.Terminal, Name: "A2:+"})
	h.choose(session.Selection{})
	h.sheet.MouseMoved(mouse(h.at(t, session.Selection{Kind: session.Terminal, Name: "A2:+"})))
	if want := "A2:+ · feed 12 V · net +12V"; len(h.hint.Text) < len(want) || h.hint.Text[:len(want)] != want {
		t.Errorf("the line says %q, want it to begin with %q", h.hint.Text, want)
	}
	if h.sheet.Cursor() != desktop.CrosshairCursor {
		t.Error("no crosshair on a terminal")
	}
	h.sheet.MouseOut()
	if h.sheet.hover.Kind != session.Nothing {
		t.Error("the pointer left, the terminal is still marked")
	}
}

func TestTheOverviewLeadsThere(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "A2"})
	w, hgt := h.sheet.extent()
	if !h.sheet.overview(w, hgt) {
		t.Fatal("no overview though most of the chart is out of sight")
	}
	box, _ := h.scene.OverviewBox(w, hgt)
	h.click(fyne.NewPos(float32(box.Min.X+2), float32((box.Min.Y+box.Max.Y)/2)), 0)
	centre := h.keep.camera.ToScene(drawing.Point{X: w / 2, Y: hgt / 2})
	if bounds := h.scene.Bounds(); centre.X > bounds.Min.X+(bounds.Max.X-bounds.Min.X)/10 {
		t.Errorf("a click on the left of the overview leads to %v in %v", centre, bounds)
	}
	if h.desk.Selection().Name != "A2" {
		t.Error("a click on the overview selected something")
	}
}

// TestAnEditKeepsTheChartInSight: what the plan does not hold yet, or the machine
// not any more, is left out and nothing breaks.
func TestAnEditOfTheMapIsDrawn(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	wire, _ := h.desk.Machine().Wire("W206")
	gone := wire
	gone.Removed = true
	h.desk.Do(model.Edit{What: "out", Changes: []model.Change{{Before: wire, After: gone}}}, func(err error) { check(t, err) })
	if _, there := h.scene.Plan.Wire("W206"); there {
		t.Error("a wire that was taken out is still drawn")
	}
	h.desk.Undo()
	if _, there := h.scene.Plan.Wire("W206"); !there {
		t.Error("after undo it is not drawn")
	}
}

// TestAnotherFileUnderThePointer: what the pointer was over, and what it was
// dragging, is not there any more.
func TestAnotherFileUnderThePointer(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "Z2"}) // the last of the plan's boxes
	from := h.at(t, session.Selection{Kind: session.Device, Name: "Z2"})
	h.sheet.MouseMoved(mouse(from))
	if h.sheet.hover.Kind != session.Device {
		t.Fatalf("over Z2 lies %+v", h.sheet.hover)
	}
	h.sheet.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: from}, Button: desktop.MouseButtonPrimary})
	h.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(30, 30)}, Dragged: fyne.NewDelta(30, 30)})
	h.desk.Open(specimenFile(t), func(err error) { check(t, err) })
	h.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(60, 60)}, Dragged: fyne.NewDelta(30, 30)})
	h.sheet.DragEnd()
	h.window.Canvas().Capture()
	if len(h.desk.Machine().Places) != 0 {
		t.Error("a drag that began on another file moved a box of this one")
	}
	if h.scene == nil || len(h.scene.Plan.Boxes) != len(h.desk.Machine().Devices) {
		t.Error("the other file is not drawn")
	}
}

// TestAPageBesideTheSheetLeavesTheChartLegible: with something selected the chart
// keeps its scale and what is selected stays in sight; without it, all is shown
// again.
func TestAPageBesideTheSheetLeavesTheChartLegible(t *testing.T) {
	h := open(t, demoDesk(t), false, 1000, 600)
	whole := h.keep.camera
	m1 := session.Selection{Kind: session.Device, Name: "M1"} // far on the right
	h.choose(m1)
	h.window.Resize(fyne.NewSize(560, 600))
	if h.keep.camera.Scale < 0.75*whole.Scale {
		t.Errorf("the scale went from %v to %v", whole.Scale, h.keep.camera.Scale)
	}
	w, hgt := h.sheet.extent()
	box, _ := h.scene.Place(m1)
	if !inside(box, h.keep.camera.Seen(w, hgt)) {
		t.Error("what is selected is out of sight")
	}
	h.choose(session.Selection{})
	h.window.Resize(fyne.NewSize(1000, 600))
	if h.keep.camera != whole {
		t.Errorf("with the page gone one looks at %v, before at %v", h.keep.camera, whole)
	}
}

func TestADeviceThatIsBroughtOutAloneKeepsItsWires(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.desk.Select(session.Selection{Kind: session.Device, Name: "J1"})
	want := h.lit.Kinds[0]
	h.desk.SetHighlight(session.Highlight{What: "upstream of J1", Devices: []string{"J1"}})
	if got := h.lit.Kinds[0]; want == 0 || got != want {
		t.Errorf("%d wires stand out, want the %d at J1", got, want)
	}
}

// What is found does not hide under the finder, however tall it is.
func TestWhatIsFoundStandsUnderTheFinder(t *testing.T) {
	h := open(t, demoDesk(t), false, 500, 600)
	h.find()
	h.finder.entry.SetText("A1")
	h.press(fyne.KeyReturn)
	if got := h.desk.Selection().Name; got != "A1" {
		t.Fatalf("found is %q", got)
	}
	box, _ := h.scene.Place(h.desk.Selection())
	top, bottom := h.keep.camera.ToScreen(box.Min).Y, h.keep.camera.ToScreen(box.Max).Y
	finder := float64(h.finder.object.Position().Y + h.finder.object.Size().Height)
	if _, height := h.sheet.extent(); top < finder || bottom > height {
		t.Errorf("A1 stands from %v to %v on a sheet of %v, of which the finder hides %v", top, bottom, height, finder)
	}
}
