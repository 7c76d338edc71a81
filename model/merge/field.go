package merge

import (
	"reflect"
	"strings"
	"time"

	"bellout/model"
)

// together are fields that say one thing: of two changes to such a pair, one
// half of each would make something that nobody has seen.
var together = map[model.Table][][]string{
	model.TableDevice:   {{"health", "failed_at"}},
	model.TableTerminal: {{"volts", "min_v", "max_v"}},
	model.TableLink:     {{"from", "to"}},
	model.TableWire:     {{"from", "to"}},
	model.TableBond:     {{"from", "to"}},
	model.TablePlace:    {{"x", "y", "pinned"}},
}

// byField merges two versions of a row, each against base; nil: there was none,
// and every field that differs is in doubt. fields are those that both changed,
// and not alike: with mine, or with theirs, they are as that side has them.
func byField(base, mine, theirs model.Row) (withMine, withTheirs model.Row, fields []string) {
	a := reflect.New(reflect.TypeOf(mine)).Elem()
	a.Set(reflect.ValueOf(mine))
	b := reflect.New(reflect.TypeOf(theirs)).Elem()
	b.Set(reflect.ValueOf(theirs))
	for _, group := range groupsOf(mine) {
		ours, other := valuesAt(mine, group), valuesAt(theirs, group)
		switch {
		case same(ours, other):
		case base != nil && same(ours, valuesAt(base, group)):
			set(a, group, other)
		case base != nil && same(other, valuesAt(base, group)):
			set(b, group, ours)
		default:
			for _, at := range group {
				fields = append(fields, nameAt(a.Type(), at))
			}
		}
	}
	withMine, withTheirs = a.Interface().(model.Row), b.Interface().(model.Row)
	if len(withMine.Validate()) > 0 || len(withTheirs.Validate()) > 0 { // what fits singly need not fit together
		return mine, theirs, names(a.Type())
	}
	return withMine, withTheirs, fields
}

// groupsOf returns the fields of a row by their places, those that say one thing
// together.
func groupsOf(row model.Row) (groups [][]int) {
	kind := reflect.TypeOf(row)
	grouped := map[string]int{}
	for number, list := range together[row.Table()] {
		for _, name := range list {
			grouped[name] = number
		}
	}
	at := map[int]int{} // the place in groups of each group met
	for i := range kind.NumField() {
		number, isGrouped := grouped[nameAt(kind, i)]
		if place, met := at[number]; isGrouped && met {
			groups[place] = append(groups[place], i)
			continue
		}
		if isGrouped {
			at[number] = len(groups)
		}
		groups = append(groups, []int{i})
	}
	return groups
}

func nameAt(kind reflect.Type, at int) string {
	name, _, _ := strings.Cut(kind.Field(at).Tag.Get("json"), ",")
	return name
}

func names(kind reflect.Type) (list []string) {
	for at := range kind.NumField() {
		list = append(list, nameAt(kind, at))
	}
	return list
}

func valuesAt(row model.Row, group []int) (values []any) {
	for _, at := range group {
		values = append(values, reflect.ValueOf(row).Field(at).Interface())
	}
	return values
}

func same(a, b []any) bool {
	for i := range a {
		moment, isTime := a[i].(time.Time)
		if isTime && moment.Equal(b[i].(time.Time)) {
			continue
		}
		if isTime || a[i] != b[i] {
			return false
		}
	}
	return true
}

func set(row reflect.Value, group []int, values []any) {
	for i, at := range group {
		row.Field(at).Set(reflect.ValueOf(values[i]))
	}
}
