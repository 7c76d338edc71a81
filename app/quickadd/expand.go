package quickadd

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bellout/model"
)

// rows makes the rows of a device.
func (t Template) rows(ref string, g given) ([]model.Row, error) {
	device := making{model.Device{Ref: ref, Kind: model.KindOther, Title: g.title, Zone: g.zone, Health: model.HealthUnknown}}
	var rows []model.Row
	for _, line := range t.Lines {
		lines, err := g.fill(line)
		if err != nil {
			return nil, err
		}
		for _, filled := range lines {
			more, err := device.take(filled)
			if err != nil {
				return nil, err
			}
			rows = append(rows, more...)
		}
	}
	return append([]model.Row{device.Device}, rows...), nil
}

// fill puts what was typed into a line, once for each turn of it.
func (g given) fill(line string) ([]string, error) {
	if rest, each := strings.CutPrefix(line, "each volts "); each {
		if len(g.volts) == 0 {
			return nil, errors.New("at how many volts? write them, as in 24V")
		}
		var lines []string
		for turn, volts := range g.volts {
			mark := "" // one output needs no number
			if len(g.volts) > 1 {
				mark = strconv.Itoa(turn + 1)
			}
			one := g
			one.volts = []model.Optional{volts}
			filled, err := one.values(strings.ReplaceAll(rest, "{k}", mark))
			if err != nil {
				return nil, err
			}
			lines = append(lines, filled)
		}
		return lines, nil
	}
	filled, err := g.values(line)
	if err != nil || !strings.Contains(filled, "{1..n}") {
		return []string{filled}, err
	}
	if g.count == 0 {
		return nil, errors.New("how many? write a number, as in 12")
	}
	begin, rest, _ := strings.Cut(filled, " ")
	if begin == "chain" { // each to the one after it
		var lines []string
		for turn := 1; turn < g.count; turn++ {
			from, kind, _ := strings.Cut(rest, " ")
			lines = append(lines, fmt.Sprintf("link %s %s %s", turned(from, turn), turned(from, turn+1), kind))
		}
		return lines, nil
	}
	var lines []string
	for turn := 1; turn <= g.count; turn++ {
		lines = append(lines, turned(filled, turn))
	}
	return lines, nil
}

func turned(text string, turn int) string {
	return strings.ReplaceAll(text, "{1..n}", strconv.Itoa(turn))
}

// values puts in what was typed with a unit. What was not typed and may be left
// out leaves nothing.
func (g given) values(line string) (string, error) {
	first := model.Optional{}
	if len(g.volts) > 0 {
		first = g.volts[0]
	}
	for _, value := range []struct {
		name, ask string
		typed     model.Optional
	}{
		{"volts", "at how many volts? write them, as in 24V", first},
		{"from", "from how many volts? write them, as in from 24V", g.from},
		{"amps", "how many amperes? write them, as in 2A", g.amps},
		{"ohms", "how many ohms? write them, as in 18ohm", g.ohms},
		{"farads", "how many farads? write them, as in 470uF", g.farads},
	} {
		line = strings.ReplaceAll(line, "{"+value.name+"?}", value.typed.String())
		if needed := "{" + value.name + "}"; strings.Contains(line, needed) {
			if !value.typed.Known {
				return "", errors.New(value.ask)
			}
			line = strings.ReplaceAll(line, needed, value.typed.String())
		}
	}
	return line, nil
}

// making is a device while its lines are read.
type making struct{ model.Device }

// take reads one line of which everything is filled in.
func (d *making) take(line string) ([]model.Row, error) {
	fields := strings.Fields(line)
	begin, fields := fields[0], fields[1:]
	bad := func() error { return fmt.Errorf("the template's line %q cannot be read", line) }
	switch {
	case begin == "kind" && len(fields) == 1:
		d.Kind = model.DeviceKind(fields[0])
		return nil, nil
	case begin == "load" || begin == "limit":
		amps, err := model.ParseOptional(strings.Join(fields, ""))
		if err != nil {
			return nil, bad()
		}
		if begin == "load" {
			d.LoadAmps = amps
		} else {
			d.LimitAmps = amps
		}
		return nil, nil
	case begin == "terminal" && len(fields) >= 1 && len(fields) <= 3:
		terminal := model.Terminal{Device: d.Ref, Mark: fields[0]}
		if len(fields) > 1 && fields[1] != "-" {
			terminal.Role = model.Role(fields[1])
		}
		if len(fields) > 2 {
			volts, err := model.ParseOptional(fields[2])
			if err != nil {
				return nil, bad()
			}
			terminal.Volts = volts
		}
		return []model.Row{terminal}, nil
	case begin == "link" && len(fields) >= 3 && len(fields) <= 5:
		link := model.Link{Device: d.Ref, From: fields[0], To: fields[1], Kind: model.LinkKind(fields[2])}
		for _, field := range fields[3:] {
			if value, err := model.ParseOptional(field); err == nil {
				link.Value = value
			} else {
				link.State = model.LinkState(field)
			}
		}
		return []model.Row{link}, nil
	}
	return nil, bad()
}
