package chart

import (
	"reflect"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/graphs/layout"
	"bellout/model"

	"pgregory.net/rapid"
)

// What is taken back leaves no trace: a drag and its undo, a device that is added
// and taken away again, in whatever order and depth, show the picture that was
// there before, to the last corner of a wire.
func TestWhatIsTakenBackLeavesNoTrace(t *testing.T) {
	h := open(t, specimenDesk(t), false, 900, 600)
	moved := 0
	rapid.Check(t, func(t *rapid.T) {
		var before []*layout.Plan
		for range rapid.IntRange(1, 4).Draw(t, "edits") {
			before = append(before, h.scene.Plan)
			if rapid.Bool().Draw(t, "drag") {
				box := rapid.IntRange(0, len(h.scene.Plan.Boxes)-1).Draw(t, "box")
				by := rapid.SampledFrom([]float64{-240, -64, 64, 400})
				from := h.scene.Plan.Boxes[box]
				h.put(box, point(fyne.NewPos(float32(by.Draw(t, "right")), float32(by.Draw(t, "down")))))
				at, _ := h.scene.Plan.Box(from.Device)
				if h.scene.Plan.Boxes[at].Min != from.Min {
					moved++
				}
				continue
			}
			ref := "T9" + string(rune('0'+len(before)))
			h.desk.Do(model.Edit{What: "another lamp", Changes: []model.Change{
				{After: model.Device{Ref: ref, Kind: model.KindLamp, Health: model.HealthOK}},
				{After: model.Terminal{Device: ref, Mark: "1", Role: model.RolePass}},
				{After: model.Wire{Name: "W9" + ref, From: model.TerminalRef{Device: ref, Mark: "1"}, To: model.TerminalRef{Device: "G1", Mark: "+"}, Basis: model.BasisSeen}},
			}}, func(err error) {
				if err != nil {
					t.Fatal(err)
				}
			})
			if _, there := h.scene.Plan.Box(ref); !there {
				t.Fatal("what was added is not drawn")
			}
		}
		for i := len(before) - 1; i >= 0; i-- {
			h.desk.Undo()
			if !reflect.DeepEqual(h.scene.Plan, before[i]) {
				t.Fatalf("%d edits taken back, the picture is not the one before", len(before)-i)
			}
		}
	})
	if moved == 0 {
		t.Fatal("no drag moved a box")
	}
}

// From afar a box is hardly more than its terminals, over which it is dragged all
// the same; and a drag that is under way when a new plan comes goes on.
func TestADragOnATerminalMovesItsBox(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	terminal := session.Selection{Kind: session.Terminal, Name: "M3:1"}
	from := h.at(t, terminal)
	if hit := h.sheet.under(point(from)); hit.Kind == session.Nothing {
		t.Fatalf("under the pointer lies %+v", hit)
	}
	h.drag(from, from.AddXY(40, 30))
	if row, there := placeOf(h.desk.Machine(), "M3"); !there || !row.Pinned || !h.keep.whole {
		t.Errorf("a drag on a terminal of M3 left %+v; the chart was panned: %v", row, !h.keep.whole)
	}
}

func TestADragGoesOnWhenAnotherPlanComes(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "M3"})
	h.choose(session.Selection{})
	from := h.at(t, session.Selection{Kind: session.Device, Name: "M3"})
	camera := h.keep.camera
	step := func(x float32) {
		h.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(x, 0)}, Dragged: fyne.NewDelta(20, 0)})
	}
	h.sheet.MouseDown(button(from))
	h.desk.Do(model.Edit{What: "a plan", Changes: []model.Change{{After: model.Device{Ref: "Z99", Kind: model.KindLamp, Health: model.HealthOK}}}}, func(err error) { check(t, err) })
	step(20)
	step(40)
	h.sheet.MouseUp(button(from.AddXY(40, 0)))
	h.sheet.DragEnd()
	if row, there := placeOf(h.desk.Machine(), "M3"); !there || !row.Pinned {
		t.Error("the box stayed where it was")
	}
	if h.keep.camera != camera {
		t.Errorf("the chart went from %v to %v", camera, h.keep.camera)
	}
	// Of a device that is taken out meanwhile nothing is dragged, the chart neither.
	from = h.at(t, session.Selection{Kind: session.Device, Name: "Z99"})
	h.sheet.MouseDown(button(from))
	h.desk.Undo()
	h.desk.Undo()
	camera = h.keep.camera
	step(20)
	step(40)
	h.sheet.DragEnd()
	if h.keep.camera != camera {
		t.Errorf("with its device gone the drag took the chart from %v to %v", camera, h.keep.camera)
	}
}
