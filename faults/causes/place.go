package causes

// Place is where a suspect sits: one of a device, a wire or a terminal.
type Place struct {
	Device   string `json:"device,omitempty"`
	Wire     string `json:"wire,omitempty"`
	Terminal string `json:"terminal,omitempty"`
}

// String names the place.
func (p Place) String() string { return p.Device + p.Wire + p.Terminal }
