package textout

import "testing"

func TestDetailed(t *testing.T) {
	got := render(48, false, func(p *Page) {
		p.Detailed([]Column{{Title: "wire"}, {Title: "ohm", Right: true}, {Title: "note"}}, [][]string{{"W1", "0.5", ""}, {"W20", "12", ""}},
			[]string{"carries 3 A; proven by readings 1 2 3 4 5 6 7 8 9 10", ""})
	})
	want := "wire  ohm\n" +
		"W1    0.5\n" +
		"      carries 3 A; proven by readings 1 2 3 4 5\n" +
		"      6 7 8 9 10\n" +
		"W20    12\n"
	if got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
	if empty := render(48, false, func(p *Page) { p.Detailed([]Column{{Title: "wire"}}, nil, nil) }); empty != "" {
		t.Errorf("a table without rows is %q", empty)
	}
}
