package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/sheets"
	"bellout/app/textout"
	"bellout/model/wording"
)

func newNets(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "nets FILE",
		Short: "the nets, each with its name, terminals and wires",
		Long: `Prints what joins what on the map as it is drawn, with the machine at rest: every
net is a set of terminals joined by wires, solid links, intact fuses and closed
contacts. A wire that crosses from one rail to another makes one net of both.`,
		Example: `  bellout nets lock.bellout
  bellout nets lock.bellout --json`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			nets, err := until(cmd.Context(), func() ([]sheets.NetRow, error) { return sheets.NetRows(machine), nil })
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(netsAnswer(nets))
			}
			return console.print(func(p *textout.Page) { layNets(p, nets) })
		},
	}
}

type netJSON struct {
	Name      string   `json:"name"`
	Kind      string   `json:"kind"`
	Terminals []string `json:"terminals"`
	Wires     []string `json:"wires"`
}

func netsAnswer(nets []sheets.NetRow) any {
	answer := struct {
		Nets []netJSON `json:"nets"`
	}{make([]netJSON, len(nets))}
	for i, net := range nets {
		answer.Nets[i] = netJSON{Name: net.Name, Kind: net.Kind, Terminals: listed(net.Terminals), Wires: listed(net.Wires)}
	}
	return answer
}

// layNets prints a table of the nets, and in one line the terminals that stand
// alone: in a young map these are most of it.
func layNets(p *textout.Page, nets []sheets.NetRow) {
	var rows [][]string
	var alone []string
	for _, net := range nets {
		if len(net.Terminals) == 1 {
			alone = append(alone, net.Terminals[0])
			continue
		}
		rows = append(rows, []string{net.Name, net.Kind, byDevice(net.Terminals), strings.Join(net.Wires, " ")})
	}
	p.Table([]textout.Column{{Title: "net"}, {Title: "kind"}, {Title: "terminals", Wrap: true}, {Title: "wires", Wrap: true}}, rows)
	if len(rows) > 0 && len(alone) > 0 {
		p.Gap()
	}
	if len(alone) > 0 {
		p.Text(fmt.Sprintf("%s alone, joined to nothing: %s", wording.Count(len(alone), "terminal")+standing(len(alone)), byDevice(alone)))
	}
	if len(nets) == 0 {
		p.Text("No terminals on the map yet; bellout import FILE DIR brings them in.")
	}
}

// byDevice writes the terminals of one device together: X20:1,2,3 G1:-.
func byDevice(terminals []string) string {
	var text strings.Builder
	last := ""
	for _, terminal := range terminals {
		device, mark, _ := strings.Cut(terminal, ":")
		switch {
		case last == "":
			text.WriteString(terminal)
		case device == last:
			text.WriteString("," + mark)
		default:
			text.WriteString(" " + terminal)
		}
		last = device
	}
	return text.String()
}

func standing(count int) string {
	if count == 1 {
		return " stands"
	}
	return " stand"
}
