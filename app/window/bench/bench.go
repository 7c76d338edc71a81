// Package bench is where probes are logged, with both hands full: where to put
// each tip, what a good machine would show there, three short fields, and what
// the answer means. It is a face over package desk; no rule is in it.
//
// One Bench has two arrangements of the same things: a column at the side of the
// window, and the window filled, to be read from the floor. The one that was
// asked for last is the one that works.
package bench

import (
	"context"
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/app/window/bench/find"
	"bellout/app/window/room"
	"bellout/faults"
	"bellout/model"
)

// Bench is the place where probes are logged.
type Bench struct {
	room  *room.Room
	desk  *session.Session
	draft *draft
	index *find.Index // of the machine as it was when it was asked for last; nil before
	// expected is what a good machine shows at the touch that is shown.
	expected    faults.Expectation
	expectErr   error
	expectedFor string // its key; empty while it is being worked out
	wantedFor   string
	expecter    *faults.Expecter
	expecterFor struct {
		path    string
		edition int
	}
	placing      bool // the bench itself puts a tip somewhere
	column, full *panel
	panel        *panel // the one that works
}

// draft is what is typed and not stored yet, and what the fields remember from
// one reading to the next. It outlives a change of the theme.
type draft struct {
	leads     [2]string // what is typed in a lead's field, while it is no terminal yet
	edited    [2]bool
	value     string
	condition string
	adding    bool // the field of conditions is open
	striking  int64
	reason    string
	chosen    int64  // the reading that is chosen in the list; 0: none
	logged    string // the touch that was stored last, as noted names it
	moved     session.Tip
	followed  bool // the last reading followed a proposal
	waiting   string
	confirmed string // what Enter was asked about, and may be pressed again for
	path      string // of the file that this is about

	at, before spot // where the caret is, and was before conditions or a reason were asked for

	kept      bool      // what was kept from last time was brought back
	failed    [2]string // why what a lead's field holds is no terminal
	completed [2]string // what was typed, where the tip is on something else
	refused   bool      // the value that is typed was refused
	sureDead  bool      // the alarm was asked to end, once
	vague     bool      // a good machine could have shown nearly anything
}

const (
	draftMemory  = "Bench.draft"
	draftsMemory = "Bench.drafts" // of files that were open before
	servedMemory = "Bench.actions"
)

// New returns the bench of a room.
func New(r *room.Room) *Bench {
	b := &Bench{room: r, desk: r.Session}
	if r.Memory == nil {
		r.Memory = map[string]any{}
	}
	kept, ok := r.Memory[draftMemory].(*draft)
	if !ok || kept.path != b.desk.View().Path {
		kept = &draft{moved: session.Black, path: b.desk.View().Path}
	}
	b.draft = kept
	r.Memory[draftMemory] = kept
	b.addActions()
	r.Listen(b.changed)
	b.bringBack()
	b.indexAnew()
	return b
}

// Name is the place's name.
func (b *Bench) Name() string { return "Bench" }

// Object returns the column; it is the one that works from now on.
func (b *Bench) Object() fyne.CanvasObject {
	if b.column == nil {
		b.column = newPanel(b, columnSizes())
	}
	return b.use(b.column)
}

// Alone returns the same bench for the whole window, in type that is read from
// the floor; it is the one that works from now on.
func (b *Bench) Alone() fyne.CanvasObject {
	if b.full == nil {
		b.full = newPanel(b, aloneSizes())
	}
	return b.use(b.full)
}

func (b *Bench) use(p *panel) fyne.CanvasObject {
	b.panel = p
	p.takeDraft()
	p.show(session.Everything)
	return p.root
}

// Focus puts the keyboard where a reading begins: into the value field.
func (b *Bench) Focus() {
	if b.panel != nil {
		b.focus(b.panel.value)
	}
}

// resume gives the keyboard back to the bench after a click on what takes none.
func (b *Bench) resume() {
	if b.room.Canvas == nil {
		return
	}
	if canvas := b.room.Canvas(); canvas != nil && canvas.Focused() == nil {
		b.Resume()
	}
}

func (b *Bench) focus(on fyne.Focusable) {
	if b.room.Canvas == nil {
		return
	}
	canvas := b.room.Canvas()
	if canvas == nil {
		return
	}
	if canvas.Focused() == on || b.room.Bench != nil && !b.room.Bench() {
		return
	}
	canvas.Focus(on)
}

