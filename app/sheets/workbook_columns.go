package sheets

import (
	"strings"

	"bellout/model"
	"bellout/model/tables"
)

// tableGuides explain the machine's own tables to who opens the workbook: what a
// row is, and each column.
var tableGuides = map[model.Table]struct {
	about   string
	columns map[string]Column
}{
	model.TableSetting: {"The numbers by which the machine is judged. A key that is not here has its default.", map[string]Column{
		"key":   {About: "Which setting: " + strings.Join(model.SettingKeys, ", ") + "."},
		"value": {Kind: Number, About: "A number; of ampacity the name of a table."},
	}},
	model.TableDevice: {"Anything with terminals: supplies, fuses, switches, connectors, drivers, loads. One row each.", map[string]Column{
		"device":    {About: "Its reference, unique, as in G1. No space, ; or :."},
		"kind":      {About: "What it is: supply, fuse, lamp and so on; see the list in the cells."},
		"title":     {About: "What you call it."},
		"zone":      {About: "Where in the machine it sits."},
		"health":    {About: "ok, failed or unknown."},
		"failed_at": {About: "When it failed, as in 2026-05-17T14:30:00+02:00, or the day alone."},
		"load_a":    {Kind: Number, Unit: "A", About: "What it draws when on."},
		"limit_a":   {Kind: Number, Unit: "A", About: "What a source can deliver."},
		"note":      {About: "Anything else."},
	}},
	model.TableTerminal: {"The points that a probe can touch. One row each.", map[string]Column{
		"device":   {About: "The device that it belongs to, which has a row in devices."},
		"terminal": {About: "Its mark, as in + or 12. No space, ; or :."},
		"role":     {About: "What it is for: " + joined(model.Roles) + "; empty: not known."},
		"volts":    {Kind: Number, Unit: "V", About: "Nominal volts of a rail or a feed."},
		"min_v":    {Kind: Number, Unit: "V", About: "The least that a feed stands; empty: 0.9 of its volts."},
		"max_v":    {Kind: Number, Unit: "V", About: "The most that a feed stands; empty: 1.1 of its volts."},
		"section":  {About: "Names galvanically separate parts of one device; empty: all are one."},
	}},
	model.TableLink: {"Conduction paths inside a device, between two of its terminals.", map[string]Column{
		"device": {About: "The device."},
		"from":   {About: "The mark of one end; of a diode the anode."},
		"to":     {About: "The mark of the other end."},
		"kind":   {About: joined(model.LinkKinds) + "."},
		"value":  {Kind: Number, About: "A of a fuse, ohm of a resistance (cold), F of a capacitance."},
		"state":  {About: "open or closed of a contact; open of a fuse: blown."},
	}},
	model.TableWire: {"One conductor between two terminals a row.", map[string]Column{
		"wire":     {About: "Its name, unique. No space, ; or :."},
		"from":     {About: "One end, as DEVICE:TERMINAL."},
		"to":       {About: "The other end."},
		"colour":   {About: "Letter code of IEC 60757, as in RD or GNYE."},
		"gauge":    {About: "AWG 18 or 0.75 mm2."},
		"length_m": {Kind: Number, Unit: "m", About: "Length in metres."},
		"cable":    {About: "The cable or loom that it runs in."},
		"basis":    {About: "How it is known: planned, seen, probed, or joined by the meter with its way not seen."},
		"removed":  {About: "yes for a wire that was taken out; this is how to take one out."},
	}},
	model.TableBond: {"Two returns that are meant to be common, or two rails that may meet, and why. It permits, it conducts nothing.", map[string]Column{
		"from": {About: "One of them, as DEVICE:TERMINAL."}, "to": {About: "The other."}, "reason": {About: "Why they may meet."},
	}},
	model.TableReading: {"What the meter showed, one touch a row. A row that is here already is not taken twice.", map[string]Column{
		"at":         {About: "When, as in 2026-05-17T14:30:00+02:00."},
		"red":        {About: "Where the red tip was, as DEVICE:TERMINAL."},
		"black":      {About: "Where the black tip was."},
		"mode":       {About: joined(model.Modes) + "."},
		"value":      {Kind: Number, About: "A number with the leads in it, OL, beep or silent."},
		"drift":      {About: "What the value did: steady, rising or falling; empty: not noted."},
		"conditions": {About: "What differed from the machine at rest, parted by ;, as in unplugged J4; lifted W12."},
		"note":       {About: "Anything else."},
		"meter":      {About: "Which meter."},
		"struck":     {About: "The reason why the reading was struck out; empty where it stands."},
	}},
	model.TableSymptom: {"What devices do while the machine runs, one word a row.", map[string]Column{
		"at":         {About: "When, or the day alone."},
		"device":     {About: "Which device."},
		"symptom":    {About: joined(model.SymptomWords) + "."},
		"conditions": {About: "What differed from the machine at rest, parted by ;, as in driven K1:D2."},
		"note":       {About: "Anything else."},
		"struck":     {About: "Why it counts no more; empty where it stands."},
	}},
	model.TableHistory: {"What became of the parts before the one that is in now: which died, and when another was put in.", map[string]Column{
		"at":     {About: "When, or the day alone; of a death empty where nobody knows."},
		"device": {About: "The device in whose place it stood."},
		"event":  {About: joined(model.EventWords) + "."},
		"note":   {About: "Of a death, what the part died of."},
	}},
}

// choices are the words that a column takes; the sheet offers them.
var choices = map[model.Table]map[string][]string{
	model.TableDevice:   {"health": words(model.Healths)},
	model.TableTerminal: {"role": words(model.Roles)},
	model.TableLink:     {"kind": words(model.LinkKinds), "state": {string(model.StateOpen), string(model.StateClosed)}},
	model.TableWire:     {"basis": words(model.Bases), "removed": {"yes", "no"}},
	model.TableSymptom:  {"symptom": words(model.SymptomWords)},
	model.TableReading:  {"mode": words(model.Modes), "drift": {string(model.DriftSteady), string(model.DriftRising), string(model.DriftFalling)}},
}

func words[W ~string](list []W) []string {
	var out []string
	for _, word := range list {
		out = append(out, string(word))
	}
	return out
}

func joined[W ~string](list []W) string { return strings.Join(words(list), ", ") }

// sheetName is a table's sheet: the name of its CSV file without the ending.
func sheetName(t tables.Table) string { return strings.TrimSuffix(t.File(), ".csv") }

// guided returns a table's columns as a sheet shows them.
func guided(t tables.Table) []Column {
	columns := make([]Column, len(t.Header()))
	for at, word := range t.Header() {
		columns[at] = tableGuides[t.Name()].columns[word]
		columns[at].Name = word
	}
	return columns
}

// machineTable is one of the machine's own tables, whose rows are sorted.
func machineTable(t tables.Table, m *model.Machine) (*Table, error) {
	columns := guided(t)
	var rows [][]string
	err := t.Cells(m, func(cells []string) error {
		rows = append(rows, append([]string(nil), cells...))
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &Table{
		Name: sheetName(t), Title: tableGuides[t.Name()].about, Columns: columns, Len: len(rows),
		Fill: func(i int, cells []Cell) {
			for at, text := range rows[i] {
				cells[at] = Cell{Text: text}
				if columns[at].Kind == Number {
					cells[at].Number, _ = model.ParseOptional(text) // a word, such as OL, is none and stays text
				}
			}
		},
	}, nil
}
