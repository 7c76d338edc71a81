package model

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Template is a device template of one's own: what a person of this project
// puts in again and again. Those that come with Bellout are not rows.
type Template struct {
	Name string `json:"template"` // unique, as in "gate driver, 8 outputs"; may hold spaces
	// Definition is the text that makes a device of it, in the form of
	// assets/templates; here it is text only.
	Definition string `json:"definition"`
}

// Table says which table a template belongs to.
func (t Template) Table() Table { return TableTemplate }

// ID is the template's name.
func (t Template) ID() string { return t.Name }

// Validate returns every complaint about the template by itself.
func (t Template) Validate() []FieldError {
	var found complaints
	found.title("template", t.Name)
	found.text("definition", t.Definition)
	if strings.TrimSpace(t.Definition) == "" {
		found.add("definition", "the template is empty", "write what the device has")
	}
	return found
}

// title complains about what cannot be a name that people read: one line, not
// empty, without space at its ends.
func (c *complaints) title(field, text string) {
	c.direction(field, text)
	switch {
	case text == "":
		c.add(field, "the name is empty", "give it one")
	case !utf8.ValidString(text):
		c.add(field, "the name is no UTF-8", "write it anew")
	case len(text) > MaxNameLength:
		c.add(field, fmt.Sprintf("the name has %d bytes", len(text)), fmt.Sprintf("keep it under %d", MaxNameLength))
	case strings.TrimSpace(text) != text:
		c.add(field, fmt.Sprintf("%q begins or ends with a space", text), "write "+strings.TrimSpace(text))
	case strings.ContainsFunc(text, unicode.IsControl):
		c.add(field, fmt.Sprintf("%q holds more than one line", text), "write it in one line")
	}
}

// CheckTitle says why a text cannot be a name that people read, as that of a
// template or of a named state; nil if it can.
func CheckTitle(text string) error {
	var found complaints
	found.title("name", text)
	if len(found) == 0 {
		return nil
	}
	return errors.New(found[0].Problem + "; " + found[0].Mend)
}
