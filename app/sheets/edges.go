package sheets

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"bellout/graphs"
	"bellout/model"
)

// edgeRow is one wire or link as an edge of the graph of terminals.
type edgeRow struct {
	from, to string
	kind     string // wire, or the link's kind
	name     string // the wire's, or the link's place
	net      string // empty where it leads from one net to another
	conducts bool   // joins its ends at rest: metal that is not open
	directed bool   // a diode: from is the anode
	value    model.Optional
	ohms     model.Optional
	element  int
}

// edgesOf lists every wire that is not removed and every link, open ones too,
// in reading order.
func edgesOf(c *graphs.Circuit) []edgeRow {
	m, nets, names := c.Machine, c.Nets(), newTerminalNames(c.Machine)
	rows := make([]edgeRow, 0, len(c.Elements))
	for id, e := range c.Elements {
		row := edgeRow{from: names[e.A], to: names[e.B], element: id, conducts: e.Joins()}
		if nets.Same(e.A, e.B) {
			row.net = nets.Name(e.A)
		}
		if id < len(m.Wires) {
			wire := &m.Wires[id]
			if wire.Removed {
				continue
			}
			row.kind, row.name = "wire", wire.Name
			if e.Kind == graphs.Joined {
				row.kind = string(model.BasisJoined)
			}
			if wire.Gauge != (model.Gauge{}) && wire.LengthMetres.Known {
				row.ohms = model.Known(e.Ohms)
			}
		} else {
			link := &m.Links[e.Row]
			row.kind, row.name, row.value = string(link.Kind), link.Place(), link.Value
			row.directed = link.Kind == model.LinkDiode
			if link.Kind == model.LinkResistance {
				row.ohms = link.Value
			}
		}
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b edgeRow) int {
		wireA, wireB := a.kind == "wire", b.kind == "wire"
		switch {
		case wireA && !wireB:
			return -1
		case wireB && !wireA:
			return 1
		}
		if order := model.Compare(a.name, b.name); order != 0 {
			return order
		}
		return model.Compare(a.kind, b.kind)
	})
	return rows
}

var edgeFields = []field[edgeRow]{
	{Column{Name: "from", About: "One end, as DEVICE:TERMINAL; the anode of a diode."}, text(func(r *edgeRow) string { return r.from })},
	{Column{Name: "to", About: "The other end."}, text(func(r *edgeRow) string { return r.to })},
	{Column{Name: "kind", About: "wire, or the kind of the link inside a device."}, text(func(r *edgeRow) string { return r.kind })},
	{Column{Name: "name", About: "The wire's name, or the link's place as DEVICE:FROM-TO."}, text(func(r *edgeRow) string { return r.name })},
	{Column{Name: "conducts", Kind: YesNo, About: "yes where it joins its ends with the machine at rest: wires, solid links, intact fuses, closed contacts."}, yesNo(func(r *edgeRow) bool { return r.conducts })},
	{Column{Name: "directed", Kind: YesNo, About: "yes for a diode."}, yesNo(func(r *edgeRow) bool { return r.directed })},
	{Column{Name: "value", Kind: Number, About: "The link's value: A of a fuse, ohm of a resistance, F of a capacitance."}, number(func(r *edgeRow) model.Optional { return r.value })},
	{Column{Name: "ohm", Kind: Number, Unit: "ohm", Computed: true, About: "Resistance of a wire's copper or of a resistance link, where known."}, number(func(r *edgeRow) model.Optional { return r.ohms })},
	{Column{Name: "net", About: "The net that both ends are in; empty where it leads from one to another."}, text(func(r *edgeRow) string { return r.net })},
}

// writeEdges writes the edge list. As text it is bare: two terminals, the kind
// and the name in each line, parted by spaces, and comments after #.
func writeEdges(ctx context.Context, out io.Writer, form Form, job Job) error {
	rows := edgesOf(graphs.NewCircuit(job.Machine, nil))
	table := newTable("edges", "Edge list", fmt.Sprintf("%d wires and links", len(rows)), edgeFields, rows)
	if form != Txt {
		return table.write(ctx, out, form, job)
	}
	lines := bufio.NewWriter(out)
	fmt.Fprintf(lines, "# wires and links of %s, %s: from to kind name\n", oneLine(job.Title), job.Printed.Format(timeFormat))
	err := table.each(ctx, job, func(cells []Cell) error {
		_, err := fmt.Fprintf(lines, "%s %s %s %s\n", cells[0].Text, cells[1].Text, cells[2].Text, cells[3].Text)
		return err
	})
	if err != nil {
		return err
	}
	return lines.Flush()
}

// timeFormat is how a sheet says when it was printed.
const timeFormat = time.RFC3339

// oneLine keeps a title from ending a comment.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
