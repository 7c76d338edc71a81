package model

import (
	"fmt"
	"reflect"
	"strings"
	"time"
)

// FieldChange is one field that differs between two rows, named and printed as
// in the CSV files.
type FieldChange struct{ Field, Before, After string }

// FieldChanges returns the fields in which two rows of one table differ, in the
// order of their columns; empty if they say the same. It panics for rows of two
// tables.
func FieldChanges(before, after Row) []FieldChange {
	list := []FieldChange{}
	a, b := reflect.ValueOf(before), reflect.ValueOf(after)
	if a.Type() != b.Type() {
		panic(fmt.Sprintf("FieldChanges of a %s and a %s", before.Table(), after.Table()))
	}
	for _, field := range fieldsOf(a.Type()) {
		was, is := printField(a.Field(field.at)), printField(b.Field(field.at))
		if was != is {
			list = append(list, FieldChange{Field: field.name, Before: was, After: is})
		}
	}
	return list
}

type field struct {
	name string
	at   int
}

// fieldsOf lists the fields of a row that the files know.
func fieldsOf(row reflect.Type) (list []field) {
	for at := range row.NumField() {
		if name, _, _ := strings.Cut(row.Field(at).Tag.Get("json"), ","); name != "" && name != "-" {
			list = append(list, field{name: name, at: at})
		}
	}
	return list
}

func printField(value reflect.Value) string {
	switch value := value.Interface().(type) {
	case time.Time:
		if value.IsZero() {
			return ""
		}
		return FormatTime(value.UTC()) // the same moment in another zone is no change
	case float64:
		return FormatNumber(value)
	default:
		return fmt.Sprint(value)
	}
}

// SameRow says whether two rows say the same; times are equal when they name
// the same moment. nil is a row that is not there.
func SameRow(a, b Row) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return a.Table() == b.Table() && sameRow(a, b)
}