// changed follows the desk.
func (b *Bench) changed(what session.Changed) {
	if what.Has(session.File) && b.draft.path != b.desk.View().Path {
		b.changeDraft()
	}
	if what.Has(session.File) {
		b.bringBack()
	}
	if what.Has(session.File | session.Map) {
		b.indexAnew()
	}
	if what.Has(session.Answered) {
		b.draft.waiting = ""
		if b.desk.Outcome() == nil {
			b.draft.logged = "" // it was taken back: the same touch is to be made again
		}
	}
	if what.Has(session.Noticed) && b.desk.Notice().Bad && b.draft.waiting != "" {
		b.notStored()
	}
	if b.panel != nil {
		b.panel.show(what)
	}
	b.followTips(what)
}

// changeDraft keeps what is half typed for the file that goes, and brings back what was
// for the one that comes.
func (b *Bench) changeDraft() {
	drafts, ok := b.room.Memory[draftsMemory].(map[string]draft)
	if !ok {
		drafts = map[string]draft{}
		b.room.Memory[draftsMemory] = drafts
	}
	left, path := b.draft.halfTyped(), b.desk.View().Path
	if len(left) > 0 && b.draft.path != "" {
		drafts[b.draft.path] = *b.draft
	}
	came, again := drafts[path]
	delete(drafts, path)
	if !again {
		came = draft{moved: session.Black, path: path}
	}
	came.kept, came.waiting, came.logged, came.striking, came.reason = false, "", "", 0, ""
	*b.draft = came
	if b.panel != nil {
		b.panel.takeDraft()
	}
	if len(left) > 0 {
		b.desk.Say("Not stored, and kept for when that file is open again: " + strings.Join(left, ", ") + ".")
	}
}

// notStored brings back what was typed for a reading that the file did not take.
func (b *Bench) notStored() {
	typed := b.draft.waiting
	b.draft.waiting, b.draft.logged = "", ""
	switch {
	case b.panel == nil || len(b.desk.Unstored().Readings) > 0: // it is kept, and stored later
	case b.draft.value == "":
		b.panel.value.SetText(typed)
		b.panel.say(saidWrong, b.desk.Notice().Text)
	default:
		b.panel.say(saidWrong, fmt.Sprintf("“%s” was %s", typed, b.desk.Notice().Text))
	}
}

func (b *Bench) indexAnew() {
	session.Ask(b.desk, "bench.index", func(_ context.Context, view session.View) *find.Index {
		return find.New(view.Machine)
	}, func(index *find.Index) {
		b.index = index
		if b.panel != nil {
			b.panel.showBoard()
		}
	})
}

// place returns what is known of where a terminal is.
func (b *Bench) place(ref model.TerminalRef) find.Place {
	if b.index != nil {
		if place, there := b.index.Place(ref); there {
			return place
		}
	}
	return find.Place{Ref: ref, Text: ref.String()}
}

// expecterOf is what says what a good machine shows, for the map of the view.
func (b *Bench) expecterOf(view session.View) *faults.Expecter {
	if b.expecter == nil || b.expecterFor.path != view.Path || b.expecterFor.edition != view.Edition {
		b.expecter = faults.NewExpecter(view.Machine)
		b.expecterFor.path, b.expecterFor.edition = view.Path, view.Edition
	}
	return b.expecter
}

// expect sees to it that what a good machine shows at a touch is worked out.
func (b *Bench) expect(now touch) {
	if !now.whole() || now.stage == noMachine || now.mode == model.ModeVoltsAC {
		b.expectedFor, b.wantedFor = "", ""
		return
	}
	mode := now.mode
	if mode == model.ModeContinuity {
		mode = model.ModeOhms // says the beep and the ohms
	}
	view := b.desk.View()
	key := fmt.Sprintf("%s|%s|%s|%d", now.key(), mode, view.Path, view.Edition)
	if b.wantedFor == key {
		return
	}
	b.wantedFor, b.expectedFor = key, ""
	type answer struct {
		x   faults.Expectation
		err error
	}
	tips, conditions, expecter := now.tips, now.conditions, b.expecterOf(view)
	session.Ask(b.desk, "bench.expect", func(ctx context.Context, _ session.View) answer {
		if ctx.Err() != nil {
			return answer{}
		}
		x, err := expecter.Expect(tips[session.Red], tips[session.Black], mode, conditions)
		return answer{x, err}
	}, func(a answer) {
		b.expected, b.expectErr, b.expectedFor = a.x, a.err, key
		if b.panel != nil {
			b.panel.showBoard()
		}
	})
}
