package book

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/graphs"
	"bellout/model/wording"
)

// makeNetList prints every net that has a wire, and how many have none.
func makeNetList(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Net list", 24)
	sources := f.bench.Sources()
	lone := 0
	t := &table{size: 2.3, columns: []column{
		{title: "net", bold: true, most: 40}, {title: "kind"}, {title: "volts", right: true}, {title: "source", most: 34}, {title: "terminals", mono: true, most: 130}, {title: "wires", mono: true, most: 90}, {title: "proven"}, {title: "last"},
	}}
	taken := map[int64]time.Time{}
	for _, r := range f.m.Readings {
		taken[r.Number] = r.At
	}
	kind := graphs.NetKind("")
	for i := range f.nets.List {
		net := &f.nets.List[i]
		if len(net.Wires) == 0 {
			lone++
			continue
		}
		if net.Kind != kind {
			kind = net.Kind
			t.head(kindWords(kind))
		}
		wires := f.wiresOf(net)
		names := make([]string, len(wires))
		proven := 0
		var last time.Time
		for j, w := range wires {
			names[j] = w.Name
			row := f.wireAt[w.Name]
			if row.Proven {
				proven++
			}
			for _, n := range row.Readings {
				if taken[n].After(last) {
					last = taken[n]
				}
			}
		}
		source := slices.Clone(sources[i].Devices)
		if sources[i].Through && len(source) > 0 {
			source[0] = "through " + source[0]
		}
		v := f.netVolts(net)
		text := v.String()
		if v.Known {
			text += " V"
		}
		terminals, names := lists(f.refs(net.Terminals), 900), lists(names, 600)
		t.add(say(net.Name), say(string(net.Kind)), say(text), say(strings.Join(source, " ")), say(terminals[0]), say(names[0]),
			say(fmt.Sprintf("%d of %d", proven, len(wires))), say(day(last)))
		for j := 1; j < max(len(terminals), len(names)); j++ { // a large net goes on over rows, and so over pages
			row := cells(net.Name+", on", "", "", "", "", "", "", "")
			if j < len(terminals) {
				row[4] = say(terminals[j])
			}
			if j < len(names) {
				row[5] = say(names[j])
			}
			t.add(row...)
		}
	}
	fl.para(fmt.Sprintf("%d nets with wires; %s without a wire, each a net of its own, left out here: the net list as a file has them. "+
		"Nets are those of the machine at rest: contacts as the map has them.", len(f.nets.List)-lone, wording.Count(lone, "terminal")), style{size: smallSize, colour: soft})
	fl.table(t)
	return nil
}

// lists joins names into texts of about so many letters, at least one text.
func lists(names []string, most int) []string {
	texts := []string{""}
	for _, name := range names {
		last := len(texts) - 1
		if texts[last] != "" && len(texts[last])+len(name) > most {
			texts, last = append(texts, ""), last+1
		}
		texts[last] = strings.TrimPrefix(texts[last]+" "+name, " ")
	}
	return texts
}

func kindWords(k graphs.NetKind) string {
	switch k {
	case graphs.NetRail:
		return "Rails"
	case graphs.NetReturn:
		return "Returns: 0 V of supplies"
	case graphs.NetEarth:
		return "Earth"
	case graphs.NetLine, graphs.NetNeutral:
		return "Mains (" + string(k) + "): for licensed people"
	case graphs.NetDrive:
		return "Switched outputs"
	case graphs.NetSignal:
		return "Signals"
	}
	return "Others"
}
