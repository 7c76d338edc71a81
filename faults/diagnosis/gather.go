package diagnosis

import (
	"slices"

	"bellout/model"
)

// Gather returns what the machine's symptoms and some readings say, as evidence. Of
// several symptoms of one device under the same conditions the last one counts: it
// was repaired since, or broke. Symptoms that are struck, or whose conditions name
// what is gone, say nothing.
func Gather(l *Live, readings []model.Reading) []Evidence {
	var evidence []Evidence
	for _, s := range l.Circuit.Machine.Symptoms {
		if e, ok := l.symptomOf(s); ok && !l.saidAnew(s) {
			evidence = append(evidence, e)
		}
	}
	for _, r := range readings {
		if e, ok := l.NewReading(r); ok {
			evidence = append(evidence, e)
		} else if e, ok := l.NewDeadReading(r); ok {
			evidence = append(evidence, e)
		}
	}
	return evidence
}

// saidAnew says whether a later symptom of the same device, under the same conditions,
// stands in a symptom's place.
func (l *Live) saidAnew(s model.Symptom) bool {
	return slices.ContainsFunc(l.Circuit.Machine.Symptoms, func(o model.Symptom) bool {
		return o.Stands() && o.Device == s.Device && o.When == s.When && o.At.After(s.At)
	})
}

// Complaint says whether a symptom stands that is not as the map has it; nobody
// complains of what works.
func (l *Live) Complaint() bool {
	return slices.ContainsFunc(l.Circuit.Machine.Symptoms, func(s model.Symptom) bool {
		meaning, _ := l.Means(s)
		return meaning == Unlike && s.Word != model.SymptomWorks && !l.saidAnew(s)
	})
}

func (l *Live) symptomOf(s model.Symptom) (*Symptom, bool) {
	if !s.Stands() {
		return nil, false
	}
	conditions, err := l.Circuit.Machine.ParseConditions(s.When)
	if err != nil {
		return nil, false
	}
	return l.NewSymptom(s.Device, Word(s.Word), conditions)
}

// Meaning is what one symptom says of the map.
type Meaning uint8

// The meanings.
const (
	Unmapped  Meaning = iota // the map does not say what the device needs
	AsMapped                 // it does what the map says
	NotDriven                // it is off, as nothing switched it on
	Unlike                   // it does not
)

// Means says what a symptom says of the map, and of a device that nothing
// switched on by which outputs it is.
func (l *Live) Means(s model.Symptom) (meaning Meaning, outputs []model.TerminalRef) {
	e, ok := l.symptomOf(s)
	if !ok {
		return Unmapped, nil
	}
	sound, known := l.ratio(s.Device, l.Run(e.Conditions), nil)
	if !known {
		return Unmapped, nil
	}
	_, _, works := does(sound)
	off := sound < deadBelow
	switch {
	case s.Word == model.SymptomDead && off:
		return NotDriven, l.outputsOf(s.Device, e.Conditions)
	case s.Word == model.SymptomWorks && (off || works > 0.5), s.Word == model.SymptomDead && works < 0.5, s.Word == model.SymptomWeak && works < 0.5 && !off:
		return AsMapped, nil
	}
	return Unlike, nil
}

// outputsOf are the outputs without which a device gets nothing.
func (l *Live) outputsOf(device string, conditions model.Conditions) []model.TerminalRef {
	var list []model.TerminalRef
	for _, driver := range l.net.Parts.Drivers {
		ref := l.Circuit.Ref(driver.Drive)
		driven := model.NewConditions(append(append(model.Conditions{}, conditions...), model.Condition{Kind: model.Driven, Device: ref.Device, From: ref.Mark})...)
		if ratio, _ := l.ratio(device, l.Run(driven), nil); ratio > deadBelow {
			list = append(list, ref)
		}
	}
	return list
}
