package model

import (
	"encoding/json"
	"fmt"
)

// Table names one kind of row.
type Table string

// The tables, in the order in which rows may refer to earlier ones.
const (
	TableSetting  Table = "setting"
	TableDevice   Table = "device"
	TableTerminal Table = "terminal"
	TableLink     Table = "link"
	TableWire     Table = "wire"
	TableBond     Table = "bond"
	TableReading  Table = "reading"
	TableHistory  Table = "history"
	TableSymptom  Table = "symptom"
	TablePlace    Table = "place"
	TablePhoto    Table = "photo"
	TableTemplate Table = "template"
)

// Tables lists every table.
var Tables = []Table{TableSetting, TableDevice, TableTerminal, TableLink, TableWire, TableBond, TableReading, TableSymptom, TableHistory, TablePlace, TablePhoto, TableTemplate}

// Row is one row of a machine, of any table: Setting, Device, Terminal, Link,
// Wire, Bond, Reading, Symptom, Event, Place, Photo or Template, by value.
type Row interface {
	Table() Table
	ID() string // unique in its table
	Validate() []FieldError
}

// Change puts After in the place of Before. Without Before the row is new,
// without After it goes. Both are of one table; if their IDs differ, the row
// is renamed.
type Change struct {
	Before Row
	After  Row
}

// Table says which table the change is in.
func (c Change) Table() Table {
	if c.After != nil {
		return c.After.Table()
	}
	return c.Before.Table()
}

// Edit is a set of changes that hold together: all are made, or none.
type Edit struct {
	What    string // for the journal and the undo menu, as in "wire W7 removed"
	Changes []Change
}

// Undo returns the edit that takes this one back.
func (e Edit) Undo() Edit {
	back := Edit{What: "undo: " + e.What, Changes: make([]Change, len(e.Changes))}
	for i, change := range e.Changes {
		back.Changes[len(e.Changes)-1-i] = Change{Before: change.After, After: change.Before}
	}
	return back
}

type changeJSON struct {
	Table  Table           `json:"table"`
	Before json.RawMessage `json:"before,omitempty"`
	After  json.RawMessage `json:"after,omitempty"`
}

// MarshalJSON writes the table and the rows.
func (c Change) MarshalJSON() ([]byte, error) {
	out := changeJSON{Table: c.Table()}
	var err error
	if c.Before != nil {
		if out.Before, err = json.Marshal(c.Before); err != nil {
			return nil, err
		}
	}
	if c.After != nil {
		if out.After, err = json.Marshal(c.After); err != nil {
			return nil, err
		}
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (c *Change) UnmarshalJSON(text []byte) error {
	var in changeJSON
	if err := json.Unmarshal(text, &in); err != nil {
		return err
	}
	var err error
	if c.Before, err = unmarshalRow(in.Table, in.Before); err != nil {
		return err
	}
	c.After, err = unmarshalRow(in.Table, in.After)
	return err
}

func unmarshalRow(table Table, text json.RawMessage) (Row, error) {
	if len(text) == 0 {
		return nil, nil
	}
	switch table {
	case TableSetting:
		return unmarshalAs[Setting](text)
	case TableDevice:
		return unmarshalAs[Device](text)
	case TableTerminal:
		return unmarshalAs[Terminal](text)
	case TableLink:
		return unmarshalAs[Link](text)
	case TableWire:
		return unmarshalAs[Wire](text)
	case TableBond:
		return unmarshalAs[Bond](text)
	case TableReading:
		return unmarshalAs[Reading](text)
	case TableHistory:
		return unmarshalAs[Event](text)
	case TableSymptom:
		return unmarshalAs[Symptom](text)
	case TablePlace:
		return unmarshalAs[Place](text)
	case TablePhoto:
		return unmarshalAs[Photo](text)
	case TableTemplate:
		return unmarshalAs[Template](text)
	}
	return nil, fmt.Errorf("no table %q", table)
}

func unmarshalAs[T Row](text json.RawMessage) (Row, error) {
	var row T
	err := json.Unmarshal(text, &row)
	return row, err
}
