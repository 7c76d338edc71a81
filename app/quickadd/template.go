package quickadd

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"bellout/assets"
	"bellout/model"
)

// Template says what a device of one sort has.
type Template struct {
	Name  string
	Hint  string // an example line
	Lines []string
}

// BuiltIn are the templates that come with Bellout, in the order of their file.
var BuiltIn = sync.OnceValue(func() []Template {
	list, err := ReadTemplates(assets.Templates)
	if err != nil {
		panic("assets/templates: " + err.Error())
	}
	return list
})

// Templates lists those that come with Bellout and the machine's own, which go
// before one of the same name. One of the machine that cannot be read is left
// out.
func Templates(m *model.Machine) []Template {
	var list []Template
	for _, own := range m.Sorted().Templates {
		if read, err := ReadTemplates(own.Name + "\n" + indent(own.Definition)); err == nil && len(read) == 1 {
			list = append(list, read[0])
		}
	}
	for _, template := range BuiltIn() {
		if !slices.ContainsFunc(list, func(own Template) bool { return own.Name == template.Name }) {
			list = append(list, template)
		}
	}
	return list
}

func indent(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = "  " + strings.TrimSpace(line)
	}
	return strings.Join(lines, "\n")
}

// lineWords are the words with which a line of a template begins.
var lineWords = []string{"kind", "load", "limit", "terminal", "link", "chain", "each", "hint"}

// ReadTemplates reads templates in the form of assets/templates. Errors name the
// line.
func ReadTemplates(text string) ([]Template, error) {
	var list []Template
	for number, line := range strings.Split(text, "\n") {
		trimmed := strings.TrimSpace(line)
		switch {
		case trimmed == "" || strings.HasPrefix(trimmed, "#"):
		case line[0] != ' ' && line[0] != '\t':
			list = append(list, Template{Name: trimmed})
		case len(list) == 0:
			return nil, fmt.Errorf("line %d: %q stands before any template; write the template's name first, not set in", number+1, trimmed)
		default:
			begin, rest, _ := strings.Cut(trimmed, " ")
			if !slices.Contains(lineWords, begin) {
				return nil, fmt.Errorf("line %d: no line begins with %q; write one of %s", number+1, begin, strings.Join(lineWords, ", "))
			}
			last := &list[len(list)-1]
			if begin == "hint" {
				last.Hint = strings.TrimSpace(rest)
				continue
			}
			last.Lines = append(last.Lines, trimmed)
		}
	}
	return list, nil
}

// FromDevice makes a template of a device that is on the map, so that it can be
// put in again.
func FromDevice(m *model.Machine, ref, name string) (model.Template, error) {
	device, there := m.Device(ref)
	if !there {
		return model.Template{}, fmt.Errorf("no device %q on the map", ref)
	}
	sorted := m.Sorted()
	lines := []string{"kind " + string(device.Kind.Known())}
	if device.LoadAmps.Known {
		lines = append(lines, "load "+device.LoadAmps.String())
	}
	if device.LimitAmps.Known {
		lines = append(lines, "limit "+device.LimitAmps.String())
	}
	for _, terminal := range sorted.Terminals {
		if terminal.Device == ref {
			lines = append(lines, strings.TrimSpace(fmt.Sprintf("terminal %s %s %s", terminal.Mark, orDash(string(terminal.Role)), terminal.Volts)))
		}
	}
	for _, link := range sorted.Links {
		if link.Device == ref {
			lines = append(lines, strings.Join(strings.Fields(fmt.Sprintf("link %s %s %s %s %s", link.From, link.To, link.Kind, link.Value, link.State)), " "))
		}
	}
	return model.Template{Name: name, Definition: strings.Join(lines, "\n")}, nil
}

// orDash stands for an empty role in a template's line.
func orDash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// OwnTemplate reads a line such as
//
//	"gate relay" from K1
//
// and returns the edit that makes a template of one's own of that device, in the
// place of the one of that name.
func OwnTemplate(m *model.Machine, line string) (model.Edit, error) {
	list, _, err := words(line)
	if err != nil {
		return model.Edit{}, err
	}
	if len(list) != 3 || list[1] != "from" {
		return model.Edit{}, fmt.Errorf(`write template, a name and the device it is made of, as in template "gate relay" from K1`)
	}
	own, err := FromDevice(m, list[2], list[0])
	if err != nil {
		return model.Edit{}, err
	}
	for _, complaint := range own.Validate() {
		return model.Edit{}, complaint
	}
	change := model.Change{After: own}
	if before, there := m.Template(own.Name); there {
		change.Before = before
	}
	return model.Edit{What: fmt.Sprintf("template %q made of %s", own.Name, list[2]), Changes: []model.Change{change}}, nil
}
