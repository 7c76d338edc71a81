package causes

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"strings"
	"sync"

	"bellout/assets"
	"bellout/model"
)

// Mechanism is a way in which one thing kills several devices.
type Mechanism string

// The mechanisms, by the words of assets/causes/mechanisms.csv.
const (
	Overvoltage     Mechanism = "overvoltage"
	ReversePolarity Mechanism = "reverse-polarity"
	LostReturn      Mechanism = "lost-return"
	GroundShift     Mechanism = "ground-shift"
	BackFeed        Mechanism = "back-feed"
	Transient       Mechanism = "transient"
	MainsSurge      Mechanism = "mains-surge"
	Leakage         Mechanism = "leakage"
	Ripple          Mechanism = "ripple"
	Heat            Mechanism = "heat"
	Undervoltage    Mechanism = "undervoltage"
)

// Port is the side of a device that a mechanism reaches.
type Port string

// The ports that fragility is tabled for.
const (
	PortPower  Port = "power"
	PortSignal Port = "signal"
	PortDrive  Port = "drive"
	PortHeat   Port = "heat"
)

// Weights are the numbers of the scheme.
type Weights struct {
	Lethality  map[Mechanism]float64
	Title      map[Mechanism]string
	fragility  map[[2]string]float64 // kind and port
	background map[string]float64    // by kind
	points     map[string]map[Mechanism]float64
	signatures []signature
	sureness   []phraseNumber
	events     []event
	bounds     map[string]float64
}

// event is a phrase in the notes of failed devices that says when they died.
type event struct{ phrase, evidence string }

type signature struct {
	phrase    string
	mechanism Mechanism
	points    float64
}

type phraseNumber struct {
	phrase string
	number float64
}

// DefaultWeights returns the numbers that come with the program.
var DefaultWeights = sync.OnceValue(func() *Weights {
	weights, err := ReadWeights(assets.Causes())
	if err != nil {
		panic("assets: causes: " + err.Error())
	}
	return weights
})

// ReadWeights reads the tables of a folder laid out as assets/causes. Errors
// name the file and the line.
func ReadWeights(folder fs.FS) (*Weights, error) {
	w := &Weights{
		Lethality: map[Mechanism]float64{}, Title: map[Mechanism]string{}, fragility: map[[2]string]float64{},
		background: map[string]float64{}, points: map[string]map[Mechanism]float64{}, bounds: map[string]float64{},
	}
	marks := map[string]float64{}
	tables := []struct {
		file   string
		header string
		take   func(row []string) error
	}{
		{"mechanisms.csv", "mechanism,lethality,title,note", func(row []string) error {
			number, err := chance(row[1])
			w.Lethality[Mechanism(row[0])], w.Title[Mechanism(row[0])] = number, row[2]
			return err
		}},
		{"fragility.csv", "kind,port,fragility,note", func(row []string) error {
			number, err := chance(row[2])
			w.fragility[[2]string{row[0], row[1]}] = number
			return err
		}},
		{"background.csv", "kind,chance,note", func(row []string) error {
			number, err := chance(row[1])
			w.background[row[0]] = number
			return err
		}},
		{"points.csv", "evidence,mechanisms,points,note", w.takePoints},
		{"marks.csv", "mark,points", func(row []string) (err error) {
			marks[row[0]], err = model.ParseNumber(row[1])
			return err
		}},
		{"signatures.csv", "phrase,mechanism,mark,note", func(row []string) error {
			points, known := marks[row[2]]
			if !known {
				return fmt.Errorf("mark %q is not in marks.csv", row[2])
			}
			w.signatures = append(w.signatures, signature{row[0], Mechanism(row[1]), points})
			return w.checkMechanism(row[1])
		}},
		{"sureness.csv", "phrase,sure,note", func(row []string) error {
			number, err := chance(row[1])
			w.sureness = append(w.sureness, phraseNumber{row[0], number})
			return err
		}},
		{"events.csv", "phrase,evidence,note", func(row []string) error {
			if w.points[row[1]] == nil {
				return fmt.Errorf("evidence %q is not in points.csv", row[1])
			}
			w.events = append(w.events, event{row[0], row[1]})
			return nil
		}},
		{"verdict.csv", "rule,number,note", func(row []string) (err error) {
			w.bounds[row[0]], err = model.ParseNumber(row[1])
			return err
		}},
	}
	for _, table := range tables {
		if err := readTable(folder, table.file, table.header, table.take); err != nil {
			return nil, err
		}
	}
	return w, nil
}

func (w *Weights) takePoints(row []string) error {
	points, err := model.ParseNumber(row[2])
	if err != nil {
		return err
	}
	if w.points[row[0]] == nil {
		w.points[row[0]] = map[Mechanism]float64{}
	}
	for _, word := range strings.Fields(row[1]) {
		if word != "*" {
			if err := w.checkMechanism(word); err != nil {
				return err
			}
		}
		w.points[row[0]][Mechanism(word)] = points
	}
	return nil
}

func (w *Weights) checkMechanism(word string) error {
	if _, known := w.Lethality[Mechanism(word)]; !known {
		return fmt.Errorf("mechanism %q is not in mechanisms.csv", word)
	}
	return nil
}

func readTable(folder fs.FS, file, header string, take func(row []string) error) error {
	in, err := folder.Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	rows := csv.NewReader(in)
	all, err := rows.ReadAll()
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if len(all) == 0 || strings.Join(all[0], ",") != header {
		return fmt.Errorf("%s: write the header row %s", file, header)
	}
	for at, row := range all[1:] {
		if err := take(row); err != nil {
			return fmt.Errorf("%s line %d: %w", file, at+2, err)
		}
	}
	return nil
}

func chance(text string) (float64, error) {
	number, err := model.ParseNumber(text)
	if err == nil && (number < 0 || number > 1) {
		err = fmt.Errorf("%s; write a number from 0 to 1", text)
	}
	return number, err
}

// Points returns what a piece of evidence counts for a mechanism; 0 where the
// table does not name the two together.
func (w *Weights) Points(evidence string, mechanism Mechanism) float64 {
	if points, named := w.points[evidence][mechanism]; named {
		return points
	}
	return w.points[evidence]["*"]
}

// Fragility returns how easily a device of a kind dies when a mechanism reaches
// one of its ports: its own row, else that of kind other, else the power
// port's.
func (w *Weights) Fragility(kind model.DeviceKind, port Port) float64 {
	for _, key := range [][2]string{
		{string(kind.Known()), string(port)}, {string(kind.Known()), string(PortPower)}, {"other", string(port)},
	} {
		if number, known := w.fragility[key]; known {
			return number
		}
	}
	return w.fragility[[2]string{"other", string(PortPower)}]
}

// Background returns the chance that a device of a kind dies by itself within
// the time looked at.
func (w *Weights) Background(kind model.DeviceKind) float64 {
	if number, known := w.background[string(kind.Known())]; known {
		return number
	}
	return w.background["other"]
}

// Sureness returns how sure it is that a device noted as well is well, by the
// phrases in its note.
func (w *Weights) Sureness(note string) float64 {
	note = strings.ToLower(note)
	for _, row := range w.sureness {
		if strings.Contains(note, row.phrase) {
			return row.number
		}
	}
	return 1
}

// Bound returns a number of verdict.csv.
func (w *Weights) Bound(rule string) float64 { return w.bounds[rule] }
