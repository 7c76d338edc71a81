package parts

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/assets/lantern"
	"bellout/model"
)

// at puts the parts of the demo machine into a window without a display, over a
// desk whose jobs are done at once.
func at(t *testing.T) (*Place, *session.Session) {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.New(false, look.Near))
	d := session.New(session.Options{})
	d.Open(lantern.File(t), func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	window := test.NewTempWindow(t, nil)
	r := &room.Room{
		Session: d, Keys: &keys.Map{}, Canvas: window.Canvas, Memory: map[string]any{},
		Show: func(string) {}, Touch: func(do func()) { do() },
		Listen: func(f func(session.Changed)) { d.Listen(f) },
	}
	p := New(r)
	window.SetContent(p.Object())
	window.Resize(fyne.NewSize(900, 700))
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return p, d
}

// write types a text into a field, in the place of what stands there.
func write(field *keys.Entry, text string) {
	field.SetText("")
	test.Type(field, text)
	field.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
}

func press(p *Place, names ...fyne.KeyName) {
	for _, name := range names {
		p.table.body.TypedKey(&fyne.KeyEvent{Name: name})
	}
}

func TestALineAddsADeviceAndMarksIt(t *testing.T) {
	p, d := at(t)
	write(p.adding.field, `F99 fuse 2A "spare" in cabinet`)
	if device, there := d.Machine().Device("F99"); !there || device.Title != "spare" {
		t.Fatalf("F99 is %+v, on the map: %v; the line says %q", device, there, p.adding.hint.Text())
	}
	if row := p.table.at(); row == nil || row.ID() != "F99" || !p.table.marked["F99"] {
		t.Errorf("the row that was added is not marked; the cursor is on %v", row)
	}
	if got := p.adding.hint.Text(); got != "F99 added, a fuse. It is marked below." {
		t.Errorf("it is told as %q", got)
	}
	if p.adding.field.Text != "" {
		t.Errorf("the line is still %q", p.adding.field.Text)
	}
	d.Undo()
	if _, there := d.Machine().Device("F99"); there {
		t.Error("taking it back leaves it there")
	}
	if strings.Contains(p.adding.hint.Text(), "added") {
		t.Error("it still says that it was added")
	}
}

func TestALineThatCannotBeReadStays(t *testing.T) {
	p, d := at(t)
	before := d.Machine()
	for _, line := range []string{"F99 fuze", "G1:+ NOPE:1", "F1 fuse 2A", `template "x" from NOPE`} {
		write(p.adding.field, line)
		if p.adding.field.Text != line {
			t.Errorf("%q became %q", line, p.adding.field.Text)
		}
		if p.adding.hint.Text() == "" || strings.Contains(p.adding.hint.Text(), "marked below") {
			t.Errorf("%q: what is wrong is told as %q", line, p.adding.hint.Text())
		}
	}
	if !d.Machine().Equal(before) {
		t.Error("the map changed")
	}
}

func TestOneFieldIsWrittenIntoEveryMarkedRow(t *testing.T) {
	p, d := at(t)
	p.filter.SetText("kind=lamp")
	press(p, fyne.KeyHome)
	p.table.goTo(3, true)
	if got := len(p.table.rows()); got != 4 {
		t.Fatalf("%d rows are marked, want 4", got)
	}
	write(p.strip.fields[3], "bridge") // zone
	for _, ref := range []string{"E1", "E2", "E3", "E4"} {
		if device, _ := d.Machine().Device(ref); device.Zone != "bridge" {
			t.Errorf("%s is in %q", ref, device.Zone)
		}
	}
	d.Undo()
	if device, _ := d.Machine().Device("E1"); device.Zone != "upper basin" {
		t.Errorf("after taking it back E1 is in %q", device.Zone)
	}
}

func TestABadCellChangesNothing(t *testing.T) {
	p, d := at(t)
	p.show(3) // wires
	p.filter.SetText("W228")
	press(p, fyne.KeyHome)
	before := d.Machine()
	write(p.strip.fields[4], "thick") // gauge
	if !d.Machine().Equal(before) {
		t.Error("the map changed")
	}
	if !strings.Contains(p.strip.said.Text(), "thick") {
		t.Errorf("what is wrong is told as %q", p.strip.said.Text())
	}
}

