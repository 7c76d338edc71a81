package changes

import (
	"fmt"
	"slices"
	"strings"

	"bellout/model"
	"bellout/model/merge"
)

// Conflict is one row of which the work of two people cannot both be kept, in
// words.
type Conflict struct {
	Key    string         `json:"key"` // by which it is chosen, as in wire:W7
	Name   string         `json:"name"`
	Reason string         `json:"reason"`
	Fields []string       `json:"fields"` // that differ; empty where a row is deleted or used. Never nil.
	Mine   string         `json:"mine"`   // what becomes of it by each choice
	Theirs string         `json:"theirs"`
	Both   bool           `json:"may_keep_both"`
	Safe   string         `json:"safe"` // the choice by which nothing is lost
	Of     merge.Conflict `json:"-"`
}

// Conflicts puts the conflicts of a plan into words, in their order.
func Conflicts(list []merge.Conflict) []Conflict {
	out := make([]Conflict, len(list))
	for i, c := range list {
		out[i] = Conflict{
			Key: ConflictKey(c), Name: string(c.Table) + " " + c.ID, Reason: string(c.Reason), Fields: slices.Clone(c.Fields),
			Mine: side(c.Mine, c.Fields), Theirs: side(c.Theirs, c.Fields), Both: c.MayKeepBoth, Safe: ChoiceWord(c.Safe()), Of: c,
		}
		if out[i].Fields == nil {
			out[i].Fields = []string{}
		}
	}
	return out
}

// ConflictKey is the name by which a conflict is chosen: table and row.
func ConflictKey(c merge.Conflict) string { return string(c.Table) + ":" + c.ID }

// Choices are the words for the sides of a conflict.
var Choices = []string{"mine", "theirs", "both"}

// ChoiceWord is the word of a choice.
func ChoiceWord(c merge.Choice) string { return Choices[c] }

// ParseChoice reads the word of a choice.
func ParseChoice(text string) (merge.Choice, error) {
	if at := slices.Index(Choices, text); at >= 0 {
		return merge.Choice(at), nil
	}
	return 0, fmt.Errorf("no side %q; write mine, theirs or both", text)
}

// side says what a row says in the columns that differ, or that it is deleted.
func side(row model.Row, columns []string) string {
	if row == nil {
		return "deleted"
	}
	if len(columns) == 0 {
		return "kept: " + whole(row)
	}
	var words []string
	for _, f := range model.FieldChanges(zeroOf(row), row) {
		if slices.Contains(columns, f.Field) {
			words = append(words, f.Field+" "+orNothing(f.After))
		}
	}
	for _, column := range columns {
		if !slices.ContainsFunc(words, func(word string) bool { return strings.HasPrefix(word, column+" ") }) {
			words = append(words, column+" empty")
		}
	}
	return strings.Join(words, ", ")
}

func whole(row model.Row) string {
	switch r := row.(type) {
	case model.Wire:
		return r.Name + " " + ends(r)
	case model.Device:
		return called(r)
	case model.Terminal:
		return terminalWords(r)
	case model.Link:
		return linkWords(r)
	}
	return row.ID()
}

// zeroOf is an empty row of the same table.
func zeroOf(row model.Row) model.Row {
	switch row.(type) {
	case model.Setting:
		return model.Setting{}
	case model.Device:
		return model.Device{}
	case model.Terminal:
		return model.Terminal{}
	case model.Link:
		return model.Link{}
	case model.Wire:
		return model.Wire{}
	case model.Bond:
		return model.Bond{}
	case model.Reading:
		return model.Reading{}
	case model.Event:
		return model.Event{}
	case model.Place:
		return model.Place{}
	case model.Photo:
		return model.Photo{}
	}
	return model.Template{}
}
