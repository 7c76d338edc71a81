package sheets

import (
	"bufio"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"

	"bellout/graphs"
	"bellout/model"
)

// graphMLKey declares one attribute, as the GraphML schema asks for each.
type graphMLKey struct {
	id, of, name, kind string
}

// The attributes of nodes, which are terminals, and of edges, which are wires
// and links. An attribute that is not known is left out.
var (
	nodeKeys = []graphMLKey{
		{"n_terminal", "node", "terminal", "string"}, {"n_device", "node", "device", "string"}, {"n_mark", "node", "mark", "string"},
		{"n_role", "node", "role", "string"}, {"n_volts", "node", "volts", "double"}, {"n_section", "node", "section", "string"},
		{"n_net", "node", "net", "string"}, {"n_net_kind", "node", "net_kind", "string"},
		{"n_device_kind", "node", "device_kind", "string"}, {"n_title", "node", "title", "string"}, {"n_zone", "node", "zone", "string"},
	}
	edgeKeys = []graphMLKey{
		{"e_name", "edge", "name", "string"}, {"e_kind", "edge", "kind", "string"}, {"e_conducts", "edge", "conducts", "boolean"},
		{"e_value", "edge", "value", "double"}, {"e_ohm", "edge", "ohm", "double"}, {"e_net", "edge", "net", "string"},
		{"e_colour", "edge", "colour", "string"}, {"e_gauge", "edge", "gauge", "string"}, {"e_length_m", "edge", "length_m", "double"},
		{"e_cable", "edge", "cable", "string"}, {"e_basis", "edge", "basis", "string"},
	}
)

const graphMLHead = xml.Header + `<graphml xmlns="http://graphml.graphdrawing.org/xmlns"
    xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"
    xsi:schemaLocation="http://graphml.graphdrawing.org/xmlns http://graphml.graphdrawing.org/xmlns/1.0/graphml.xsd">
`

// writeGraphML writes the machine at rest as GraphML: a node a terminal, an edge
// a wire or link, in reading order. Names stand in attributes: an id there may
// hold no + and no colon.
func writeGraphML(ctx context.Context, out io.Writer, _ Form, job Job) error {
	c := graphs.NewCircuit(job.Machine, nil)
	g := &graphML{out: bufio.NewWriterSize(out, 64<<10)}
	g.raw(graphMLHead)
	g.raw("  <desc>")
	g.escape("Terminals, wires and links of " + job.Title + " at rest, " + job.Printed.Format(timeFormat))
	g.raw("</desc>\n")
	for _, key := range slices.Concat(nodeKeys, edgeKeys) {
		fmt.Fprintf(g.out, "  <key id=%q for=%q attr.name=%q attr.type=%q/>\n", key.id, key.of, key.name, key.kind)
	}
	g.raw("  <graph id=\"machine\" edgedefault=\"undirected\">\n")
	places, err := g.nodes(ctx, job, c)
	if err != nil {
		return err
	}
	if err := g.edges(ctx, job, c, places); err != nil {
		return err
	}
	g.raw("  </graph>\n</graphml>\n")
	return g.out.Flush()
}

type graphML struct{ out *bufio.Writer } // errors stay with the writer and come up with Flush

func (g *graphML) raw(text string) { g.out.WriteString(text) }

// escape writes a text; what XML cannot hold becomes U+FFFD.
func (g *graphML) escape(text string) { xml.EscapeText(g.out, []byte(text)) }

func (g *graphML) data(key, text string) {
	if text == "" {
		return
	}
	g.raw(`      <data key="` + key + `">`)
	g.escape(text)
	g.raw("</data>\n")
}

// nodes writes the terminals and returns the number of each by its place.
func (g *graphML) nodes(ctx context.Context, job Job, c *graphs.Circuit) ([]int, error) {
	m, nets := c.Machine, c.Nets()
	order := make([]int, len(m.Terminals))
	for at := range order {
		order[at] = at
	}
	slices.SortFunc(order, func(a, b int) int { return model.CompareRefs(c.Ref(a), c.Ref(b)) })
	places := make([]int, len(order))
	for number, at := range order {
		if number%rowsPerLook == 0 {
			if err := job.step(ctx, "terminals", number, len(order)); err != nil {
				return nil, err
			}
		}
		places[at] = number
		terminal := m.Terminals[at]
		device, _ := m.Device(terminal.Device)
		net := nets.Net(at)
		g.raw(`    <node id="n` + strconv.Itoa(number) + "\">\n")
		g.data("n_terminal", terminal.Ref().String())
		g.data("n_device", terminal.Device)
		g.data("n_mark", terminal.Mark)
		g.data("n_role", string(terminal.Role))
		g.data("n_volts", terminal.Volts.String())
		g.data("n_section", terminal.Section)
		g.data("n_net", net.Name)
		g.data("n_net_kind", string(net.Kind))
		g.data("n_device_kind", string(device.Kind))
		g.data("n_title", device.Title)
		g.data("n_zone", device.Zone)
		g.raw("    </node>\n")
	}
	return places, nil
}

func (g *graphML) edges(ctx context.Context, job Job, c *graphs.Circuit, places []int) error {
	rows := edgesOf(c)
	for number, row := range rows {
		if number%rowsPerLook == 0 {
			if err := job.step(ctx, "wires and links", number, len(rows)); err != nil {
				return err
			}
		}
		e := c.Elements[row.element]
		direction := ""
		if row.directed {
			direction = ` directed="true"`
		}
		fmt.Fprintf(g.out, "    <edge id=\"e%d\" source=\"n%d\" target=\"n%d\"%s>\n", number, places[e.A], places[e.B], direction)
		g.data("e_name", row.name)
		g.data("e_kind", row.kind)
		g.data("e_conducts", strconv.FormatBool(row.conducts))
		g.data("e_value", row.value.String())
		g.data("e_ohm", row.ohms.String())
		g.data("e_net", row.net)
		if row.element < len(c.Machine.Wires) {
			wire := c.Machine.Wires[row.element]
			g.data("e_colour", string(wire.Colour))
			g.data("e_gauge", wire.Gauge.String())
			g.data("e_length_m", wire.LengthMetres.String())
			g.data("e_cable", wire.Cable)
			g.data("e_basis", string(wire.Basis))
		}
		g.raw("    </edge>\n")
	}
	return nil
}
