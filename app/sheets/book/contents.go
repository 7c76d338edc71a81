package book

import (
	"context"
	"fmt"
	"strings"

	"bellout/model/wording"
)

// makeContents prints what is in the book and how to find a wire with it.
func makeContents(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.para(f.job.Title, style{size: 9, face: 1, most: 2})
	fl.para(fmt.Sprintf("%s, %s and %s. State: %s. %s.", wording.Count(len(f.m.Devices), "device"), wording.Count(len(f.m.Terminals), "terminal"), wording.Count(len(f.wires), "wire"), orDash(f.job.State), f.coverage()), style{})
	fl.caution(strings.TrimSpace("Before you touch anything: the door card. Plug out and in sight, batteries off, wait, measure 0 V. " + f.bench.Staying().Everything()))
	fl.heading("To find a wire", 20)
	for _, line := range []string{
		"You know its name: the wire list says both ends, colour, fuse and, under “chart”, page and zone, such as 12/C4: page 12, between the letters C, above the number 4.",
		"You stand before a plug or a block: its sheet says for every pin or point which wires are on it and where they lead.",
		"You look for a device: the device register says where it stands in the machine and on the chart.",
		"A load is dead: the tree of its rail, from the supply out to it, then that of its 0 V, home again.",
	} {
		fl.para("•  "+line, style{indent: 2})
	}
	fl.heading("What is in it", 20)
	t := &table{size: bodySize, columns: []column{{title: "sheet", bold: true}, {title: "what it holds", most: 130}, {title: "page", right: true, fixed: 16}}}
	for _, k := range kinds() {
		if k.name == "contents" {
			continue
		}
		anchor := sheetAnchor(k.name)
		t.add(cell{text: k.title, link: anchor}, cell{text: k.about, link: anchor}, cell{link: anchor, late: func(b *Bound) string {
			if page, there := b.pageOf(anchor); there {
				return fmt.Sprint(page)
			}
			return ""
		}})
		t.rows[len(t.rows)-1].least = 6
	}
	fl.table(t)
	fl.heading("Words and signs", 20)
	fl.para("Terminals are written DEVICE:TERMINAL, as G1:+. Colours: letter codes of IEC 60757, RD red, BK black, GNYE green-yellow. Proven: a reading agrees that would have been surprising with the wire open. "+
		"Seen: somebody followed it by eye. Planned: it was meant to be so. Terms follow IEC 61082-1, 62491, 81346 and 60445 where they fit; no conformity is claimed.", style{size: smallSize})
	return nil
}
