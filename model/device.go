package model

import (
	"slices"
	"time"
)

// DeviceKind serves templates, pictures and fragility. A word that is not in
// DeviceKinds, the empty one too, is kept and treated as KindOther: see Known.
type DeviceKind string

// The kinds of device that Bellout knows by name.
const (
	KindSupply        DeviceKind = "supply"
	KindConverter     DeviceKind = "converter"
	KindBattery       DeviceKind = "battery"
	KindMainsInlet    DeviceKind = "mains-inlet"
	KindFuse          DeviceKind = "fuse"
	KindBreaker       DeviceKind = "breaker"
	KindSwitch        DeviceKind = "switch"
	KindRelay         DeviceKind = "relay"
	KindConnector     DeviceKind = "connector"
	KindTerminalBlock DeviceKind = "terminal-block"
	KindSplice        DeviceKind = "splice"
	KindController    DeviceKind = "controller"
	KindDriver        DeviceKind = "driver"
	KindSolenoid      DeviceKind = "solenoid"
	KindMotor         DeviceKind = "motor"
	KindLamp          DeviceKind = "lamp"
	KindLEDStrip      DeviceKind = "led-strip"
	KindAmplifier     DeviceKind = "amplifier"
	KindSpeaker       DeviceKind = "speaker"
	KindHub           DeviceKind = "hub"
	KindDisplay       DeviceKind = "display"
	KindComputer      DeviceKind = "computer"
	KindSensor        DeviceKind = "sensor"
	KindOther         DeviceKind = "other"
)

// DeviceKinds lists every kind that Bellout knows by name.
var DeviceKinds = []DeviceKind{
	KindSupply, KindConverter, KindBattery, KindMainsInlet, KindFuse, KindBreaker, KindSwitch, KindRelay,
	KindConnector, KindTerminalBlock, KindSplice, KindController, KindDriver, KindSolenoid, KindMotor, KindLamp,
	KindLEDStrip, KindAmplifier, KindSpeaker, KindHub, KindDisplay, KindComputer, KindSensor, KindOther,
}

// Known returns the kind itself, or KindOther for a word that Bellout does not
// know.
func (k DeviceKind) Known() DeviceKind {
	if slices.Contains(DeviceKinds, k) {
		return k
	}
	return KindOther
}

// Health is what the builder knows of a device.
type Health string

// The states of health. Empty in a file means HealthUnknown.
const (
	HealthOK      Health = "ok"
	HealthFailed  Health = "failed"
	HealthUnknown Health = "unknown"
)

// Healths lists every state of health.
var Healths = []Health{HealthOK, HealthFailed, HealthUnknown}

// Device is anything with terminals: a supply, a fuse, a switch, a connector,
// a driver, a load.
type Device struct {
	Ref   string     `json:"device"` // unique, as in G1
	Kind  DeviceKind `json:"kind"`
	Title string     `json:"title"`
	Zone  string     `json:"zone"` // where in the machine it sits

	Health   Health    `json:"health"`
	FailedAt time.Time `json:"failed_at"` // zero: not known

	LoadAmps  Optional `json:"load_a"`  // what it draws when on
	LimitAmps Optional `json:"limit_a"` // what a source can deliver
	Note      string   `json:"note"`
}

// Table says which table a device belongs to.
func (d Device) Table() Table { return TableDevice }

// ID is the device's reference.
func (d Device) ID() string { return d.Ref }

// Validate returns every complaint about the device by itself.
func (d Device) Validate() []FieldError {
	var found complaints
	found.direction("device", d.Ref)
	found.seen("device", d.Ref)
	found.reference("device", d.Ref)
	found.text("kind", string(d.Kind))
	found.oneOf("health", string(d.Health), words(Healths))
	found.moment("failed_at", d.FailedAt)
	found.text("title", d.Title)
	found.text("zone", d.Zone)
	found.text("note", d.Note)
	found.notNegative("load_a", d.LoadAmps)
	found.notNegative("limit_a", d.LimitAmps)
	return found
}
