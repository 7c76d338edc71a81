package tables

import (
	"time"

	"bellout/model"
)

// SymptomColumns are the columns of symptoms.csv.
var SymptomColumns = []Column[model.Symptom]{
	timeColumn("at", func(s *model.Symptom) *time.Time { return &s.At }),
	nameColumn("device", func(s *model.Symptom) *string { return &s.Device }),
	mustHave(textColumn("symptom", func(s *model.Symptom) *model.SymptomWord { return &s.Word })),
	textColumn("conditions", func(s *model.Symptom) *string { return &s.When }),
	textColumn("note", func(s *model.Symptom) *string { return &s.Note }),
	textColumn("struck", func(s *model.Symptom) *string { return &s.Struck }),
}

func sameSymptom(a, b model.Symptom) bool { return model.SameRow(a, b) }
