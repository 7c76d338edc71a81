package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

func newTrace(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "trace FILE DEVICE",
		Short: "every upstream path of a device",
		Long: `Prints every way upstream of a device as the places you would walk: feed, return,
earth, mains and signal, through fuses, contacts, connectors and supplies. Ways
through a blown fuse or an open contact are there too, and say so.`,
		Example: `  bellout trace lock.bellout E1
  bellout trace lock.bellout E1 --json`,
		Args:              wants("FILE", "DEVICE"),
		ValidArgsFunction: completeFrom(1, deviceNames),
		RunE: func(cmd *cobra.Command, args []string) error {
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			trace, err := until(cmd.Context(), func() (*faults.TraceResult, error) { return faults.Trace(machine, args[1]) })
			if err != nil {
				return fmt.Errorf("trace: %w", err)
			}
			if wantsJSON(cmd) {
				return console.printJSON(trace)
			}
			return console.print(func(p *textout.Page) { layTrace(p, machine, trace) })
		},
	}
}

// pathKinds are the kinds of path in the order in which they are printed.
var pathKinds = []graphs.PathKind{graphs.PathFeed, graphs.PathReturn, graphs.PathSignal, graphs.PathEarth, graphs.PathMains}

func layTrace(p *textout.Page, machine *model.Machine, trace *faults.TraceResult) {
	p.Text(p.Paint(textout.Strong, deviceLine(machine, trace.Device)))
	if len(trace.Paths) == 0 {
		p.Gap()
		p.Text("No path upstream: nothing on the map joins it to a supply, to another device's signal or to earth.")
	}
	for _, kind := range pathKinds {
		ways := 0
		for _, path := range trace.Paths {
			if path.Kind != kind {
				continue
			}
			if ways == 0 {
				p.Gap()
				p.Text(p.Paint(textout.Strong, string(kind)))
				if kind == graphs.PathMains || kind == graphs.PathEarth {
					p.Hanging("  ", cautionMains)
				}
			}
			ways++
			layPath(p, machine, path)
		}
	}
	if !trace.Complete {
		p.Gap()
		p.Text(fmt.Sprintf("%s more are not shown: these are the first %d.", wording.Count(trace.Omitted, "path"), len(trace.Paths)))
	}
}

// layPath prints one way as the places along it, and what does not conduct.
func layPath(p *textout.Page, machine *model.Machine, path faults.TracePath) {
	p.Hanging("  to "+path.Source+"  ", walk(machine, path))
	for _, hindrance := range faults.Hindrances(machine, path) {
		p.Hanging("       ", p.Paint(textout.Yellow, hindrance))
	}
}

// walk writes the places in order: a wire stands in brackets between its ends,
// a dash leads through a device.
func walk(machine *model.Machine, path faults.TracePath) string {
	var text strings.Builder
	wires := path.Wires
	for i, place := range path.Through {
		switch {
		case i == 0:
		case len(wires) > 0 && joins(machine, wires[0], path.Through[i-1], place):
			text.WriteString(" (" + wires[0] + ") ")
			wires = wires[1:]
		default:
			text.WriteString(" - ")
		}
		text.WriteString(place)
	}
	return text.String()
}

func joins(machine *model.Machine, name, a, b string) bool {
	wire, found := machine.Wire(name)
	from, to := wire.From.String(), wire.To.String()
	return found && (from == a && to == b || from == b && to == a)
}

// deviceLine says a device with what is noted of it.
func deviceLine(machine *model.Machine, ref string) string {
	device, _ := machine.Device(ref)
	text := ref
	for _, part := range []string{device.Title, string(device.Kind), device.Zone} {
		if part != "" {
			text += ", " + part
		}
	}
	if device.Health == model.HealthFailed {
		text += ", failed"
	}
	return text
}