func TestWhatHangsOnADeviceIsToldBeforeItGoes(t *testing.T) {
	p, d := at(t)
	p.filter.SetText("J8")
	press(p, fyne.KeyHome, fyne.KeyDelete)
	if _, there := d.Machine().Device("J8"); !there {
		t.Fatal("one press deleted a plug with its wires")
	}
	if !strings.Contains(p.strip.said.Text(), "more rows hang on that") {
		t.Errorf("it says %q", p.strip.said.Text())
	}
	press(p, fyne.KeyDelete)
	if _, there := d.Machine().Device("J8"); there {
		t.Fatal("the second press did not delete it")
	}
	before := len(d.Machine().Wires)
	d.Undo()
	if _, there := d.Machine().Device("J8"); !there || len(d.Machine().Wires) == before {
		t.Error("taking it back does not bring back the plug with its wires")
	}
}

func TestPastedRowsAreShownFirst(t *testing.T) {
	p, d := at(t)
	p.show(3)
	fyne.CurrentApp().Clipboard().SetContent("wire\tfrom\tto\nW900\tF1:1\tF2:1\nW901\tF1:77\tF2:1")
	before := len(d.Machine().Wires)
	p.paste()
	if len(d.Machine().Wires) != before {
		t.Fatal("rows were taken before anybody looked at them")
	}
	if p.middle.Objects[0] == fyne.CanvasObject(p.table.object) {
		t.Error("what was pasted is not shown")
	}
	fyne.CurrentApp().Clipboard().SetContent("wire\tfrom\tto\nW900\tF1:1\tF2:1")
	p.paste()
	focused := p.room.Canvas().Focused()
	focused.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn}) // Take them
	if _, there := d.Machine().Wire("W900"); !there {
		t.Error("W900 is not on the map")
	}
}

func TestAReadingIsStruckOutWithAReason(t *testing.T) {
	p, d := at(t)
	p.show(5)
	press(p, fyne.KeyEnd)
	row, ok := p.table.at().(model.Reading)
	if !ok {
		t.Fatalf("the table of readings holds %T", p.table.at())
	}
	for _, r := range d.Machine().Readings {
		if r.Stands() {
			row = r
		}
	}
	p.table.marked = map[string]bool{row.ID(): true}
	p.strip.fill()
	write(p.strip.fields[0], "")
	if r, _ := d.Machine().Reading(row.Number); !r.Stands() {
		t.Error("a reading was struck out for no reason")
	}
	write(p.strip.fields[0], "tip slipped")
	if r, _ := d.Machine().Reading(row.Number); r.Stands() || r.Struck != "tip slipped" {
		t.Errorf("reading %d is %+v", row.Number, r)
	}
}

func TestAHeadSortsAndTurns(t *testing.T) {
	p, _ := at(t)
	p.table.sortBy(2) // title
	first := p.listing.Cells(p.places[0])[2]
	p.table.sortBy(2)
	last := p.listing.Cells(p.places[0])[2]
	if first >= last {
		t.Errorf("by title %q comes first, and turned round %q", first, last)
	}
}

// The fields of the marked row take their room from the table: what was added
// must not end up behind them, however high the window is.
func TestTheRowThatWasAddedIsInSight(t *testing.T) {
	const line = 30 // what a row of the list takes
	p, d := at(t)
	for high := float32(600); high <= 1000; high += 50 {
		p.object.Resize(fyne.NewSize(900, high))
		write(p.adding.field, `E99 lamp "work lamp" in cabinet`)
		if id := p.table.at().ID(); id != "E99" {
			t.Fatalf("the cursor is on %s", id)
		}
		p.object.Resize(fyne.NewSize(900, high+1)) // as the next frame does, which makes room for the fields
		top, offset := float32(p.table.cursor)*line, p.table.body.GetScrollOffset()
		if seen := offset + p.table.body.Size().Height; top < offset || top+line > seen {
			t.Errorf("in a window of %.0f the row lies at %.0f to %.0f; %.0f to %.0f is seen", high, top, top+line, offset, seen)
		}
		d.Undo()
		p.table.unmark()
		p.table.marksChanged()
		p.table.body.ScrollToTop()
	}
}
