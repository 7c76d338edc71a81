package quickadd

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bellout/model"
)

// given is what was typed about a device beyond its reference and template.
type given struct {
	count  int
	volts  []model.Optional
	from   model.Optional
	amps   model.Optional
	ohms   model.Optional
	farads model.Optional
	title  string
	zone   string
}

// DeviceForm is how a line for a device is written.
const DeviceForm = `REFERENCE TEMPLATE, then what applies: 12 (how many), 24V, 2A, 18ohm, "a title", in ZONE; as in F1 fuse 2A "fuse: lamps" in cabinet`

// Device reads a line such as
//
//	G1 supply 24V 10A "24 V supply" in cabinet
//
// and returns the edit that puts that device on the map. The line begins with
// the reference and the name of a template; then, in any order, how many (12), a
// voltage or several (24V), amperes (10A), ohms (18ohm), farads (470uF), the
// volts that a converter takes (from 24V), a title in quotes, and, to the end of
// the line, in and the zone.
func Device(m *model.Machine, line string) (model.Edit, error) {
	list, inQuotes, err := words(line)
	if err != nil {
		return model.Edit{}, err
	}
	if len(list) < 2 {
		return model.Edit{}, fmt.Errorf("write %s", DeviceForm)
	}
	ref := strings.TrimPrefix(list[0], "-")
	if _, taken := m.Device(ref); taken {
		return model.Edit{}, fmt.Errorf("%s is on the map already; write another reference, %s is free", ref, free(m, ref))
	}
	if _, _, err := pick(Templates(m), list[:1]); err == nil { // the template stands where the reference belongs
		return model.Edit{}, fmt.Errorf("the reference comes first, as in %s %s", list[1], list[0])
	}
	template, rest, err := pick(Templates(m), list[1:])
	if err != nil {
		return model.Edit{}, err
	}
	typed, err := readGiven(rest, inQuotes[len(list)-len(rest):])
	if err != nil {
		return model.Edit{}, err
	}
	rows, err := template.rows(ref, typed)
	if err != nil {
		return model.Edit{}, fmt.Errorf("%s: %w", template.Name, err)
	}
	edit := model.Edit{What: fmt.Sprintf("%s added, a %s", ref, template.Name)}
	for _, row := range rows {
		for _, complaint := range row.Validate() {
			return model.Edit{}, complaint
		}
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	return edit, nil
}

// pick finds the template whose name the words begin with: the longest one,
// since names may hold blanks.
func pick(templates []Template, list []string) (Template, []string, error) {
	for take := len(list); take > 0; take-- {
		name := strings.Join(list[:take], " ")
		for _, template := range templates {
			if strings.EqualFold(template.Name, name) {
				return template, list[take:], nil
			}
		}
	}
	var names []string
	for _, template := range templates {
		names = append(names, template.Name)
	}
	return Template{}, nil, fmt.Errorf("no template %q; write one of %s", list[0], strings.Join(names, ", "))
}

func readGiven(list []string, inQuotes []bool) (given, error) {
	var g given
	for at := 0; at < len(list); at++ {
		word := list[at]
		switch {
		case inQuotes[at] && g.title == "":
			g.title = word
		case word == "in" && at+1 < len(list):
			g.zone = strings.Join(list[at+1:], " ")
			return g, nil
		case word == "from" && at+1 < len(list):
			at++
			var source given
			if took, err := source.unit(list[at]); !took || len(source.volts) != 1 {
				if err != nil {
					return g, fmt.Errorf("from %w", err)
				}
				return g, fmt.Errorf("from %s: write the volts that go in, as in from 24V", list[at])
			}
			g.from = source.volts[0]
		case isCount(word):
			g.count, _ = strconv.Atoi(word)
		default:
			took, err := g.unit(word)
			if err != nil {
				return g, err
			}
			if !took {
				return g, fmt.Errorf(`%q is nothing that belongs here; write %s`, word, DeviceForm)
			}
		}
	}
	return g, nil
}

// unit takes a number with its unit; false if the word is none. The error asks which
// of two was meant.
func (g *given) unit(word string) (took bool, err error) {
	quantity, err := model.ParseQuantity(word)
	if _, asks := errors.AsType[model.Ambiguous](err); asks {
		return false, err
	}
	if err != nil || math.Abs(quantity.Number) > model.MaxNumber {
		return false, nil
	}
	switch quantity.Unit {
	case model.UnitVolt, model.UnitVoltDC, model.UnitVoltAC:
		g.volts = append(g.volts, model.Known(quantity.Number))
	case model.UnitAmpere:
		g.amps = model.Known(quantity.Number)
	case model.UnitOhm:
		g.ohms = model.Known(quantity.Number)
	case model.UnitFarad:
		g.farads = model.Known(quantity.Number)
	default:
		return false, nil
	}
	return true, nil
}

// countMost is how many of a thing one line may ask for.
const countMost = 512

func isCount(word string) bool {
	count, err := strconv.Atoi(word)
	return err == nil && count > 0 && count <= countMost
}

// free is a reference like the one that is taken, with the next number that is
// not.
func free(m *model.Machine, ref string) string {
	letters := strings.TrimRight(ref, "0123456789")
	for number := 1; ; number++ {
		name := letters + strconv.Itoa(number)
		if _, taken := m.Device(name); !taken {
			return name
		}
	}
}
