package typed

import (
	"fmt"
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

// units are the endings of values, the longer ones first; scale is what one is
// worth.
var units = []struct {
	ending string
	scale  float64
	put    func(*given, float64)
}{
	{"kohm", 1e3, putOhms}, {"mohm", 1e-3, putOhms}, {"ohms", 1, putOhms}, {"ohm", 1, putOhms}, {"kω", 1e3, putOhms}, {"ω", 1, putOhms},
	{"mv", 1e-3, putVolts}, {"v", 1, putVolts},
	{"ma", 1e-3, putAmps}, {"a", 1, putAmps},
	{"pf", 1e-12, putFarads}, {"nf", 1e-9, putFarads}, {"uf", 1e-6, putFarads}, {"µf", 1e-6, putFarads}, {"μf", 1e-6, putFarads}, {"mf", 1e-3, putFarads}, {"f", 1, putFarads},
}

func putVolts(g *given, value float64)  { g.volts = append(g.volts, model.Known(value)) }
func putAmps(g *given, value float64)   { g.amps = model.Known(value) }
func putOhms(g *given, value float64)   { g.ohms = model.Known(value) }
func putFarads(g *given, value float64) { g.farads = model.Known(value) }

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
			if !source.unit(list[at]) || len(source.volts) != 1 {
				return g, fmt.Errorf("from %s: write the volts that go in, as in from 24V", list[at])
			}
			g.from = source.volts[0]
		case g.unit(word):
		case isCount(word):
			g.count, _ = strconv.Atoi(word)
		default:
			return g, fmt.Errorf(`%q is nothing that belongs here; write %s`, word, DeviceForm)
		}
	}
	return g, nil
}

// unit takes a number with its unit; false if the word is none.
func (g *given) unit(word string) bool {
	lower := strings.ToLower(word)
	for _, unit := range units {
		number, found := strings.CutSuffix(lower, unit.ending)
		if !found || number == "" {
			continue
		}
		value, err := model.ParseNumber(number)
		if err != nil {
			continue
		}
		unit.put(g, value*unit.scale)
		return true
	}
	return false
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
