package bench

import (
	"io/fs"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/assets"
	"bellout/assets/lantern"
	"bellout/model"
	"bellout/model/tables"
)

// sitting is a bench in a window without a display, over a desk whose jobs are
// done at once.
type sitting struct {
	t       testing.TB
	desk    *session.Session
	bench   *Bench
	window  fyne.Window
	keys    *keys.Map
	went    []string // the places that were gone to
	touches int      // how often the caution card was asked about
}

func demoFile(t testing.TB) string { return tablesFile(t, assets.Demo(assets.AsFound)) }

func tablesFile(t testing.TB, folder fs.FS) string {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), folder, "the tables")
	if err != nil {
		t.Fatal(err)
	}
	m := model.NewMachine()
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatal(err)
	}
	return lantern.FileOf(t, edit)
}

func sit(t testing.TB, path string, theme *look.Theme, size fyne.Size) *sitting {
	t.Helper()
	app := test.NewApp()
	t.Cleanup(func() { test.NewApp() })
	app.Settings().SetTheme(theme)
	s := &sitting{t: t, desk: session.New(session.Options{})}
	if path != "" {
		s.desk.Open(path, func(err error) {
			if err != nil {
				t.Fatal(err)
			}
		})
	}
	s.window = test.NewWindow(container.NewStack())
	s.window.SetPadded(false)
	s.build()
	s.lay(s.bench.Object(), size)
	t.Cleanup(func() {
		s.window.Close()
		if err := s.desk.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// build makes the bench, as the window does when the theme changes.
func (s *sitting) build() {
	s.keys = &keys.Map{}
	memory := map[string]any{}
	if s.bench != nil {
		memory = s.bench.room.Memory
	}
	s.bench = New(&room.Room{
		Session: s.desk, Keys: s.keys, Canvas: s.window.Canvas, Memory: memory,
		Show:   func(place string) { s.went = append(s.went, place) },
		Touch:  func(do func()) { s.touches++; do() },
		Listen: func(f func(session.Changed)) { s.desk.Listen(f) },
	})
	s.keys.Serve(s.window.Canvas())
}

func (s *sitting) lay(object fyne.CanvasObject, size fyne.Size) {
	s.window.SetContent(look.Ground(look.Now().Ground, object))
	s.window.Resize(size)
	s.bench.Focus()
}

// column is a sitting over the demo machine in the usual column.
func column(t testing.TB) *sitting {
	t.Helper()
	return sit(t, demoFile(t), look.New(false, look.Near), fyne.NewSize(440, 820))
}

// write types letters into whatever has the focus.
func (s *sitting) write(text string) {
	s.t.Helper()
	on := s.window.Canvas().Focused()
	if on == nil {
		s.t.Fatalf("nothing has the focus for %q", text)
	}
	for _, letter := range text {
		on.TypedRune(letter)
	}
}

// press presses a named key where the focus is.
func (s *sitting) press(names ...fyne.KeyName) {
	s.t.Helper()
	for _, name := range names {
		if on := s.window.Canvas().Focused(); on != nil {
			on.TypedKey(&fyne.KeyEvent{Name: name})
			continue
		}
		if typed := s.window.Canvas().OnTypedKey(); typed != nil {
			typed(&fyne.KeyEvent{Name: name})
		}
	}
}

// ctrl presses a key with the modifier for commands.
func (s *sitting) ctrl(name fyne.KeyName) {
	s.t.Helper()
	if !s.keys.Press(keys.Ctrl(name)) {
		s.t.Fatalf("Ctrl %s does nothing", name)
	}
}

func (s *sitting) readings() int { return len(s.desk.Machine().Readings) }

func (s *sitting) newest() model.Reading {
	s.t.Helper()
	list := s.desk.Machine().Readings
	newest := list[0]
	for _, reading := range list {
		if reading.Number > newest.Number {
			newest = reading
		}
	}
	return newest
}

func (s *sitting) focused() fyne.Focusable { return s.window.Canvas().Focused() }
