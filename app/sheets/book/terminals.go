package book

import (
	"context"
	"strings"

	"bellout/model"
)

// makeTerminalPlans prints each block and splice: what is on every point.
func makeTerminalPlans(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Terminal plans", 30)
	fl.para("Points in the order of their marks. Jumper: the points of the same block that metal joins to this one. Torque is written in by hand when a point was tightened by its maker's figure.", style{size: smallSize, colour: soft})
	blocks := f.devicesOf(model.KindTerminalBlock, model.KindSplice)
	if len(blocks) == 0 {
		fl.para("The map holds no terminal blocks or splices.", style{})
	}
	for _, d := range blocks {
		head := d.Ref
		if d.Title != "" {
			head += "  " + d.Title
		}
		if d.Zone != "" {
			head += ", " + d.Zone
		}
		fl.heading(head, 20)
		if d.Note != "" {
			fl.note(d.Note)
		}
		t := &table{of: head, columns: []column{
			{title: "point", bold: true, mono: true, most: 30}, {title: "net", most: 40}, {title: "jumper to", mono: true, most: 40},
			{title: "wire that begins here", most: 80}, {title: "wire that ends here", most: 80}, {title: "further wires", most: 50}, {title: "N·m", fixed: 13}, {title: "ok", fixed: 8},
		}}
		jumpers := map[string][]string{}
		for _, l := range f.links[d.Ref] {
			if l.Kind == model.LinkSolid {
				jumpers[l.From] = append(jumpers[l.From], l.To)
				jumpers[l.To] = append(jumpers[l.To], l.From)
			}
		}
		for _, terminal := range f.marks[d.Ref] {
			ref := terminal.Ref()
			var out, in string
			var more []string
			for _, w := range f.ends[ref] {
				switch {
				case w.From == ref && out == "":
					out = f.wireTo(w, ref)
				case w.To == ref && in == "":
					in = f.wireTo(w, ref)
				default:
					more = append(more, f.wireTo(w, ref))
				}
			}
			mark := cell{text: terminal.Mark}
			if terminal.Role == model.RoleEarth || len(f.ends[ref]) > 0 && f.ends[ref][0].Colour == model.GreenYellow {
				mark.swatch = model.GreenYellow // an earth position
			}
			if out == "" && in == "" {
				out = "spare"
			}
			t.add(mark, say(f.netName(ref)), say(strings.Join(jumpers[terminal.Mark], " ")), say(out), say(in), say(strings.Join(more, "; ")), cell{shade: true}, cell{tick: true})
		}
		fl.table(t)
	}
	return nil
}
