package tables

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bellout/model"
)

// sound is a small machine that the cases of TestErrors damage, one file each.
var sound = map[string]string{
	"settings.csv":  "key,value\nlead_ohm,0.3\n",
	"devices.csv":   "device,kind,title\nG1,supply,12 V\nS1,switch,\nK3,relay,\n",
	"terminals.csv": "device,terminal,role,volts\nG1,+,rail,12\nG1,-,return,\nS1,1,pass,\nS1,2,pass,\nK3,A1,feed,12\nK3,A2,return,\n",
	"links.csv":     "device,from,to,kind,value,state\nS1,1,2,contact,,closed\nK3,A1,A2,resistance,300,\n",
	"wires.csv":     "wire,from,to,colour,gauge,length_m\nW1,G1:+,S1:1,RD,AWG 18,0.5\nW2,S1:2,K3:A1,RD,AWG 18,0.5\n",
	"bonds.csv":     "from,to,reason\nG1:-,K3:A2,drawn so\n",
	"readings.csv":  "at,red,black,mode,value,drift,conditions\n,G1:+,S1:1,continuity,beep,,\n",
}

// damaged is the sound machine with one file written otherwise; an empty text
// takes the file away.
func damaged(t *testing.T, file, text string) string {
	t.Helper()
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	if text == "" {
		if err := os.Remove(filepath.Join(dir, file)); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	writeFiles(t, dir, map[string]string{file: text})
	return dir
}

func importInto(m *model.Machine, dir string) error {
	content, err := ReadFolder(context.Background(), dir, nil)
	if err != nil {
		return err
	}
	edit, err := content.EditFor(m)
	if err != nil {
		return err
	}
	return content.Locate(m.Apply(edit))
}

func TestErrors(t *testing.T) {
	const wires = "wire,from,to,colour,gauge,length_m\n"
	const readings = "at,red,black,mode,value,drift,conditions\n"
	for _, c := range []struct{ name, file, text, want string }{
		{"unknown column", "wires.csv", "wire,from,to,color\nW1,G1:+,S1:1,RD\n",
			`wires.csv line 1, column color: unknown column "color"; did you mean "colour"?`},
		{"a space of no width in a reference", "devices.csv", "device,kind\nG1,supply\nS1,switch\nK3,relay\nK\u200b3,relay\n",
			"devices.csv line 5, column device: \"K\\u200b3\" holds the invisible character U+200B; write the name anew without it"},
		{"two alphabets in one reference", "devices.csv", "device,kind\nG1,supply\nS1,switch\nK3,relay\nKЛ4,relay\n",
			"devices.csv line 5, column device: \"KЛ4\" mixes Latin and Cyrillic letters, such as Л (U+041B); type the name anew in one alphabet"},
		{"a reference that looks like another", "devices.csv", "device,kind\nG1,supply\nS1,switch\nK3,relay\nК3,relay\n",
			"devices.csv line 5, column device: \"К3\" looks like \"K3\" and is another: it holds U+041A; write K3 everywhere, or a name that is seen to be another"},
		{"a wire to a reference in other letters", "wires.csv", wires + "W1,G1:+,S1:1,RD,AWG 18,0.5\nW2,S1:2,К3:A1,RD,AWG 18,0.5\n",
			"wires.csv line 3, column to: no device \"К3\"; it looks like \"K3\" and is another: it holds U+041A, write K3"},
		{"a mark in decomposed letters", "terminals.csv", "device,terminal,role,volts\nG1,+,rail,12\nG1,-,return,\nS1,1,pass,\nS1,2,pass,\nS1,u\u0308,pass,\nK3,A1,feed,12\nK3,A2,return,\n",
			"terminals.csv line 6, column terminal: \"u\u0308\" holds a letter that is put together of several characters, as at U+0075; type the name anew, each letter as one"},
		{"unknown column far from all", "devices.csv", "device,kind,torque\nG1,supply,3\n",
			`devices.csv line 1, column torque: unknown column "torque"; the columns are device, kind, title, zone, health, failed_at, load_a, limit_a, note`},
		{"column in capitals", "devices.csv", "Device,kind\nG1,supply\n",
			`devices.csv line 1, column Device: unknown column "Device"; did you mean "device"?`},
		{"tabs", "bonds.csv", "from\tto\treason\n",
			`bonds.csv line 1, column 1: unknown column "from\tto\treason"; separate the columns by commas or semicolons`},
		{"column twice", "devices.csv", "device,kind,device\nG1,supply,G1\n",
			`devices.csv line 1, column device: the column is here twice, as number 1 and 3; keep one of them`},
		{"key column missing", "terminals.csv", "terminal,role\n+,rail\n",
			`terminals.csv line 1, column device: the column is missing; the header is device,terminal,role,volts,min_v,max_v,section`},
		{"empty header cell", "devices.csv", "device,,kind\nG1,,supply\n",
			`devices.csv line 1, column 2: the header's cell is empty; name the column, or take it out`},
		{"no header", "wires.csv", "\n\n",
			`wires.csv line 1: there is no header row; write wire,from,to,colour,gauge,length_m,cable,basis,removed`},
		{"cell too many", "bonds.csv", "from,to,reason\nG1:-,K3:A2,drawn so, and so\n",
			`bonds.csv line 2: the row has 4 cells, the header 3; every row needs as many separators as the header; put a cell that holds one in quotes`},
		{"cell under an empty header", "bonds.csv", "from,to,\nG1:-,K3:A2,why\n",
			`bonds.csv line 2, column 3: "why" stands under an empty header; name the column, or empty the cell`},
		{"empty key", "wires.csv", wires + ",G1:+,S1:1,RD,,\n",
			`wires.csv line 2, column wire: the cell is empty; every row of this table needs one`},
		{"name twice", "wires.csv", wires + "W1,G1:+,S1:1,,,\n\nW1,S1:2,K3:A1,,,\n",
			`wires.csv line 4, column wire: W1 is here twice, on line 2 too; keep one of the two rows, or rename one`},
		{"device twice", "devices.csv", "device\nG1\nS1\nK3\nG1\n",
			`devices.csv line 5, column device: G1 is here twice, on line 2 too; keep one of the two rows, or rename one`},
		{"terminal twice", "terminals.csv", sound["terminals.csv"] + "K3,A2,pass,\n",
			`terminals.csv line 8, column device: K3 A2 is here twice, on line 7 too; keep one of the two rows, or rename one`},
		{"link twice, other way round", "links.csv", sound["links.csv"] + "K3,A2,A1,resistance,5,\n",
			`links.csv line 4, column device: K3 A2 A1 resistance is here twice, on line 3 too; keep one of the two rows, or rename one`},
		{"bond twice, other way round", "bonds.csv", sound["bonds.csv"] + "K3:A2,G1:-,again\n",
			`bonds.csv line 3, column from: K3:A2 G1:- is here twice, on line 2 too; keep one of the two rows, or rename one`},
		{"setting twice", "settings.csv", "key,value\nlead_ohm,1\nlead_ohm,2\n",
			`settings.csv line 3, column key: lead_ohm is here twice, on line 2 too; keep one of the two rows, or rename one`},
		{"wire to itself", "wires.csv", wires + "W1,G1:+,G1:+,,,\n",
			`wires.csv line 2, column to: the wire runs from G1:+ to itself; write the terminal at its other end`},
		{"link to itself", "links.csv", "device,from,to,kind\nS1,1,1,solid\n",
			`links.csv line 2, column to: the link joins S1:1 to itself; write another mark of S1`},
		{"no such terminal", "wires.csv", sound["wires.csv"] + "W3,G1:-,K3:7,,,\n",
			`wires.csv line 4, column to: no terminal "K3:7"; K3 has A1, A2`},
		{"no such device", "wires.csv", sound["wires.csv"] + "W3,g1:-,K3:A2,,,\n",
			`wires.csv line 4, column from: no device "g1"; did you mean "G1"?`},
		{"terminal of no device", "terminals.csv", sound["terminals.csv"] + "K4,1,,\n",
			`terminals.csv line 8, column device: no device "K4"; near it are K3`},
		{"link to a mark that is not there", "links.csv", "device,from,to,kind\n\nS1,1,3,contact\n",
			`links.csv line 3, column to: no terminal "S1:3"; S1 has 1, 2`},
		{"bond to nothing", "bonds.csv", "from,to\nG1:-,K3:A3\n",
			`bonds.csv line 2, column to: no terminal "K3:A3"; K3 has A1, A2`},
		{"no reference", "wires.csv", wires + "W1,G1,S1:1,,,\n",
			`wires.csv line 2, column from: "G1" is no terminal; write DEVICE:TERMINAL, as in G1:+`},
		{"space in a name", "devices.csv", "device\nG 1\n",
			`devices.csv line 2, column device: "G 1" holds a space, a ; or a :; write it without space, ; or :`},
		{"not a number", "wires.csv", wires + "W1,G1:+,S1:1,RD,AWG 18,half\n",
			`wires.csv line 2, column length_m: "half" is no number; write digits with a point, as in 0.75`},
		{"NaN", "wires.csv", wires + "W1,G1:+,S1:1,RD,AWG 18,NaN\n",
			`wires.csv line 2, column length_m: "NaN" is no number; write digits, or leave the cell empty where it is not known`},
		{"infinity", "terminals.csv", "device,terminal,volts\nG1,+,-Inf\n",
			`terminals.csv line 2, column volts: "-Inf" is no number; write digits, or leave the cell empty where it is not known`},
		{"too large for a number", "terminals.csv", "device,terminal,volts\nG1,+,1e999\n",
			`terminals.csv line 2, column volts: "1e999" is no number; write digits with a point, as in 0.75`},
		{"hexadecimal", "links.csv", "device,from,to,kind,value\nS1,1,2,fuse,0x10\n",
			`links.csv line 2, column value: "0x10" is no decimal number; write it with the digits 0 to 9`},
		{"decimal comma in a file with commas", "wires.csv", wires + "W1,G1:+,S1:1,RD,AWG 18,\"0,5\"\n",
			`wires.csv line 2, column length_m: "0,5" is no number; write a decimal point, as in 0.75, and nothing between the thousands`},
		{"thousands", "wires.csv", "wire;from;to;length_m\nW1;G1:+;S1:1;1.000,5\n",
			`wires.csv line 2, column length_m: "1.000,5" is no number; write one decimal point or comma, as in 0.75, and nothing between the thousands`},
		{"thousands by a space", "links.csv", "device,from,to,kind,value\nK3,A1,A2,resistance,1 000\n",
			`links.csv line 2, column value: "1 000" is no number; write a decimal point, as in 0.75, and nothing between the thousands`},
		{"negative length", "wires.csv", wires + "W1,G1:+,S1:1,RD,AWG 18,-0.5\n",
			`wires.csv line 2, column length_m: -0.5 is negative; write it without the minus sign, or leave it empty`},
		{"limits exchanged", "terminals.csv", "device,terminal,min_v,max_v\nG1,+,13,11\n",
			`terminals.csv line 2, column min_v: 13 is above max_v 11; exchange the two, or correct one`},
		{"unknown gauge", "wires.csv", wires + "W1,G1:+,S1:1,RD,18,0.5\n",
			`wires.csv line 2, column gauge: unknown gauge "18"; write AWG 18, AWG 1/0 or 0.75 mm2`},
		{"gauge with a comma among commas", "wires.csv", wires + "W1,G1:+,S1:1,RD,\"0,75 mm2\",0.5\n",
			`wires.csv line 2, column gauge: unknown gauge "0,75 mm2"; write a decimal point, as in 0.75 mm2`},
		{"unknown colour", "wires.csv", wires + "W1,G1:+,S1:1,red,AWG 18,0.5\n",
			`wires.csv line 2, column colour: unknown colour "red"; write a code of IEC 60757 (BK, BN, RD, OG, YE, GN, BU, VT, GY, WH, PK, GD, TQ, SR, GNYE), joined where a wire has several, as in RDBU`},
		{"unknown role", "terminals.csv", "device,terminal,role\nG1,+,plus\n",
			`terminals.csv line 2, column role: unknown word "plus"; write one of line, neutral, earth, rail, return, feed, drive, signal, pass`},
		{"unknown kind of link", "links.csv", "device,from,to,kind\nS1,1,2,wire\n",
			`links.csv line 2, column kind: unknown word "wire"; write one of solid, fuse, contact, resistance, diode, capacitance, electronic`},
		{"unknown state", "links.csv", "device,from,to,kind,state\nS1,1,2,contact,shut\n",
			`links.csv line 2, column state: unknown word "shut"; leave it empty, or write one of open, closed`},
		{"state of a coil", "links.csv", "device,from,to,kind,state\nK3,A1,A2,resistance,open\n",
			`links.csv line 2, column state: a resistance link has no state; leave it empty; only a contact or a fuse has one`},
		{"unknown health", "devices.csv", "device,health\nG1,dead\n",
			`devices.csv line 2, column health: unknown word "dead"; write one of ok, failed, unknown`},
		{"unknown basis", "wires.csv", "wire,from,to,basis\nW1,G1:+,S1:1,guess\n",
			`wires.csv line 2, column basis: unknown word "guess"; write one of planned, seen, probed, joined`},
		{"removed is no yes or no", "wires.csv", "wire,from,to,removed\nW1,G1:+,S1:1,x\n",
			`wires.csv line 2, column removed: unknown word "x"; write yes or no; empty means no`},
		{"time without offset", "devices.csv", "device,failed_at\nG1,2026-05-01 10:00\n",
			`devices.csv line 2, column failed_at: "2026-05-01 10:00" is no time; write it as in 2026-05-17T14:30:00+02:00, or the day alone`},
		{"no time at all", "devices.csv", "device,failed_at\nG1,0001-01-01T00:00:00Z\n",
			`devices.csv line 2, column failed_at: "0001-01-01T00:00:00Z" is no time; write it as in 2026-05-17T14:30:00+02:00, or the day alone`},
		{"unknown setting", "settings.csv", "key,value\nlead_ohms,0.3\n",
			`settings.csv line 2, column key: unknown setting "lead_ohms"; write one of beep_below_ohm, lead_ohm, joint_limit_ohm, drop_limit_percent, supply_use_limit_percent, ambient_c, ampacity`},
		{"setting out of range", "settings.csv", "key,value\ndrop_limit_percent,300\n",
			`settings.csv line 2, column value: 300 is out of range; write a number from 0 to 100`},
		{"reading without a value", "readings.csv", readings + ",G1:+,S1:1,,,,\n",
			`readings.csv line 2, column value: the cell is empty; every row of this table needs one`},
		{"reading with a word", "readings.csv", readings + ",G1:+,S1:1,,fine,,\n",
			`readings.csv line 2, column value: "fine" is no reading; write beep, silent, OL, ohms as in 12.5 or 4.7k, or volts as in 11.98 V`},
		{"a reading of two meanings", "readings.csv", readings + ",G1:+,S1:1,,\"1,200\",,\n",
			`readings.csv line 2, column value: "1,200": 1.2 or 1200? write one of the two`},
		{"a reading of two meanings among semicolons", "readings.csv", "red;black;value\nG1:+;S1:1;1,200 V\n",
			`readings.csv line 2, column value: "1,200 V": 1.2 or 1200? write one of the two`},
		{"a unit of another mode", "readings.csv", readings + ",G1:+,S1:1,ohms,24 V,,\n",
			`readings.csv line 2, column value: 24 V is a reading in volts-dc, not in ohms; correct the value or the mode`},
		{"below zero without a mode", "readings.csv", readings + ",G1:+,S1:1,,-0.3,,\n",
			`readings.csv line 2, column value: -0.3: volts or ohms? write -0.3 V, or -0.3 ohm where the leads were zeroed`},
		{"ohms below zero", "readings.csv", readings + ",G1:+,S1:1,ohms,-5,,\n",
			`readings.csv line 2, column value: -5 ohm is below zero, which no resistance is; write -5 V if it is volts; else take the volts off the tips, or zero the leads anew, and measure again`},
		{"a drift in the value", "readings.csv", readings + ",G1:+,S1:1,,220 rising,,\n",
			`readings.csv line 2, column value: "220 rising": "rising" does not belong to the value; write it into a column of its own`},
		{"more than any meter shows", "readings.csv", readings + ",G1:+,S1:1,ohms,1e308,,\n",
			`readings.csv line 2, column value: 1e+308 ohm is more than any meter shows; write OL, or what the display shows`},
		{"both tips on one terminal", "readings.csv", readings + ",G1:+,G1:+,,beep,,\n",
			`readings.csv line 2, column black: both tips are on G1:+; write the other terminal`},
		{"a beep in ohms", "readings.csv", readings + ",G1:+,S1:1,ohms,beep,,\n",
			`readings.csv line 2, column value: beep is no reading in mode ohms; write a number or OL, or use the mode continuity`},
		{"ohms in continuity", "readings.csv", readings + ",G1:+,S1:1,continuity,0.4,,\n",
			`readings.csv line 2, column value: 0.4 is no continuity reading; write beep or silent, or use the mode ohms`},
		{"OL in volts", "readings.csv", readings + ",G1:+,S1:1,volts-dc,OL,,\n",
			`readings.csv line 2, column value: OL is no voltage; the meter is over its range: choose a higher one, and write what it shows`},
		{"unknown mode", "readings.csv", readings + ",G1:+,S1:1,amps,1,,\n",
			`readings.csv line 2, column mode: unknown word "amps"; write one of continuity, ohms, diode, volts-dc, volts-ac`},
		{"unknown drift", "readings.csv", readings + ",G1:+,S1:1,ohms,1,up,\n",
			`readings.csv line 2, column drift: unknown word "up"; leave it empty, or write one of steady, rising, falling`},
		{"reading at nothing", "readings.csv", readings + ",G1:+,S1:1,,beep,,\n,G1:0V,S1:1,,beep,,\n,G1:+,S9:1,,beep,,\n",
			`readings.csv line 3, column red: no terminal "G1:0V"; G1 has +, - (and 1 more)`},
		{"condition of no kind", "readings.csv", readings + ",G1:+,S1:1,,beep,,powered G1\n",
			`readings.csv line 2, column conditions: condition "powered G1": unknown word "powered"; write one of unplugged, lifted, open, closed, clipped, driven`},
		{"condition about no link", "readings.csv", readings + ",G1:+,S1:1,,beep,,open S1:1-3\n",
			`readings.csv line 2, column conditions: condition "open S1:1-3": no link "S1:1-3"; S1 has S1:1-2`},
		{"several", "wires.csv", "wire,from,to,colour,gauge,length_m,cable,basis,removed\nW1,G1:+,S1:1,RD,AWG 18,-1,,,\nW2,S1:2,K3:A1,RED,AWG 18,1,,,\nW3,,K3:A1,RED,AWG 18,1,,,\n",
			`wires.csv line 2, column length_m: -1 is negative; write it without the minus sign, or leave it empty (and 2 more)`},
		{"bad UTF-8", "devices.csv", "device,kind,title\nG1,supply,caf\xe9\n",
			`devices.csv line 2, column title: "caf\xe9" is no UTF-8; save the file as UTF-8`},
		{"bad UTF-8 in the header", "devices.csv", "device,k\xe9nd\n",
			`devices.csv line 1, column 2: "k\xe9nd" is no UTF-8; save the file as UTF-8`},
		{"UTF-16", "devices.csv", "\xff\xfed\x00e\x00v\x00",
			`devices.csv line 1: the file is UTF-16; save it as UTF-8`},
		{"NUL", "devices.csv", "device,kind,title\nG1,supply,a\x00b\n",
			`devices.csv line 2, column title: "a\x00b" holds a NUL character; delete it`},
		{"lone carriage returns", "devices.csv", "device,kind,title\rG1,supply,12 V\r",
			`devices.csv line 1, column 3: a carriage return stands alone; save the file with LF or CRLF line ends`},
		{"open quote", "devices.csv", "device,kind,title\nG1,supply,\"12 V\nS1,switch,\n",
			`devices.csv line 2, column title: the quote that opens here is never closed; close it, or write a quote inside a cell twice`},
		{"open quote further on", "devices.csv", "device,note,title\nG1,\"two\nlines\",\"12 V\nS1,switch,\n",
			`devices.csv line 3, column title: the quote that opens here is never closed; close it, or write a quote inside a cell twice`},
		{"quote inside a cell", "devices.csv", "device,kind,title\nG1,supply,12\" rack\n",
			`devices.csv line 2, column title: a quote stands inside the cell "12\" rack"; put the whole cell in quotes and write the quote twice`},
		{"text after a quoted cell", "devices.csv", "device,kind,title\nG1,supply,\"12\" V\n",
			`devices.csv line 2, column title: after the closing quote stands "V"; put a ',' there, or write a quote inside a cell twice`},
		{"misspelt file", "wire.csv", wires,
			`wire.csv: no table has this name; did you mean wires.csv? the tables are settings.csv, devices.csv, terminals.csv, links.csv, wires.csv, bonds.csv, readings.csv, symptoms.csv, history.csv; rename other files so that they do not end in .csv`},
		{"file of no table", "Costs.CSV", "a,b\n",
			`Costs.CSV: no table has this name; the tables are settings.csv, devices.csv, terminals.csv, links.csv, wires.csv, bonds.csv, readings.csv, symptoms.csv, history.csv; rename other files so that they do not end in .csv`},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := model.NewMachine()
			err := importInto(m, damaged(t, c.file, c.text))
			if err == nil {
				t.Fatalf("no error; want %s", c.want)
			}
			if got := err.Error(); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("the error has more than one line: %q", err)
			}
			var located *Error
			if !errors.As(err, &located) || located.File != c.file {
				t.Errorf("no *Error of %s: %#v", c.file, err)
			}
			if len(m.Rows()) > 0 {
				t.Errorf("the machine was changed: %v", m.Rows())
			}
		})
	}
}

func TestSoundMachineIsTaken(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	if len(m.Devices) != 3 || len(m.Terminals) != 6 || len(m.Links) != 2 || len(m.Wires) != 2 || len(m.Bonds) != 1 || len(m.Readings) != 1 || len(m.SettingRows) != 1 {
		t.Errorf("got %v", m.Rows())
	}
}
