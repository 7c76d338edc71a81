package sheets

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Label is what stands on one label.
type Label struct {
	For  string // wire, device or plug
	Head string // the largest line: the wire, the reference, the plug and its half
	Near string // the terminal at this end; title of a device; rails of a plug
	Far  string // the terminal at the other end; where a device stands
}

// Labels lists the labels of a machine: each wire at both ends, every device,
// both halves of every plug. Removed wires have none.
func Labels(machine *model.Machine) []Label {
	m := machine.Sorted()
	var list []Label
	for _, w := range m.Wires {
		if !w.Runs() {
			continue
		}
		list = append(list,
			Label{"wire", w.Name, w.From.String(), "→ " + w.To.String()},
			Label{"wire", w.Name, w.To.String(), "→ " + w.From.String()})
	}
	for _, d := range m.Devices {
		list = append(list, Label{"device", d.Ref, d.Title, d.Zone})
	}
	circuit := graphs.NewCircuit(m, nil)
	for _, d := range m.Devices {
		if d.Kind != model.KindConnector {
			continue
		}
		halves, rails := plugHalves(circuit, d.Ref)
		for i, name := range halves {
			far := strings.TrimSpace(d.Title)
			list = append(list, Label{"plug", strings.TrimSpace(d.Ref + " " + name), rails[i], far})
		}
	}
	return list
}

// plugHalves names the halves of a plug, by the letters that their marks begin
// with, and the rails on each.
func plugHalves(c *graphs.Circuit, device string) (names, rails []string) {
	at := map[string]int{}
	seen := map[[2]string]bool{}
	nets := c.Nets()
	for _, mark := range c.Machine.Marks(device) {
		name := strings.TrimRight(mark, "0123456789")
		if _, there := at[name]; !there {
			at[name] = len(names)
			names, rails = append(names, name), append(rails, "")
		}
		terminal, there := c.Machine.TerminalIndex(model.TerminalRef{Device: device, Mark: mark})
		if !there {
			continue
		}
		net := nets.Net(terminal)
		if net.Kind != graphs.NetRail && !net.Kind.Mains() || seen[[2]string{name, net.Name}] {
			continue
		}
		seen[[2]string{name, net.Name}] = true
		if rails[at[name]] == "" { // a word first: a spreadsheet takes a leading + for a formula
			rails[at[name]] = "carries"
		}
		rails[at[name]] += " " + net.Name
	}
	return names, rails
}

var labelFields = []field[Label]{
	{Column{Name: "for", About: "wire, device or plug."}, text(func(l *Label) string { return l.For })},
	{Column{Name: "line_1", Title: "first line", Wrap: true, About: "The wire, the device's reference, or the plug and its half."}, text(func(l *Label) string { return l.Head })},
	{Column{Name: "line_2", Title: "second line", Wrap: true, About: "The terminal at this end; the device's title; the rails on the plug."}, text(func(l *Label) string { return l.Near })},
	{Column{Name: "line_3", Title: "third line", Wrap: true, About: "The terminal at the far end; where the device stands; the plug's title."}, text(func(l *Label) string { return l.Far })},
}

// rowField numbers the labels as the drawn ones point at them.
func rowField(list []Label) field[Label] {
	at := make(map[*Label]int, len(list))
	for i := range list {
		at[&list[i]] = i + 1
	}
	return field[Label]{Column{Name: "row", Kind: Number, About: "Which label of the list it is: a drawn label that was cut short says so."},
		number(func(l *Label) model.Optional { return model.Known(float64(at[l])) })}
}

func writeLabels(ctx context.Context, out io.Writer, form Form, job Job) error {
	list := Labels(job.Machine)
	table := newTable("labels", "Labels", fmt.Sprintf("%d labels", len(list)), append(slices.Clip(labelFields), rowField(list)), list)
	return table.write(ctx, out, form, job)
}
