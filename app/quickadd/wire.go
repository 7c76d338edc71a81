package quickadd

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bellout/model"
)

// WireForm is how a line for a wire is written.
const WireForm = "FROM TO, then what is known: a name (W12), a colour (RD), a gauge (AWG 18, 0.75mm2), a length (1.2m), a cable (cable C3), planned or seen; as in G1:+ F1:1 RD 0.75mm2 1.2m"

// Wire reads a line such as
//
//	G1:+ F1:1 RD 0.75mm2 1.2m
//
// and returns the edit that puts that wire on the map, and the wire's name: the
// one that was typed, else W and the number after the highest.
func Wire(m *model.Machine, line string) (edit model.Edit, name string, err error) {
	list, _, err := words(line)
	if err != nil {
		return model.Edit{}, "", err
	}
	wire := model.Wire{Basis: model.BasisSeen}
	var ends []model.TerminalRef
	for at := 0; at < len(list); at++ {
		word := list[at]
		length, isLength, err := readLength(word)
		if err != nil {
			return model.Edit{}, "", err
		}
		switch {
		case strings.Contains(word, ":"):
			ref, err := m.FindTerminal(word)
			if err != nil {
				return model.Edit{}, "", err
			}
			ends = append(ends, ref)
		case word == "cable" && at+1 < len(list):
			at++
			wire.Cable = list[at]
		case word == string(model.BasisPlanned) || word == string(model.BasisSeen) || word == string(model.BasisProbed):
			wire.Basis = model.Basis(word)
		case strings.EqualFold(word, "AWG") && at+1 < len(list):
			at++
			if wire.Gauge, err = model.ParseGauge("AWG " + list[at]); err != nil {
				return model.Edit{}, "", err
			}
		case strings.HasPrefix(strings.ToUpper(word), "AWG"), strings.HasSuffix(word, "mm2"), strings.HasSuffix(word, "mm²"):
			if wire.Gauge, err = readGauge(word); err != nil {
				return model.Edit{}, "", err
			}
		case isLength:
			wire.LengthMetres = length
		default:
			if colour, err := model.ParseColour(strings.ToUpper(word)); err == nil {
				wire.Colour = colour
				continue
			}
			if wire.Name != "" {
				return model.Edit{}, "", fmt.Errorf("%q is nothing that belongs here; write %s", word, WireForm)
			}
			wire.Name = word
		}
	}
	if len(ends) != 2 {
		return model.Edit{}, "", fmt.Errorf("a wire has two ends; write %s", WireForm)
	}
	wire.From, wire.To = ends[0], ends[1]
	if wire.Name == "" {
		wire.Name = freeWire(m)
	} else if _, taken := m.Wire(wire.Name); taken {
		return model.Edit{}, "", fmt.Errorf("there is a wire %s already; %s is free", wire.Name, freeWire(m))
	}
	for _, complaint := range wire.Validate() {
		return model.Edit{}, "", complaint
	}
	what := fmt.Sprintf("wire %s added from %s to %s", wire.Name, wire.From, wire.To)
	return model.Edit{What: what, Changes: []model.Change{{After: wire}}}, wire.Name, nil
}

// readGauge reads AWG18 and 0.75mm2, which people write without the blank.
func readGauge(word string) (model.Gauge, error) {
	if number, square := strings.CutSuffix(strings.ReplaceAll(word, "²", "2"), "mm2"); square {
		return model.ParseGauge(strings.TrimSpace(number) + " mm2")
	}
	return model.ParseGauge("AWG " + strings.TrimSpace(word[len("AWG"):]))
}

// readLength reads a length with its unit; false if the word is none. The error asks
// which of two was meant.
func readLength(word string) (metres model.Optional, is bool, err error) {
	for _, unit := range []struct {
		ending string
		metres float64
	}{{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1}} {
		if number, found := strings.CutSuffix(word, unit.ending); found && number != "" {
			value, err := model.ParseDecimal(number)
			if _, asks := errors.AsType[model.Ambiguous](err); asks {
				return model.Optional{}, false, err
			}
			return model.Known(value * unit.metres), err == nil, nil
		}
	}
	return model.Optional{}, false, nil
}

// freeWire is W and the number after the highest.
func freeWire(m *model.Machine) string {
	highest := 0
	for _, wire := range m.Wires {
		if digits, plain := strings.CutPrefix(wire.Name, "W"); plain {
			if number, err := strconv.Atoi(digits); err == nil && number > highest && number < 1<<30 {
				highest = number
			}
		}
	}
	return "W" + strconv.Itoa(highest+1)
}
