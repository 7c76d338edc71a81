package layout

import (
	"context"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/assets/lantern"
	"bellout/model"
	"bellout/model/sample"
)

// demo is Lantern Lock in one of its states.
func demo(t testing.TB, state string) *model.Machine { t.Helper(); return lantern.Machine(t, state) }

func compute(t testing.TB, m *model.Machine, options Options) *Plan {
	t.Helper()
	plan, err := Compute(context.Background(), m, options)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// TestLook draws plans into the folder that BELLOUT_LOOK names, to be looked at.
func TestLook(t *testing.T) {
	folder := os.Getenv("BELLOUT_LOOK")
	if folder == "" {
		t.Skip("set BELLOUT_LOOK to a folder to have pictures of plans")
	}
	m := demo(t, assets.AsFound)
	plan := compute(t, m, Options{})
	add(t, m, model.Device{Ref: "A9", Kind: model.KindController, Title: "new controller", Zone: "cabinet", Health: model.HealthUnknown},
		model.Terminal{Device: "A9", Mark: "VCC", Role: model.RoleFeed}, model.Terminal{Device: "A9", Mark: "GND", Role: model.RoleReturn},
		model.Wire{Name: "W900", From: model.TerminalRef{Device: "X14", Mark: "9"}, To: model.TerminalRef{Device: "A9", Mark: "VCC"}, Colour: "OG", Basis: model.BasisSeen},
		model.Wire{Name: "W901", From: model.TerminalRef{Device: "X24", Mark: "9"}, To: model.TerminalRef{Device: "A9", Mark: "GND"}, Colour: "BK", Basis: model.BasisSeen})
	at := plan.Positions()
	dragged := map[string]Point{"U1": {at["U1"].X + 60, at["U1"].Y - 500}, "J7": {at["J7"].X + 90, at["J7"].Y + 300}, "F14": {300, 500}}
	kept := compute(t, m, Options{Previous: plan, Pinned: dragged})
	t.Logf("kept: %+v", Measured(kept))
	if err := os.WriteFile(filepath.Join(folder, "kept.svg"), []byte(svg(kept, m)), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]*model.Machine{
		"demo":     demo(t, assets.AsFound),
		"repaired": demo(t, assets.AsRepaired),
		"sample":   sample.Machine(1, 1200),
	} {
		plan := compute(t, m, Options{})
		t.Logf("%s: %+v, %.0f x %.0f", name, Measured(plan), plan.Bounds.Max.X-plan.Bounds.Min.X, plan.Bounds.Max.Y-plan.Bounds.Min.Y)
		if err := os.WriteFile(filepath.Join(folder, name+".svg"), []byte(svg(plan, m)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// add puts rows into a machine.
func add(t testing.TB, m *model.Machine, rows ...model.Row) {
	t.Helper()
	edit := model.Edit{What: "test"}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
}

var inks = map[model.Colour]string{
	"BK": "#222", "BN": "#7a4a21", "RD": "#c22", "OG": "#e07800", "YE": "#c9a800", "GN": "#2a8a2a", "BU": "#2456c8",
	"VT": "#8030a0", "GY": "#777", "WH": "#aab", "GNYE": "#6a9a10", "": "#888",
}

// svg is a plain picture of a plan.
func svg(p *Plan, m *model.Machine) string {
	var b strings.Builder
	w, h := p.Bounds.Max.X-p.Bounds.Min.X, p.Bounds.Max.Y-p.Bounds.Min.Y
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%g %g %g %g" width="%g" height="%g" font-family="DejaVu Sans">`, p.Bounds.Min.X, p.Bounds.Min.Y, w, h, w, h)
	fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="#fafaf7"/>`, p.Bounds.Min.X, p.Bounds.Min.Y, w, h)
	for _, z := range p.Zones {
		fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="#eef1ea" stroke="#cdd5c5"/>`, z.Min.X, z.Min.Y, z.Max.X-z.Min.X, z.Max.Y-z.Min.Y)
	}
	for _, box := range p.Boxes {
		fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="#fff" stroke="#333"/>`, box.Body.Min.X, box.Body.Min.Y, box.Body.Max.X-box.Body.Min.X, box.Body.Max.Y-box.Body.Min.Y)
		if box.Shape == Plug {
			fmt.Fprintf(&b, `<path d="M%g %gV%g" stroke="#333"/>`, box.Seam, box.Body.Min.Y, box.Body.Max.Y)
		}
	}
	for _, r := range p.Wires {
		ink := "#888"
		if wire, found := m.Wire(r.Wire); found {
			ink = inks[wire.Colour]
		}
		var d strings.Builder
		for i, pt := range r.Points {
			if i == 0 {
				fmt.Fprintf(&d, "M%g %g", pt.X, pt.Y)
			} else {
				fmt.Fprintf(&d, "L%g %g", pt.X, pt.Y)
			}
		}
		fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="%s" stroke-width="1.6"/>`, d.String(), ink)
	}
	for _, r := range p.Rails {
		fmt.Fprintf(&b, `<path d="M%g %gL%g %g" stroke="#333" stroke-width="3"/>`, r.From.X, r.From.Y, r.To.X, r.To.Y)
	}
	for _, d := range p.Dots {
		fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="3" fill="#222"/>`, d.At.X, d.At.Y)
	}
	for _, box := range p.Boxes {
		for _, port := range box.Ports {
			fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="2.5" fill="#fff" stroke="#333"/>`, port.At.X, port.At.Y)
			if port.Through {
				fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="2.5" fill="#fff" stroke="#333"/>`, port.Far.X, port.Far.Y)
			}
		}
	}
	for _, l := range p.Labels {
		weight := "normal"
		if l.Bold {
			weight = "bold"
		}
		fmt.Fprintf(&b, `<text x="%g" y="%g" font-size="%g" font-weight="%s" textLength="%g">%s</text>`, l.At.X, l.At.Y, l.Size, weight, l.Max.X-l.Min.X, html.EscapeString(l.Text))
	}
	b.WriteString("</svg>")
	return b.String()
}
